"""The drawn pictures are small JPEG files that differ."""

from __future__ import annotations

import io
import random

import pytest
from PIL import Image

from webapp.invent.drawings import SUBJECTS, draw, draw_terminal
from webapp.invent.pictures import HEIGHT_PX, WIDTH_PX


def decoded(data: bytes) -> Image.Image:
    image = Image.open(io.BytesIO(data))
    image.load()
    return image


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
