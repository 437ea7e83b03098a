"""What is worked out once for a procedure and used after every answer: floored rows, their averages, look-ups by id."""

from __future__ import annotations

from math import log
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .procedure_types import Check, Procedure
    from .voices import Voice

    Line = tuple[float, list[tuple[int, float]]]

# No likelihood is taken to be smaller: one wrong tap must not kill a cause (expert guess: 0.5 to 1 %).
FLOOR = 0.005
_MOST_HELD = 4
_held: list[Tables] = []


class Tables:
    """Numbers of one procedure, in its order of causes, and its checks by id with their trip and their sense's place.

    `rows[check][outcome][h]`: P(outcome | cause h), floored, summing to one. `average[check][outcome]`: the same over
    the priors; `typical`: of the cause in the middle. `info[check][h]`: sum over outcomes of row log row; `spread`: the
    variance of log row. `chances[check]` and `told[check]`: rows and info again, as lines for `mean_over`.
    `voices[check][outcome]`: as `voice_of` fills it. `repair_minutes[h]`: of the cause's first repair, null where it
    has none.
    """

    def __init__(self, procedure: Procedure) -> None:
        """Work it all out once."""
        self.procedure = procedure
        self.prior = [cause["prior"] for cause in procedure["causes"]]
        self.check: dict[str, Check] = {check["id"]: check for check in procedure["checks"]}
        self.trip = {check["id"]: check["sense"] + " " + check["trip"] for check in procedure["checks"]}
        self.sense = {check["id"]: procedure["senses"].index(check["sense"]) for check in procedure["checks"]}
        self.rows: dict[str, dict[str, list[float]]] = {}
        self.average: dict[str, dict[str, float]] = {}
        self.typical: dict[str, dict[str, float]] = {}
        self.info: dict[str, list[float]] = {}
        self.spread: dict[str, list[float]] = {}
        self.chances: dict[str, list[Line]] = {}
        self.told: dict[str, Line] = {}
        self.voices: dict[str, dict[str, Voice]] = {}
        for check in procedure["checks"]:
            self._take(check)
        minutes = {repair["id"]: repair["minutes"] for repair in procedure["repairs"]}
        self.repair_minutes: list[float | None] = [
            minutes[cause["repairs"][0]] if cause["repairs"] else None for cause in procedure["causes"]
        ]

    def _take(self, check: Check) -> None:
        ids = [outcome["id"] for outcome in check["outcomes"]]
        causes = list(range(len(self.prior)))
        floored = [[max(one, FLOOR) for one in check["rows"][outcome]] for outcome in ids]
        totals = [sum([row[h] for row in floored]) for h in causes]
        rows = [[row[h] / totals[h] for h in causes] for row in floored]
        logs = [[log(one) for one in row] for row in rows]
        info = [sum([rows[n][h] * logs[n][h] for n in range(len(ids))]) for h in causes]
        square = [sum([rows[n][h] * logs[n][h] * logs[n][h] for n in range(len(ids))]) for h in causes]
        lines = [line_of(row) for row in rows]
        self.rows[check["id"]] = {ids[n]: rows[n] for n in range(len(ids))}
        self.average[check["id"]] = {ids[n]: sum([self.prior[h] * rows[n][h] for h in causes]) for n in range(len(ids))}
        self.typical[check["id"]] = {ids[n]: lines[n][0] for n in range(len(ids))}
        self.info[check["id"]] = info
        self.spread[check["id"]] = [square[h] - info[h] * info[h] for h in causes]
        self.chances[check["id"]] = lines
        self.told[check["id"]] = line_of(info)


def line_of(row: list[float]) -> Line:
    """A row as the value in its middle, and by how much each cause that has another one differs."""
    by_size = list(row)
    by_size.sort()
    usual = by_size[len(row) // 2]
    return usual, [(h, row[h] - usual) for h in range(len(row)) if row[h] != usual]


def mean_over(p: list[float], line: Line) -> float:
    """Sum of p[h] row[h], for a `p` that sums to one: most causes share one value, and only the others are visited."""
    mean, others = line
    for h, more in others:
        mean += p[h] * more
    return mean


def tables_of(procedure: Procedure) -> Tables:
    """The tables of this very procedure object, kept for the last few."""
    for tables in _held:
        if tables.procedure is procedure:
            return tables
    tables = Tables(procedure)
    _held.append(tables)
    if len(_held) > _MOST_HELD:
        _held.pop(0)
    return tables
