"""A signature as it was drawn: lines of points. What is drawn again is only what was read here."""

from __future__ import annotations

import re

BOX_WIDTH, BOX_HEIGHT = 600, 200
"""The box in which it was signed (webapp/trade/events.py)."""
MOST_POINTS = 4_000
STEP = re.compile(r"([ML])\s*(-?\d{1,5})[\s,]+(-?\d{1,5})")


def strokes_of(path: str | None) -> list[list[tuple[int, int]]]:
    """The strokes of an SVG path of M and L; points outside the box are drawn at its edge, the rest is left out."""
    strokes: list[list[tuple[int, int]]] = []
    for letter, across, down in STEP.findall(path or "")[:MOST_POINTS]:
        point = (min(max(int(across), 0), BOX_WIDTH), min(max(int(down), 0), BOX_HEIGHT))
        if letter == "M" or not strokes:
            strokes.append([])
        strokes[-1].append(point)
    return strokes


def svg_path(strokes: list[list[tuple[int, int]]]) -> str:
    """The same as a path for the page; a dot is a line of no length, which round ends make visible."""
    lines = [stroke if len(stroke) > 1 else stroke * 2 for stroke in strokes]
    return " ".join("M" + " L".join(f"{across} {down}" for across, down in line) for line in lines)
