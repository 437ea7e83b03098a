"""The pictures of the README: small files that are there, and what is written on them stays legible."""

import io
import re
from pathlib import Path

from PIL import Image, ImageChops, ImageDraw

from e2e.screenshots import small_picture

ROOT = Path(__file__).resolve().parents[2]
MOST_BYTES = 2_500_000
LEAST_SEEN = 24  # of 255, in one colour: what an eye does not see beside the edge of a letter


def test_every_picture_of_the_readme_is_there() -> None:
    named = re.findall(r"\((docs/screenshots/[^)]+\.\w+)\)", (ROOT / "README.md").read_text(encoding="utf-8"))
    assert named
    assert [name for name in named if not (ROOT / name).is_file()] == []


def test_all_pictures_together_stay_small() -> None:
    sizes = [path.stat().st_size for path in (ROOT / "docs" / "screenshots").iterdir()]
    assert sizes
    assert sum(sizes) < MOST_BYTES


def test_a_made_small_picture_shows_the_same() -> None:
    screen = Image.new("RGB", (390, 844), "#f4f1ea")
    pen = ImageDraw.Draw(screen)
    for row in range(40):
        pen.text((8, 20 * row), f"Suction {row / 100:.2f} in. w.c. at the switch", fill=(row * 5, 20, 40))
    png = io.BytesIO()
    screen.save(png, "PNG")
    small = Image.open(io.BytesIO(small_picture(png.getvalue()))).convert("RGB")
    assert small.size == screen.size
    bands = ImageChops.difference(screen, small).getextrema()
    assert max(high for _low, high in bands) <= LEAST_SEEN
