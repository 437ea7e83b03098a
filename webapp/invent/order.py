"""The walk's own order, asked of the trade rules, and remembered: most visits begin alike."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from webapp.trade.rank import posterior
from webapp.trade.walk import advise

if TYPE_CHECKING:
    from webapp.invent.company import Procedure
    from webapp.invent.walking import Line
    from webapp.trade.advice_types import Evidence
    from webapp.trade.procedure_types import Procedure as TradeProcedure
    from webapp.trade.record_types import Record

MOST_REMEMBERED = 50_000  # lists of at most MOST_FOLLOWED checks; some 30 MB
MOST_FOLLOWED = 3


class WalkOrder:
    """Says which check comes next, as a technician's phone would.

    A phone asks anew after each answer. Here the advice is asked anew after every answer that is not the normal one,
    and after three normal ones at the latest; between, its own list is followed. That is a third of the work.
    """

    def __init__(self) -> None:
        self._remembered: dict[tuple[object, ...], list[str]] = {}
        self._normal: dict[str, dict[str, str]] = {}

    def next_check(self, procedure: Procedure, lines: list[Line]) -> str | None:
        """The gate first; then what the advice offers; None once it is ready to name a cause."""
        done = {name for name, _ in lines}
        for name in procedure["gate"]:
            if name not in done:
                return str(name)
        anchor = self._asked_at(procedure, lines)
        for name in self._offered(procedure, lines[:anchor]):
            if name not in done:
                return name
        return next(iter(self._offered(procedure, lines)), None)

    def first_cause(self, procedure: Procedure, lines: list[Line]) -> str | None:
        """The cause that stands first on these answers."""
        evidence: list[Evidence] = [{"check": name, "outcome": outcome} for name, outcome in lines if outcome]
        p = posterior(cast("TradeProcedure", procedure), evidence, [])
        return str(procedure["causes"][p.index(max(p))]["id"])

    def _asked_at(self, procedure: Procedure, lines: list[Line]) -> int:
        """How many lines there were when the advice was asked last."""
        if procedure["hash"] not in self._normal:
            self._normal[procedure["hash"]] = {c["id"]: c["outcomes"][0]["id"] for c in procedure["checks"]}
        normal = self._normal[procedure["hash"]]
        anchor = len(procedure["gate"])
        for place in range(anchor, len(lines)):
            name, outcome = lines[place]
            if (outcome is not None and outcome != normal[name]) or place - anchor >= MOST_FOLLOWED:
                anchor = place + 1
        return anchor

    def _offered(self, procedure: Procedure, lines: list[Line]) -> list[str]:
        key = (procedure["hash"], lines[-1][0] if lines else "", *sorted((n, o or "") for n, o in lines))
        if key not in self._remembered:
            if len(self._remembered) >= MOST_REMEMBERED:
                self._remembered.clear()
            advice = advise(cast("TradeProcedure", procedure), record_of(lines))
            aside = set(advice["aside"])
            offered = [name for name in advice["available"] if name not in aside] if advice["next"] else []
            self._remembered[key] = offered[: MOST_FOLLOWED + 2]
        return self._remembered[key]


def record_of(lines: list[Line]) -> Record:
    """As much of a record as the advice reads: the checks, in the order of their answers."""
    checks = [_finding(name, outcome, lamport) for lamport, (name, outcome) in enumerate(lines)]
    record: dict[str, Any] = {"checks": checks, "codes": [], "proofs": [], "proven": False, "repairs": [], "causes": []}
    return cast("Record", record)


def _finding(name: str, outcome: str | None, lamport: int) -> dict[str, Any]:
    state, could_not = ("answered", None) if outcome else ("could_not", "no_access")
    answer = {"outcome": outcome, "could_not": could_not, "after_repair": False, "current": True}
    return {
        "check": name,
        "state": state,
        "outcome": outcome,
        "could_not": could_not,
        "now_state": state,
        "now_outcome": outcome,
        "entries": [answer | {"by": {"lamport": lamport}}],
    }
