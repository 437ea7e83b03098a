"""Parts that were changed although nothing read on that visit convicts them.

A reading convicts only what was read before the part was changed. What convicts which part is common practice and an
expert guess, not a standard; parts that a look alone convicts (a split tube, a dead blower) are not watched here.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from .millivolts import couple_open_outcome, pile_open_outcome
from .readings import suction_outcome

if TYPE_CHECKING:
    from typing import Literal, TypedDict

    from .readings import Tap
    from .record_types import Mark, Record

    class ChangedUnread(TypedDict):
        """`why`: "not_read" (nobody measured it), "read_otherwise" (what was read speaks for the part), "half_read"."""

        repair: str
        why: Literal["not_read", "read_otherwise", "half_read"]
        event_id: str


# Repair → the check that convicts the part, and the outcomes of it that do. Expert guesses.
BY_ANSWER = {
    "new_igniter": ("igniter_ohms", ("open_or_off",)),
    "new_probe": ("probe_ohms", ("off_table",)),
    "new_limit": ("limit_continuity", ("open", "poor")),
    "new_tco": ("tco_continuity", ("open", "poor")),
}
WATCHED_REPAIRS = ("new_switch", "new_couple", "new_igniter", "new_probe", "new_limit", "new_tco")

# Suction at the switch that should have made it, by the outcome of `suction_at_switch`.
_OVER_POINT = ("enough", "marginal", "high")
# What says that its contact stood open all the same.
_CONTACT_OPEN = (
    ("chain_volts", "stops_at_switch"),
    ("watch_cycle", "never_makes"),
    ("watch_cycle", "made_then_opened"),
)
_MILLIVOLTS = ("couple_open_mv", "couple_closed_mv", "pile_open_mv", "pile_loaded_mv")
_COUPLE_CONVICTED = (
    ("couple_open", "low"),
    ("couple_open", "none"),
    ("couple_closed", "low"),
    ("pile_open", "low"),
    ("pile_open", "none"),
    ("pile_loaded", "low"),
)


def changed_unread(record: Record) -> list[ChangedUnread]:
    """Watched parts of this record that were changed without a reading that convicts them, each once.

    Pressure switch: its suction over its make point with the contact open, or a hand pump that misses the point.
    Thermocouple or pile: its millivolts under the minimum. Igniter, probe, limit, TCO: their ohms.
    Range: any record. Example: a switch changed and no suction read gives one line, "not_read".
    Source: common practice, no source; which outcome convicts is an expert guess (docs/trade.md).
    """
    found: list[ChangedUnread] = []
    seen: list[str] = []
    for repair in record["repairs"]:
        action = repair["action"]
        if action not in WATCHED_REPAIRS or action in seen:
            continue
        seen.append(action)
        why = _why(record, action, repair["by"])
        if why is not None:
            found.append({"repair": action, "why": why, "event_id": repair["by"]["event_id"]})  # type: ignore[typeddict-item]
    return found


def _why(record: Record, action: str, changed: Mark) -> str | None:
    answers = _answers_before(record, changed)
    if action == "new_switch":
        return _switch(record, answers, changed)
    if action == "new_couple":
        return _couple(record, answers, changed)
    check, convicting = BY_ANSWER[action]
    given = [outcome for name, outcome in answers if name == check]
    if not given:
        return "not_read"
    return None if [outcome for outcome in given if outcome in convicting] else "read_otherwise"


def _switch(record: Record, answers: list[tuple[str, str]], changed: Mark) -> str | None:
    pumped = [outcome for check, outcome in answers if check == "switch_pump"]
    if "off_point" in pumped:
        return None
    values = _values_before(record, ("suction_in_wc",), changed)
    levels = [outcome for check, outcome in answers if check == "suction_at_switch"] if values else []
    point = [line["value"] for line in record["sheet"] if line["quantity"] == "make_point_in_wc"]
    if values and point:
        tap = [outcome for check, outcome in answers if check == "tap_type"]
        levels = levels + [str(suction_outcome(value, point[-1], _tap(tap))["outcome"]) for value in values]
    if not levels:
        return "read_otherwise" if pumped else "not_read"
    if not [level for level in levels if level in _OVER_POINT]:
        return "read_otherwise"
    if "on_point" in pumped:
        return "read_otherwise"
    return None if [one for one in answers if one in _CONTACT_OPEN] else "half_read"


def _couple(record: Record, answers: list[tuple[str, str]], changed: Mark) -> str | None:
    if [one for one in answers if one in _COUPLE_CONVICTED]:
        return None
    if not _values_before(record, _MILLIVOLTS, changed):
        return "not_read"
    couple = [couple_open_outcome(value, None) for value in _values_before(record, ("couple_open_mv",), changed)]
    pile = [pile_open_outcome(value, None) for value in _values_before(record, ("pile_open_mv",), changed)]
    told = [one["outcome"] for one in couple + pile]
    # In between the minima that are printed nobody can say: not held against anybody.
    return None if "low" in told or "none" in told or None in told else "read_otherwise"


def _tap(answers: list[str]) -> Tap:
    return "pressure" if answers and answers[-1] == "pressure" else "suction"


def _answers_before(record: Record, changed: Mark) -> list[tuple[str, str]]:
    return [
        (finding["check"], entry["outcome"])
        for finding in record["checks"]
        for entry in finding["entries"]
        if entry["outcome"] is not None and entry["by"]["lamport"] < changed["lamport"]
    ]


def _values_before(record: Record, quantities: tuple[str, ...], changed: Mark) -> list[float]:
    return [
        reading["value"]
        for reading in record["readings"]
        if reading["quantity"] in quantities and reading["by"]["lamport"] < changed["lamport"]
    ]
