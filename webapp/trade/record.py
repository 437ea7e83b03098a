"""The fold: a job's events into its record. Any order of arrival, any duplicates, the same record. It never raises."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .bodies import SHAPES, read_body
from .envelope import live_events, mark, take_in, unreadable_list, withdrawn_events
from .findings import fold_checks
from .heard import heard_entries
from .ordering import in_order
from .put_back_counts import put_back_counts
from .run_time import too_soon
from .second_look import corrections
from .unsafe_said import is_any_after, last_before, unsafe_said

if TYPE_CHECKING:
    from typing import Any

    from .events import Event
    from .record_types import Corrected, Mark, Record, TakenBack, UnknownKind

# Raise it when the same events would fold to another record, or to another row (webapp/sync/rows.py): what is
# stored is then made anew.
FOLD_VERSION = 9

# Kinds that are kept as a list of lines, and the list's name in the record.
_LISTS = {
    "call_taken": "calls",
    "job_closed": "closings",
    "arrived": "arrivals",
    "job_moved": "moves",
    "code_read": "codes",
    "reading_taken": "readings",
    "photo_taken": "photos",
    "vent_surveyed": "vent_surveys",
    "hunch": "hunches",
    "cause_named": "causes",
    "repair_made": "repairs",
    "part_used": "parts",
    "proof_run": "proofs",
    "left_off": "left_off",
    "note": "notes",
    "appliance_described": "appliances",
    "sheet_number": "sheet",
    "sheet_confirmed": "sheet_confirmed",
    "due_out": "due_outs",
    "came_out": "came_out",
    "instrument_carried": "instruments",
    "work_agreed": "agreements",
    "office_told": "office_told",
    "put_back": "put_back",
}

# What is shown as taken back; of everything else only what stands is told.
_SHOWN_TAKEN_BACK = {
    "check_answered": "answers",
    "reading_taken": "readings",
    "repair_made": "repairs",
    "part_used": "parts",
    "proof_run": "proofs",
    "note": "notes",
}

# Fields that later schemas added: null in a line of an earlier one, so that a list holds one shape.
_ADDED = {
    "job_moved": ("complaint", "complaint_words", "procedure_name", "phone", "due_cleared"),
    "came_out": ("person_id",),
    "code_read": ("flash_groups", "model_sheet_id"),
    "photo_taken": ("about",),
    "appliance_described": ("location_words", "installed_year", "model_sheet_id"),
    "sheet_number": ("model_sheet_id",),
    "put_back": ("left_off_ids", "who_words", "when_words", "work_words", "co_room_ppm"),
    "job_closed": ("out",),
}


def fold_job(events: object) -> Record:
    """The record of one job. Junk is listed, never raised.

    Example: `fold_job([])["state"]` is `"booked"`. Source: docs/sync.md (order, live, replaces, withdrawn).
    """
    ordered, unreadable = take_in(events)
    refused = [(line["event_id"], line["kind"], line["why"]) for line in unreadable]
    job_id = _first([event["job_id"] for event in ordered if event["job_id"] is not None])
    ours = []
    for event in ordered:
        if event["job_id"] in (None, job_id):
            ours.append(event)
        else:
            refused.append((event["id"], event["kind"], "other_job"))
    live = live_events(ours)
    lines, unknown = _read(live, refused)
    record = _record(lines, unsafe_said(ours))
    record["job_id"] = job_id
    record["site_id"] = _first([event["site_id"] for event in ours])
    record["taken_back"] = _taken_back(withdrawn_events(ours, live))
    record["corrected"] = _corrected(corrections(ours, live))
    record["heard"] = heard_entries(ours, live)
    record["people"] = in_order(list({event["person_id"] for event in ours}), key=lambda person: person)
    record["unknown"] = unknown
    record["unreadable"] = unreadable_list(refused)
    record["lamport"] = max([0] + [int(event["lamport"]) for event in ours])
    record["event_count"] = len(ours)
    return record


def _read(live: list[Event], refused: list[tuple[str, str, str]]) -> tuple[list[tuple[str, Any]], list[UnknownKind]]:
    """Live events as (kind, line of the record), and the count of what this version does not know."""
    lines: list[tuple[str, Any]] = []
    counts: dict[tuple[str, int], int] = {}
    for event in live:
        known = (event["kind"], int(event["schema"]))
        if known not in SHAPES:
            counts[known] = counts.get(known, 0) + 1
            continue
        fields, problem = read_body(known[0], known[1], event["body"])
        if problem is None:
            _one_shape(event["kind"], fields)
            fields["by"] = mark(event)
            lines.append((event["kind"], fields))
        else:
            refused.append((event["id"], event["kind"], problem))
    ordered = in_order(list(counts), key=lambda known: known)
    return lines, [{"kind": known[0], "schema": known[1], "count": counts[known]} for known in ordered]


def _taken_back(pairs: list[tuple[Event, Event]]) -> TakenBack:
    shown = [(event, by) for event, by in pairs if event["kind"] in _SHOWN_TAKEN_BACK]
    taken: Any = {name: [] for name in _SHOWN_TAKEN_BACK.values()}
    for kind, line in _read([event for event, _ in shown], [])[0]:
        if kind == "proof_run":
            line["cause"], line["too_soon"] = None, None  # it counts for none
        taken[_SHOWN_TAKEN_BACK[kind]].append(line)
    taken["withdrawals"] = [{"event_id": event["id"], "by": mark(by)} for event, by in shown]
    return taken  # type: ignore[no-any-return]


def _corrected(pairs: list[tuple[Event, Event]]) -> list[Corrected]:
    """What was said otherwise within the wrong tap's own minutes, or as a correction; the same said again is none."""
    lines: list[Corrected] = []
    for old, new in pairs:
        was, now = _read([old], [])[0], _read([new], [])[0]
        if not was or not now:
            continue
        one, other = was[0][1], now[0][1]
        line: Corrected = {
            "check": one["check"],
            "outcome": one.get("outcome"),
            "quantity": one.get("quantity"),
            "value": one.get("value"),
            "by": one["by"],
            "to_outcome": other.get("outcome"),
            "to_value": other.get("value"),
            "to_by": other["by"],
        }
        if (line["outcome"], line["value"]) != (line["to_outcome"], line["to_value"]):
            lines.append(line)
    return lines


