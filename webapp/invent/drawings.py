"""What the invented photos show: a terminal, a sensing tube, a label. Few shapes, so that they are quick to encode."""

from __future__ import annotations

import random

from webapp.invent.chance import between, whole
from webapp.invent.pictures import encode_jpeg

SUBJECT_OF_CHECK = {"terminal": "terminal", "sensing_tube": "tube"}
SUBJECTS = ("terminal", "tube", "label")


def draw(rng: random.Random, subject: str) -> bytes:
    """A picture of one of SUBJECTS; anything else is a label."""
    if subject == "terminal":
        return draw_terminal(rng, blocked=between(rng, 0.0, 1.0))
    return draw_tube(rng) if subject == "tube" else draw_label(rng)


def draw_terminal(rng: random.Random, *, blocked: float) -> bytes:
    """A wall of boards with a round vent end, and how much of it is filled behind its screen."""
    cx, cy, radius = whole(rng, 110, 210), whole(rng, 90, 150), whole(rng, 34, 62)
    wall_grey, board = whole(rng, 120, 190), whole(rng, 3, 5) * 8

    def shade(x: int, y: int) -> int:
        far2 = (x - cx) ** 2 + (y - cy) ** 2
        if far2 > radius**2:
            return wall_grey - (24 if y % board < 8 else 0)
        if far2 > (radius - 8) ** 2:
            return 232
        if (y - cy) / radius > 1 - 2 * blocked:
            return 84 + (x * 7 + y * 13) // 16 % 3 * 10
        return 44 if x // 8 % 2 else 20

    return encode_jpeg(shade)


def draw_tube(rng: random.Random) -> bytes:
    """A hanging loop of tube against a panel, with a few drops in its lowest part."""
    cx, radius, top = whole(rng, 130, 190), whole(rng, 50, 80), whole(rng, 40, 70)
    panel, drops = whole(rng, 150, 200), [whole(rng, -20, 20) for _ in range(whole(rng, 1, 4))]

    def shade(x: int, y: int) -> int:
        if y < top:
            return 70 if abs(abs(x - cx) - radius) < 14 else panel
        off = abs(((x - cx) ** 2 + (y - top) ** 2) ** 0.5 - radius)
        if off < 4 and y > top + radius // 2 and any(abs(x - cx - drop) < 5 for drop in drops):
            return 245
        return 40 if off < 8 else panel

    return encode_jpeg(shade)


def draw_label(rng: random.Random) -> bytes:
    """A pale label with lines of print too small to read, stuck on something dark."""
    left, top, width, height = whole(rng, 30, 70), whole(rng, 30, 60), whole(rng, 180, 220), whole(rng, 110, 150)
    lines = [whole(rng, 60, width - 24) for _ in range(height // 16)]

    def shade(x: int, y: int) -> int:
        inside_x, inside_y = x - left, y - top
        if not (0 <= inside_x < width and 0 <= inside_y < height):
            return 66
        row, within = divmod(inside_y, 16)
        printed = row < len(lines) and 5 <= within < 11 and 12 <= inside_x < 12 + lines[row] and inside_x // 6 % 4
        return 58 if printed else 226

    return encode_jpeg(shade)
