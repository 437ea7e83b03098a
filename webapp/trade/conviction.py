"""Parts that were changed although nothing read on that visit convicts them.

A reading convicts only what was read before the part was changed. What convicts which part is common practice and an
expert guess, not a standard; parts that a look alone convicts (a split tube, a cracked joint) are not watched here.
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
        """`why`: "not_read" (nobody measured it), "read_otherwise" (what was read speaks for the part), "half_read".

        Half read: what was read may come of the part or of something beside it, and nobody told the two apart.
        """

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
WATCHED_REPAIRS = (
    "new_switch",
    "new_blower",
    "new_couple",
    "new_control",
    "new_igniter",
    "new_probe",
    "new_limit",
    "new_tco",
)

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

_BLOWER_CONVICTED = (("blower_amps", "off_plate"), ("blower_wheel", "rough_dirty_loose"))
# What was looked at where a blower was: its amps, its wheel, its volts, the suction with the vent parted.
_BLOWER_CHECKS = ("blower_amps", "blower_wheel", "blower_volts", "vent_parted")
# A suction that stays low with the vent parted may come of the tube: something must say that the tube was good.
_TUBE_GOOD = (("sensing_tube", "seated"), ("tap_and_switch", "same"), ("tube_drain", "clear"))

# Too slow to let go, or never stops: no other part does that. In between stands what something else may do as well.
_CONTROL_CONVICTED = (("drop_out", "too_slow"), ("follows_dial", "never_stops"))
# Nothing out, and what must stand recorded of the way in before that is the control's own.
_OUTPUTS_MISSING = (
    (("blower_volts", "absent"), (("call_present", "call"), ("outlet", "good"))),
    (("igniter_volts", "absent"), (("call_present", "call"), ("chain_volts", "to_the_end"))),
)
_NEVER_STARTS = ("follows_dial", "never_starts")
_ENOUGH_MV = (("couple_closed", "enough"), ("pile_loaded", "enough"))
# A magnet that lets go: the control's own, unless a cut-out or a contact in its loop is open.
_LETS_GO = (("couple_closed", "high_but_drops"), ("drop_out", "drops_early"))
_LOOP_GOOD = (
    (("tco_continuity", "closed"), ("tco_continuity", "not_fitted")),
    (("eco_continuity", "closed"),),
    (("couple_nut", "tight_and_clean"),),
)
_CONTROL_CHECKS = (
    "call_present",
    "blower_volts",
    "igniter_volts",
    "drop_out",
    "follows_dial",
    "couple_closed",
    "pile_loaded",
)


def changed_unread(record: Record) -> list[ChangedUnread]:
    """Watched parts of this record that were changed without a reading that convicts them, each once.

    Pressure switch: its suction over its make point with the contact open, or a hand pump that misses the point.
    Blower: its amps off the plate, its wheel rough, its volts there while it stands, or the suction low with the vent
    parted and the tube good. Control: its way in right and nothing out; a magnet that lets go too late, or too soon
    with every cut-out closed and the nut tight; a main burner that never starts on enough millivolts, or never stops.
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
    if action == "new_blower":
        return _blower(answers)
    if action == "new_control":
        return _control(answers)
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


def _blower(answers: list[tuple[str, str]]) -> str | None:
    if [one for one in answers if one in _BLOWER_CONVICTED]:
        return None
    if ("blower_volts", "present") in answers and ("watch_cycle", "blower_silent") in answers:
        return None
    if ("vent_parted", "stays_low") in answers:
        return None if [one for one in answers if one in _TUBE_GOOD] else "half_read"
    return "read_otherwise" if [check for check, _ in answers if check in _BLOWER_CHECKS] else "not_read"


def _control(answers: list[tuple[str, str]]) -> str | None:
    if [one for one in answers if one in _CONTROL_CONVICTED]:
        return None
    told = [_all_in(way_in, answers) for missing, way_in in _OUTPUTS_MISSING if missing in answers]
    if [one for one in answers if one in _LETS_GO]:
        told.append(not [good for good in _LOOP_GOOD if not [one for one in good if one in answers]])
    if _NEVER_STARTS in answers:
        told.append(bool([one for one in _ENOUGH_MV if one in answers]))
    if told:
        return None if True in told else "half_read"
    return "read_otherwise" if [check for check, _ in answers if check in _CONTROL_CHECKS] else "not_read"


def _all_in(wanted: tuple[tuple[str, str], ...], answers: list[tuple[str, str]]) -> bool:
    return not [one for one in wanted if one not in answers]


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
