"""How soon a heater fails again: the truth that later statistics must find.

A repair that meets the cause fails again at a low even rate; one that misses it at a high one; some technicians leave
more behind than others. Even rate r per day means S(t) = exp(-r t),
so every figure can be worked out on paper. Invented figures.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from webapp.invent.chance import between, stream

RIGHT_SHARE = 0.80  # how often the cause that is named is the true one
NEW_FAULT_SHARE = 0.3  # among returns after a right repair: another fault than before
BOUND_DAYS = 90.0  # the rates are stated as the share that is back by this day


@dataclass(frozen=True, slots=True)
class Hazard:
    """Shares back within 90 days, by true cause."""

    right: dict[str, float]
    wrong: dict[str, float]

    def rate_per_day(self, cause: str, *, right: bool, factor: float = 1.0) -> float:
        """The even rate at which a visit for `cause` is followed by a return visit."""
        share = (self.right if right else self.wrong)[cause]
        return -math.log(1.0 - share) / BOUND_DAYS * factor


def make_hazard(seed: int, causes: list[str]) -> Hazard:
    """Shares for every cause: 2 to 9 in 100 where the repair was right, 40 to 70 in 100 where it was not."""
    right, wrong = {}, {}
    for cause in causes:
        rng = stream(seed, "hazard", cause)
        right[cause] = round(between(rng, 0.02, 0.09), 3)
        wrong[cause] = round(between(rng, 0.40, 0.70), 3)
    return Hazard(right, wrong)


def skill_factor(seed: int, technician_number: int) -> float:
    """What multiplies a technician's rates: most near 1, every seventh doubles them."""
    if technician_number % 7 == 3:
        return 2.0
    return round(between(stream(seed, "skill", technician_number), 0.75, 1.25), 2)
