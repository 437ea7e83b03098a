"""What an outcome says of each cause, worked out once for a procedure: how loudly, and what it leaves of the cause."""

from __future__ import annotations

from math import log
from typing import TYPE_CHECKING

from .ordering import in_steps

if TYPE_CHECKING:
    from .tables import Tables

    Loud = list[tuple[int, int]]

# How loudly an outcome must speak (log of likelihood over average) to be named as the reason (expert guesses).
SPEAKS_AGAINST = -0.5
SPEAKS_FOR = 0.25
SPEAKS_AT_ALL = 0.7


class Voice:
    """Of one outcome, only for the causes of which it says enough.

    `loud[state]`: (cause, loudness in steps, the loudest the smallest) for a cause of that state: against one that is
    ruled out, for a likely one, either way for the rest. `leaves`: (cause, likelihood over that of the cause in the
    middle) for those that it speaks against. `times`: the same for all that are not like the one in the middle.
    """

    def __init__(self, row: list[float], average: float, typical: float) -> None:
        """From P(outcome | cause), over the priors, and of the cause in the middle."""
        self.loud: dict[str, Loud] = {"possible": [], "likely": [], "ruled_out": []}
        self.times = [(h, row[h] / typical) for h in range(len(row)) if row[h] != typical]
        self.leaves = [(h, ratio) for h, ratio in self.times if ratio < 1.0]
        for h in range(len(row)):
            weight, against = log(row[h] / average), log(row[h] / typical)
            if abs(weight) > SPEAKS_AT_ALL:
                self.loud["possible"].append((h, -in_steps(abs(weight))))
            if weight > SPEAKS_FOR:
                self.loud["likely"].append((h, -in_steps(weight)))
            if against < SPEAKS_AGAINST:
                self.loud["ruled_out"].append((h, -in_steps(-against)))


def voice_of(tables: Tables, check: str, outcome: str) -> Voice:
    """Kept with the tables from the first time that the outcome is found."""
    voices = tables.voices.setdefault(check, {})
    if outcome not in voices:
        row = tables.rows[check][outcome]
        voices[outcome] = Voice(row, tables.average[check][outcome], tables.typical[check][outcome])
    return voices[outcome]
