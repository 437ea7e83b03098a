"""From a job's record: what was measured and with what, and the maker's figures beside it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from webapp.jobsheet.moments import hour_of
from webapp.jobsheet.plain_numbers import number_name
from webapp.jobsheet.plain_words import INSTRUMENTS, STATES
from webapp.jobsheet.sheet import Bullets, Section, Table, Text
from webapp.sites.beside_work import AFTER, BEFORE, DURING, beside_work
from webapp.sites.clock import date_words
from webapp.sites.event_words import carried_words, read_from
from webapp.sites.phrases import measured
from webapp.sites.procedure_words import as_title, number_words
from webapp.trade.history import OF_THE_TOOL

if TYPE_CHECKING:
    from collections.abc import Sequence

    from webapp.jobsheet.sheet import Block
    from webapp.sites.procedure_words import ProcedureWords
    from webapp.sites.told_job import ToldJob
    from webapp.trade.record_types import InstrumentNote, Reading, Record, SheetNote, VentSurvey

COUNTED = {"feet_per_90": "90°", "feet_per_45": "45°"}
"""How long the maker reckons a bend: no figure of the heater's, but a way of counting."""
Row = tuple[str, ...]


def numbers_section(told: ToldJob) -> Section | None:
    """Every reading with its unit, where and when it was taken, and with what, where that is recorded."""
    record, words = told.record, told.words
    taken = [one for one in record["readings"] if one["quantity"] not in OF_THE_TOOL]
    blocks: list[Block] = []
    for when in ("", BEFORE, DURING, AFTER):
        here = [one for one in taken if beside_work(one["by"], record) == when and not _of_the_maker(one, words)]
        head = (f"Measured {when} the work" if when else "Measured", "Reading", "Where and when", "With")
        blocks += _table(head, [_reading_row(one, record, words) for one in here])
    off_the_paper = [_reading_row(one, record, words) for one in taken if _of_the_maker(one, words)]
    figures = [_figure_row(one, record, words) for one in record["sheet"] if one["quantity"] not in COUNTED]
    blocks += _table(("Maker's figure", "Value", "Read from"), [*figures, *(row[:3] for row in off_the_paper)])
    if vent := [*(_vent(survey) for survey in record["vent_surveys"][-1:]), *_counted(record)]:
        blocks.append(Text(" ".join(vent)))
    if carried := [_instrument(one) for one in record["instruments"]]:
        blocks += [Text("Instruments on this visit:"), Bullets(carried)]
    return Section("The numbers", blocks) if blocks else None


def _table(head: Row, rows: Sequence[Row]) -> list[Block]:
    """A last column in which nothing stands is left out."""
    if not rows:
        return []
    if not any(row[-1] for row in rows):
        head, rows = head[:-1], [row[:-1] for row in rows]
    return [Table(head, rows)]


def _of_the_maker(reading: Reading, words: ProcedureWords) -> bool:
    """Typed off a label or sheet beside what was measured: it measures nothing."""
    return any(field.get("from_sheet") for field in _fields(words, reading["check"], reading["quantity"]))


def _reading_row(reading: Reading, record: Record, words: ProcedureWords) -> Row:
    name, unit = number_name(reading["check"], reading["quantity"], words)
    where = (reading["place"] or "", STATES.get(reading["state"] or "", ""), hour_of(reading["by"]))
    return (
        name,
        measured(reading["quantity"], reading["value"], unit),
        ", ".join(part for part in where if part),
        reading["instrument_words"] or _co_meter(reading, record),
    )


def _co_meter(reading: Reading, record: Record) -> str:
    """The CO of the room is read off the meter that is on all the while: one carried, or on by the first looks."""
    if reading["quantity"] != "co_room_ppm":
        return ""
    carried = [carried_words(one)[0] for one in record["instruments"] if one["instrument_kind"] == "co_meter"]
    if carried:
        return carried[0] if len(carried) == 1 else ""
    on = any(one["check"] == "co_meter" and one["outcome"] == "on" for one in record["checks"])
    return "CO meter, tested and zeroed" if on else ""


def _figure_row(one: SheetNote, record: Record, words: ProcedureWords) -> Row:
    """As the office read it from the photo, where it read otherwise than was typed."""
    asking = next((check for check in words.checks if _fields(words, check, one["quantity"])), None)
    name, unit = number_name(asking, one["quantity"], words)
    said = [line["read_value"] for line in record["sheet_confirmed"] if line["sheet_event_id"] == one["by"]["event_id"]]
    read = next((value for value in reversed(said) if value is not None), None)
    value, where = (one["value"], read_from(one)) if read in (None, one["value"]) else (read, "photo, by our office")
    return (name, measured(one["quantity"], value, unit), where)


def _fields(words: ProcedureWords, check: str | None, quantity: str) -> list[dict[str, Any]]:
    """As what a check asks for this number."""
    return [one for one in words.checks.get(check or "", {}).get("readings", []) if one["quantity"] == quantity]


def _counted(record: Record) -> list[str]:
    """`Counted as 5 ft for each 90° bend, by the maker's instruction sheet.`"""
    last = {one["quantity"]: one for one in record["sheet"] if one["quantity"] in COUNTED}
    bends = [f"{number_words(one['value'])} ft for each {COUNTED[name]} bend" for name, one in last.items()]
    sources = " and the ".join(dict.fromkeys(read_from(one) for one in last.values()))
    return [f"Counted as {' and '.join(bends)}, by the {sources}."] if bends else []


def _vent(survey: VentSurvey) -> str:
    feet, most = survey["limit_equivalent_ft"], survey["limit_elbows"]
    allowed = [
        f"{number_words(feet)} ft long with its bends reckoned in" if feet is not None else "",
        _bends(most) if most is not None else "",
    ]
    sheet = " and ".join(part for part in allowed if part)
    return (
        f"The vent pipe as counted: {number_words(survey['nominal_in'])} in. wide, "
        f"{number_words(survey['straight_ft'])} ft straight, "
        f"{_bends(survey['elbows_90'])} of 90°, {_bends(survey['elbows_45'])} of 45°."
        + (f" The most that the maker's sheet allows, as read here: {sheet}." if sheet else "")
    )


def _bends(count: int) -> str:
    return f"{count or 'no'} {'bend' if count == 1 else 'bends'}"


def _instrument(one: InstrumentNote) -> str:
    said = [
        INSTRUMENTS[one["instrument_kind"]],
        f"serial {one['serial_words']}" if one["serial_words"] else "",
        f"calibrated {date_words(one['calibrated_on'])}" if one["calibrated_on"] else "no calibration date recorded",
        {True: "tried on test gas before use", False: "not tried on test gas", None: ""}[one["bump_tested"]],
        {True: "set to zero before use", False: "not set to zero", None: ""}[one["zeroed"]],
    ]
    return as_title(", ".join(part for part in said if part))