def _one_shape(kind: str, fields: dict[str, Any]) -> None:
    """The line as the newest schema has it."""
    for name in _ADDED.get(kind, ()):
        fields.setdefault(name, None)
    fields.pop("corrects", None)  # told in `corrected`, with what it corrects
    if kind != "proof_run":
        return
    for name in ("suction_before_in_wc", "suction_hot_in_wc", "co_air_free_ppm", "fans_on"):
        fields.setdefault(name, None)
    if "quantity" not in fields:
        fields["before_value"], fields["after_value"] = fields["suction_before_in_wc"], fields["suction_hot_in_wc"]
        measured = fields["before_value"] is not None or fields["after_value"] is not None
        fields["quantity"] = "suction_in_wc" if measured else None


def _record(lines: list[tuple[str, Any]], unsafe: list[Mark]) -> Record:
    record: Any = {name: [] for name in _LISTS.values()}
    for name in ("call", "booked", "opened", "arrived", "cancelled", "closed", "cause"):
        record[name] = None
    record["below_now"] = []
    record["standing_off"] = []
    record["office_not_told"] = False
    answers: list[tuple[str, Any]] = []
    for kind, line in lines:
        if kind == "proof_run":
            line["cause"], line["too_soon"] = record["cause"], too_soon(line, record, last_before(unsafe, line["by"]))
        if kind in _LISTS:
            record[_LISTS[kind]].append(line)
        if kind == "job_booked":
            record["booked"] = line
        elif kind == "call_taken":
            record["call"] = line
        elif kind == "job_cancelled":
            record["cancelled"] = line
        elif kind == "job_moved":
            if line["technician_id"] or line["due_wall"]:
                record["cancelled"] = None  # moved after all: somebody goes
        elif kind == "due_out":
            _is_out(record, line["by"]["person_id"])
            record["below_now"].append(line)
        elif kind == "came_out":
            _is_out(record, line["person_id"] or line["by"]["person_id"])
        elif kind == "left_off":
            _is_off(record, line)
        elif kind == "put_back":
            counts = put_back_counts(line, record, answers, lines)
            line["counts"] = counts and not is_any_after(unsafe, line["by"])  # then it is put back anew, or stays off
            if line["counts"]:
                _is_back(record, line["left_off_ids"])
        elif kind == "office_told":
            record["office_not_told"] = False
        elif kind == "job_opened":
            record["opened"] = record["opened"] or line  # the walk keeps its first version for good
        elif kind == "arrived":
            record["arrived"] = record["arrived"] or line
        elif kind == "job_closed":
            record["closed"] = line
            if line["out"] is not False:  # closed at the heater: whoever is below is waited for until heard
                _is_out(record, line["by"]["person_id"])
            if line["state"] == "left_off" and not record["standing_off"]:
                _is_off(record, line)  # its own entry was taken back, or has not come
        elif kind == "cause_named":
            record["cause"] = line["cause"]
        elif kind == "check_answered":
            check = line.pop("check")
            line["after_repair"] = len(record["repairs"]) > 0
            answers.append((check, line))
    record["checks"] = fold_checks(answers)
    _sum_up(record)
    return record  # type: ignore[no-any-return]


