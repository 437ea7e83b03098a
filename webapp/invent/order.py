"""The walk's own order, asked of the trade rules, and remembered: most visits begin alike."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from webapp.trade.rank import rank
from webapp.trade.walk import advise

if TYPE_CHECKING:
    from webapp.invent.company import Procedure
    from webapp.invent.walking import Answer
    from webapp.trade.advice_types import Evidence
    from webapp.trade.procedure_types import Procedure as TradeProcedure
    from webapp.trade.record_types import Record

MOST_REMEMBERED = 100_000  # advices; about 30 MB


class WalkOrder:
    """Says which check comes next, as a technician's phone would."""

    def __init__(self) -> None:
        self._remembered: dict[tuple[object, ...], str | None] = {}

    def next_check(self, procedure: Procedure, answers: list[Answer], skipped: list[str]) -> str | None:
        """The gate first; then what the advice offers; None once it is ready to name a cause."""
        done = {name for name, _ in answers}
        for name in procedure["gate"]:
            if name not in done:
                return str(name)
        key = (procedure["hash"], *sorted(answers), "", *sorted(skipped), "", (answers[-1][0] if answers else ""))
        if key not in self._remembered:
            if len(self._remembered) >= MOST_REMEMBERED:
                self._remembered.clear()
            advice = advise(cast("TradeProcedure", procedure), record_of(answers, skipped))
            self._remembered[key] = advice["next"]["check"] if advice["next"] else None
        return self._remembered[key]

    def first_cause(self, procedure: Procedure, answers: list[Answer]) -> str | None:
        """The cause that the ranking puts first on these answers."""
        evidence: list[Evidence] = [{"check": check, "outcome": outcome} for check, outcome in answers]
        return rank(cast("TradeProcedure", procedure), evidence)["causes"][0]["cause"]


def record_of(answers: list[Answer], skipped: list[str]) -> Record:
    """As much of a record as the advice reads: the checks, in the order of their answers."""
    lines: list[tuple[str, str | None]] = [*((name, None) for name in skipped), *answers]
    checks = [_finding(name, outcome, lamport) for lamport, (name, outcome) in enumerate(lines)]
    record: dict[str, Any] = {"checks": checks, "codes": [], "proofs": [], "proven": False, "repairs": [], "causes": []}
    return cast("Record", record)


def _finding(name: str, outcome: str | None, lamport: int) -> dict[str, Any]:
    state, could_not = ("answered", None) if outcome else ("could_not", "no_access")
    entry = {
        "outcome": outcome,
        "could_not": could_not,
        "after_repair": False,
        "current": True,
        "by": {"lamport": lamport},
    }
    return {
        "check": name, "state": state, "outcome": outcome, "could_not": could_not, "now_state": state,
        "now_outcome": outcome,
        "entries": [entry],
    }  # fmt: skip
