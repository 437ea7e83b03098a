"""A small drawing of one quantity over the visits: where its points stand. The numbers themselves stand beside it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

FEWEST = 3
"""Two points are read faster as numbers."""
WIDTH, HEIGHT, EDGE = 120, 32, 5


@dataclass(frozen=True)
class Trend:
    """Points in a box of 120 by 32, the oldest on the left, larger numbers higher."""

    points: list[tuple[float, float]]

    @property
    def line(self) -> str:
        """For an SVG polyline."""
        return " ".join(f"{across:g},{down:g}" for across, down in self.points)


def trend(values: Sequence[float | None]) -> Trend | None:
    """The drawing of a row, visits without a number left out; None where there is too little to draw."""
    known = [(place, value) for place, value in enumerate(values) if value is not None]
    if len(known) < FEWEST:
        return None
    lowest, highest = min(value for _, value in known), max(value for _, value in known)
    first, last = known[0][0], known[-1][0]
    span = highest - lowest
    return Trend(
        [
            (
                round(EDGE + (WIDTH - 2 * EDGE) * (place - first) / (last - first), 1),
                round(HEIGHT - EDGE - (HEIGHT - 2 * EDGE) * ((value - lowest) / span if span else 0.5), 1),
            )
            for place, value in known
        ]
    )
