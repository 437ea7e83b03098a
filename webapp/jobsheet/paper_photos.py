"""Photos as they go on paper: small, so that a sheet stays a sheet."""

from __future__ import annotations

from io import BytesIO
from pathlib import Path

from PIL import Image

WIDTH_PX, HEIGHT_PX = 480, 360
QUALITY = 70
LARGEST_PIXELS = 40_000_000
"""More than any phone's camera takes; a file that claims more is not opened."""


def small_photo(path: Path) -> BytesIO | None:
    """The photo scaled into a small box as a JPEG without its metadata; None where the file cannot be read as one."""
    try:
        with Image.open(path, formats=("JPEG",)) as photo:
            if photo.width * photo.height > LARGEST_PIXELS:
                return None
            photo.draft("RGB", (WIDTH_PX, HEIGHT_PX))
            small = photo.convert("RGB")
    except (OSError, ValueError, Image.DecompressionBombError):
        return None
    small.thumbnail((WIDTH_PX, HEIGHT_PX))
    kept = BytesIO()
    small.save(kept, "JPEG", quality=QUALITY)
    kept.seek(0)
    return kept
