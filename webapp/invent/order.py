"""The walk's own order, asked of the trade rules, and remembered: most visits begin alike."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, NamedTuple, cast

from webapp.trade.rank import posterior
from webapp.trade.record import fold_job
from webapp.trade.walk import advise

if TYPE_CHECKING:
    from webapp.invent.company import Procedure
    from webapp.invent.walking import Line
    from webapp.trade.advice_types import Evidence
    from webapp.trade.procedure_types import Procedure as TradeProcedure
    from webapp.trade.record_types import CheckFinding, Record

MOST_REMEMBERED = 20_000  # lists of at most MOST_FOLLOWED checks; some 40 MB
MOST_FOLLOWED = 3
UNDOING = ("powered", "fires", "parts_vent")  # what undoes an earlier answer: docs/procedures.md


class _Trait(NamedTuple):
    normal: str  # its normal outcome
    undoes: bool  # it has the heater powered, fired or parted: what made it safe is asked anew
    undone: bool  # is one of those that are asked anew


class WalkOrder:
    """Says which check comes next, as a technician's phone would.

    A phone asks anew after each answer. Here the advice is asked anew after every answer that is not the normal one,
    and after three normal ones at the latest; between, its own list is followed. That is a third of the work.
    """

    def __init__(self) -> None:
        self._remembered: dict[tuple[object, ...], list[str]] = {}
        self._traits: dict[str, dict[str, _Trait]] = {}

    def next_check(self, procedure: Procedure, lines: list[Line]) -> str | None:
        """The gate first; then what the advice offers; None once it is ready to name a cause."""
        done = {name for name, _ in lines}
        for name in procedure["gate"]:
            if name not in done:
                return str(name)
        anchor = self._asked_at(procedure, lines)
        since = {name for name, _ in lines[anchor:]}
        for name in self._offered(procedure, lines[:anchor]):
            if name not in since:
                return name
        return next(iter(self._offered(procedure, lines)), None)

    def first_cause(self, procedure: Procedure, lines: list[Line]) -> str | None:
        """The cause that stands first on these answers."""
        evidence: list[Evidence] = [{"check": name, "outcome": outcome} for name, outcome in lines if outcome]
        p = posterior(cast("TradeProcedure", procedure), evidence, [])
        return str(procedure["causes"][p.index(max(p))]["id"])

    def _asked_at(self, procedure: Procedure, lines: list[Line]) -> int:
        """How many lines there were when the advice was asked last."""
        traits = self._traits_of(procedure)
        anchor = len(procedure["gate"])
        for place in range(anchor, len(lines)):
            name, outcome = lines[place]
            asks_anew = outcome is not None and outcome != traits[name].normal
            if asks_anew or traits[name].undoes or place - anchor >= MOST_FOLLOWED:
                anchor = place + 1
        return anchor

    def _traits_of(self, procedure: Procedure) -> dict[str, _Trait]:
        if procedure["hash"] not in self._traits:
            self._traits[procedure["hash"]] = {
                check["id"]: _Trait(
                    normal=check["outcomes"][0]["id"],
                    undoes=any(check.get(how) for how in UNDOING),
                    undone=check.get("undone_by") is not None,
                )
                for check in procedure["checks"]
            }
        return self._traits[procedure["hash"]]

    def _offered(self, procedure: Procedure, lines: list[Line]) -> list[str]:
        traits = self._traits_of(procedure)
        in_turn = tuple(name for name, _ in lines if traits[name].undoes or traits[name].undone)
        last = lines[-1][0] if lines else ""
        key = (procedure["hash"], last, in_turn, *sorted((name, outcome or "") for name, outcome in lines))
        if key not in self._remembered:
            if len(self._remembered) >= MOST_REMEMBERED:
                self._remembered.clear()
            advice = advise(cast("TradeProcedure", procedure), record_of(lines))
            aside = set(advice["aside"])
            offered = [name for name in advice["available"] if name not in aside] if advice["next"] else []
            self._remembered[key] = offered[: MOST_FOLLOWED + 2]
        return self._remembered[key]


def record_of(lines: list[Line]) -> Record:
    """As much of a record as the advice reads: the checks, each with one person's answers in the order of the walk."""
    entries: dict[str, list[dict[str, Any]]] = {}
    for lamport, (name, outcome) in enumerate(lines):
        could_not = None if outcome else "no_access"
        by = {"person_id": "", "device_id": "", "event_id": "", "lamport": lamport}
        answer = {"outcome": outcome, "could_not": could_not, "words": None, "after_repair": False, "by": by}
        entries.setdefault(name, []).append(answer)
    record = fold_job([])  # whatever else a record has: nothing of it has happened yet
    record["checks"] = [_finding(name, answers) for name, answers in entries.items()]
    return record


def _finding(name: str, answers: list[dict[str, Any]]) -> CheckFinding:
    last = answers[-1]
    state = "answered" if last["outcome"] else "could_not"
    finding = {
        "check": name,
        "state": state,
        "outcome": last["outcome"],
        "could_not": last["could_not"],
        "now_state": state,
        "now_outcome": last["outcome"],
        "entries": [answer | {"current": answer is last} for answer in answers],
    }
    return cast("CheckFinding", finding)
