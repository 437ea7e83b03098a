"""The order of the checks that are left: by sense, by trip, by what they tell for the minute; and what opens what."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .gate import unmet
from .ordering import NEVER, fold_place, in_steps
from .worth import bits

if TYPE_CHECKING:
    from .advice_types import Blocked
    from .gate import Findings
    from .procedure_types import Check, Need, Procedure
    from .record_types import Record
    from .tables import Tables

    Place = tuple[int, int, int, int, int, float, str]

# A trip that tells less is no reason to hold back the next tool. Measured on an invented model: holding the meter
# back for 0.15 bit costs about 1 % of the minutes, for 0.05 bit about 3 %, and nags (docs/trade.md).
SAYS_SOMETHING_BITS = 0.15
# Where one stands already, a check is taken along from here up (400 invented jobs: 0.02 bit costs 6 minutes more).
ON_THE_WAY_BITS = 0.08
# Below this nothing is offered unasked; it can always be answered on the drawing.
SAYS_NOTHING_BITS = 0.02


class Plan:
    """What is left to do, in order.

    `ready`: can be done now, in walk order. `offered`: those of them worth offering, `aside` the others.
    `worth_asking`: what still tells something, whether it can be done now or waits for one that can. `held`: what
    keeps checks that still tell something from being done, because they run the burner. `told`: bits by check.
    `opens`: the check for whose sake a ready one comes first.
    """

    def __init__(self) -> None:
        """Empty; `plan_walk` fills it."""
        self.ready: list[Check] = []
        self.offered: list[Check] = []
        self.aside: list[Check] = []
        self.worth_asking: list[Check] = []
        self.blocked: list[Blocked] = []
        self.held: list[str] = []
        self.told: dict[str, float] = {}
        self.opens: dict[str, str] = {}


def plan_walk(tables: Tables, record: Record, findings: Findings, p: list[float], fire: list[Need]) -> Plan:
    """The plan from the probabilities and what is recorded.

    Place of a check: says something or not (its trip's bits together); sense; dead before live; the trip one stands
    on; bits per minute; minutes; id. A check that another one waits for takes that one's place, but not before its
    own sense. `fire`: what waits before any burner runs. Source: docs/trade.md; the order of senses is common practice.
    """
    plan = Plan()
    procedure = tables.procedure
    left = _left(procedure, findings)
    waits = _waits(findings, left, fire)
    plan.told = {check["id"]: bits(tables, check, p) for check in left}
    shut = _shut(waits)
    open_to_us = [check for check in left if check["id"] not in shut]
    places = _places(tables, record, open_to_us, plan.told)
    worth = {check["id"]: 1.0 if check["always"] else plan.told[check["id"]] for check in open_to_us}
    _hand_down(tables, open_to_us, waits, places, worth, plan.opens)
    by_place = [(places[check["id"]], check["id"]) for check in open_to_us]
    by_place.sort()  # the id that ends a place makes every one unique
    for _place, check_id in by_place:
        check = tables.check[check_id]
        if not waits[check["id"]]:
            plan.ready.append(check)
            (plan.offered if worth[check["id"]] >= SAYS_NOTHING_BITS else plan.aside).append(check)
        if plan.told[check["id"]] >= SAYS_NOTHING_BITS or check["always"]:
            plan.worth_asking.append(check)
    for check in left:
        if plan.told[check["id"]] >= SAYS_SOMETHING_BITS and check["fires"] and waits[check["id"]]:
            plan.held += [words for words in _held_by(check, findings, waits, shut) if words not in plan.held]
        if waits[check["id"]]:
            plan.blocked.append({"check": check["id"], "missing_words": [need["words"] for need in waits[check["id"]]]})
    return plan


def _left(procedure: Procedure, findings: Findings) -> list[Check]:
    """Checks outside the gate that nobody has answered, or that two people answered differently."""
    left = []
    for check in procedure["checks"]:
        finding = findings.get(check["id"])
        if check["id"] not in procedure["gate"] and (finding is None or finding["state"] == "contradicted"):
            left.append(check)
    return left


def _waits(findings: Findings, left: list[Check], fire: list[Need]) -> dict[str, list[Need]]:
    """For each check, the needs that are not met. What it found itself does not keep it from being looked at again."""
    waits, firing = {}, unmet(fire, findings)
    for check in left:
        waits[check["id"]] = unmet(check["needs"], findings) if check["needs"] else []
        if check["fires"]:
            waits[check["id"]] += [need for need in firing if need["check"] != check["id"]]
    return waits


def _held_by(check: Check, findings: Findings, waits: dict[str, list[Need]], shut: set[str]) -> list[str]:
    """What keeps it from being done for the burner's sake alone, and cannot be asked any more."""
    if [need for need in unmet(check["needs"], findings) if not _can_come(need, waits, shut)]:
        return []
    return [need["words"] for need in waits[check["id"]] if not _can_come(need, waits, shut)]


def _shut(waits: dict[str, list[Need]]) -> set[str]:
    """Those that wait, at some end, for what cannot be asked any more: an answer that says no closes the way."""
    shut: set[str] = set()
    moved = True
    while moved:
        moved = False
        for check_id, needs in waits.items():
            if check_id not in shut and [need for need in needs if not _can_come(need, waits, shut)]:
                shut.add(check_id)
                moved = True
    return shut


def _can_come(need: Need, waits: dict[str, list[Need]], shut: set[str]) -> bool:
    return need["check"] in waits and need["check"] not in shut


def _places(tables: Tables, record: Record, checks: list[Check], told: dict[str, float]) -> dict[str, Place]:
    trips: dict[str, float] = {}
    owed: set[str] = set()
    for check in checks:
        trip = tables.trip[check["id"]]
        trips[trip] = trips.get(trip, 0.0) + told[check["id"]]
        if check["always"]:
            owed.add(trip)
    here = _last_trip(tables, record)
    places: dict[str, Place] = {}
    for check in checks:
        trip = tables.trip[check["id"]]
        on_the_way = trip == here and told[check["id"]] >= ON_THE_WAY_BITS
        places[check["id"]] = (
            0 if trips[trip] >= SAYS_SOMETHING_BITS or trip in owed or on_the_way else 1,
            tables.sense[check["id"]],
            1 if check["live"] else 0,
            0 if trip == here else 1,
            -in_steps(told[check["id"]] / check["minutes"]),
            check["minutes"],
            check["id"],
        )
    return places


def _hand_down(
    tables: Tables,
    checks: list[Check],
    waits: dict[str, list[Need]],
    places: dict[str, Place],
    worth: dict[str, float],
    opens: dict[str, str],
) -> None:
    """What others wait for comes in their place: repeated until nothing moves, as needs can need."""
    waiting = [check for check in checks if waits[check["id"]]]
    moved = True
    while moved:
        moved = False
        for check in waiting:
            target = places[check["id"]]
            for need in waits[check["id"]]:
                first = need["check"]
                sense = max(tables.sense[first], target[1])
                place = (target[0], sense, target[2], target[3], target[4], places[first][5], first)
                if worth[check["id"]] > worth[first]:
                    worth[first] = worth[check["id"]]
                    moved = True
                if place < places[first]:
                    places[first] = place
                    opens[first] = check["id"]
                    moved = True


def _last_trip(tables: Tables, record: Record) -> str | None:
    """Where the technician stands: the trip of the check answered last."""
    last, at = "", NEVER
    for finding in record["checks"]:
        for entry in finding["entries"]:
            place = fold_place(entry["by"])
            if place > at:
                last, at = finding["check"], place
    return tables.trip.get(last)