def _is_out(record: Any, person_id: str) -> None:
    """Each person goes below and comes out for themselves: one who is out says nothing about another."""
    record["below_now"] = [line for line in record["below_now"] if line["by"]["person_id"] != person_id]


def _is_off(record: Any, line: Any) -> None:
    """Each entry stands off for itself; the close alone speaks only as long as no entry does."""
    closings = [closed["by"]["event_id"] for closed in record["closings"]]
    record["standing_off"] = [one for one in record["standing_off"] if one not in closings] + [line["by"]["event_id"]]
    record["office_not_told"] = True


def _is_back(record: Any, named: list[str] | None) -> None:
    """The entries that are named; one that names none means all that were noted before it."""
    record["standing_off"] = [] if named is None else [one for one in record["standing_off"] if one not in named]


def _sum_up(record: Any) -> None:
    """What follows from the lines: who goes, whether people disagree, whether it is proven, how far the job is."""
    record["fold_version"] = FOLD_VERSION
    record["heater_off"] = len(record["standing_off"]) > 0
    record["below"] = record["below_now"][-1] if record["below_now"] else None
    booked = record["booked"]
    record["technician_id"] = booked["technician_id"] if booked else None
    record["due_wall"] = booked["due_wall"] if booked else None
    for move in record["moves"]:
        record["technician_id"] = move["technician_id"] or record["technician_id"]
        record["due_wall"] = None if move["due_cleared"] else move["due_wall"] or record["due_wall"]
        if booked:  # as it stands; how it was booked at first stays in the events
            for name in ("complaint", "complaint_words", "procedure_name", "phone"):
                booked[name] = move[name] or booked[name]
    last = {line["by"]["person_id"]: line["cause"] for line in record["causes"]}
    record["causes_disagree"] = len(set(last.values())) > 1
    record["proven"] = len(record["proofs"]) > 0 and record["proofs"][-1]["passed"]
    started = record["opened"] or record["arrived"] or record["checks"] or record["codes"]
    record["state"] = "open" if started else "booked"
    if record["closed"]:
        record["state"] = "closed"
    elif record["cancelled"]:
        record["state"] = "cancelled"


def _first(values: list[Any]) -> Any:
    return values[0] if values else None
