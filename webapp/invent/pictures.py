"""Small drawn pictures as JPEG files, so that a story has photos without anybody's photo."""

from __future__ import annotations

import io
from collections.abc import Callable

from PIL import Image

WIDTH_PX, HEIGHT_PX = 320, 240
QUALITY = 60
Shade = Callable[[int, int], int]  # (x, y) in pixels → grey 0 to 255


def encode_jpeg(shade: Shade) -> bytes:
    """The picture that `shade` describes, as a grey JPEG."""
    greys = bytes(shade(x, y) for y in range(HEIGHT_PX) for x in range(WIDTH_PX))
    written = io.BytesIO()
    Image.frombytes("L", (WIDTH_PX, HEIGHT_PX), greys).save(written, "JPEG", quality=QUALITY)
    return written.getvalue()
