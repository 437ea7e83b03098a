"""Seeded chance: every draw hangs on the seed and a name, so the same seed tells the same story on every machine.

`random.Random` seeded with a text is stable across Python versions for `random()`; the draws below use nothing else.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from datetime import datetime
from typing import TypeVar

T = TypeVar("T")


def stream(seed: int, *names: object) -> random.Random:
    """An independent source of chance for one purpose, e.g. `stream(7, "visit", 12)`."""
    return random.Random("/".join([str(seed), *(str(name) for name in names)]))


def pick(rng: random.Random, items: Sequence[T]) -> T:
    """One of `items`, each as likely as the others."""
    return items[int(rng.random() * len(items))]


def pick_weighted(rng: random.Random, weights: Sequence[float]) -> int:
    """The index of one weight, drawn in proportion."""
    left = rng.random() * sum(weights)
    for index, weight in enumerate(weights):
        left -= weight
        if left < 0:
            return index
    return max(index for index, weight in enumerate(weights) if weight > 0)


def between(rng: random.Random, low: float, high: float) -> float:
    """A number between `low` and `high`, evenly."""
    return low + (high - low) * rng.random()


def whole(rng: random.Random, low: int, high: int) -> int:
    """A whole number, both ends included."""
    return low + int(rng.random() * (high - low + 1))


def exponential(rng: random.Random, mean: float) -> float:
    """Time until something that happens at an even rate (inverse transform)."""
    return -math.log(1.0 - rng.random()) * mean


def uuid7(rng: random.Random, at: datetime) -> str:
    """A UUIDv7 (RFC 9562, section 5.7) for that moment, its random bits drawn from `rng`."""
    stamp_ms = int(at.timestamp() * 1000) & 0xFFFFFFFFFFFF
    bits = int(rng.random() * (1 << 52)) << 22 | int(rng.random() * (1 << 22))
    rand_a, rand_b = bits >> 62, bits & ((1 << 62) - 1)
    value = stamp_ms << 80 | 0x7 << 76 | rand_a << 64 | 0b10 << 62 | rand_b
    text = f"{value:032x}"
    return f"{text[:8]}-{text[8:12]}-{text[12:16]}-{text[16:20]}-{text[20:]}"
