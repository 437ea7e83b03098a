"""Our JPEG encoder against an independent decoder (Pillow, libjpeg)."""

from __future__ import annotations

import io
import random

import pytest
from PIL import Image

from webapp.invent.drawings import SUBJECTS, draw, draw_terminal
from webapp.invent.pictures import HEIGHT_PX, WIDTH_PX, encode_jpeg


def decoded(data: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(data))
    image.load()
    return image


def test_a_slope_of_greys_comes_back_within_the_coarse_steps_of_the_table() -> None:
    image = decoded(encode_jpeg(lambda x, y: (x * 3 + y * 2) * 255 // (WIDTH_PX * 3 + HEIGHT_PX * 2)))
    assert image.size == (WIDTH_PX, HEIGHT_PX)
    worst = max(
        abs(image.getpixel((x, y)) - (x * 3 + y * 2) * 255 // (WIDTH_PX * 3 + HEIGHT_PX * 2))
        for x in range(0, WIDTH_PX, 3)
        for y in range(0, HEIGHT_PX, 3)
    )
    assert worst <= 14


def test_noise_with_every_code_length_decodes_to_the_end() -> None:
    rng = random.Random(5)
    image = decoded(encode_jpeg(lambda _x, _y: int(rng.random() * 256)))
    greys = [image.getpixel((x, y)) for x in range(0, WIDTH_PX, 7) for y in range(0, HEIGHT_PX, 7)]
    assert 100 < sum(greys) / len(greys) < 156
    assert max(greys) - min(greys) > 150


@pytest.mark.parametrize("subject", SUBJECTS)
def test_a_drawing_is_small_decodes_and_differs_from_the_next(subject: str) -> None:
    first, second = draw(random.Random(1), subject), draw(random.Random(2), subject)
    assert first != second
    assert len(first) < 20_000
    image = decoded(first)
    assert image.size == (WIDTH_PX, HEIGHT_PX)
    darkest, lightest = image.getextrema()
    assert lightest - darkest > 100


def test_a_blocked_terminal_is_paler_inside_than_a_clear_one() -> None:
    clear, blocked = (decoded(draw_terminal(random.Random(4), blocked=share)) for share in (0.0, 0.95))
    assert sum(blocked.histogram()[84:110]) > sum(clear.histogram()[84:110]) + 1000
