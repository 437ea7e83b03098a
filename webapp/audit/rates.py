"""A share and how far it can be trusted: Wilson's interval of 1927, which Brown, Cai & DasGupta (2001) recommend."""

from __future__ import annotations

import math
import threading
from dataclasses import dataclass
from functools import lru_cache

CONFIDENCE = 0.95
FEWEST = 30
"""Below this nothing is said: with one return in 30 the interval already runs from 1 to 17 in 100."""


@dataclass(frozen=True)
class Share:
    """So many of so many."""

    count: int
    of: int

    @property
    def is_said(self) -> bool:
        """Whether there are enough to say anything."""
        return self.of >= FEWEST

    @property
    def interval(self) -> tuple[float, float]:
        """Wilson's 95 % interval, of at least one."""
        return wilson(self.count, self.of)

    @property
    def words(self) -> str:
        """`between 3 and 12 in 100`, rounded outwards, or that there are too few."""
        if not self.is_said:
            return "too few to say"
        low, high = self.interval
        return f"between {math.floor(low * 100 + 1e-9)} and {math.ceil(high * 100 - 1e-9)} in 100"


@lru_cache(maxsize=4096)
def wilson(count: int, of: int) -> tuple[float, float]:
    """The 95 % interval of a share by Wilson's score method, from scipy.

    Range: 0 <= count <= of, of >= 1. Example: 15 of 148 give 0.0624 to 0.1605.
    Source: Wilson, JASA 22 (1927) 209; Newcombe, Statistics in Medicine 17 (1998) 857.
    """
    from scipy.stats import binomtest  # noqa: PLC0415  (1 to 2 seconds to import: no command waits for it)

    found = binomtest(count, of).proportion_ci(CONFIDENCE, method="wilson")
    return float(found.low), float(found.high)


def warm_up() -> threading.Thread:
    """Bring scipy in beside a server that has just started, so that the first look at the figures need not wait.

    Whoever looks meanwhile waits for the rest of the same import.
    """
    thread = threading.Thread(target=wilson, args=(1, FEWEST), name="warm-up", daemon=True)
    thread.start()
    return thread
