"""What each kind of event says, as one line of the timeline."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from webapp.sites.procedure_words import (
    CLOSE_WORDS,
    ProcedureWords,
    Said,
    could_not,
    number_words,
    plain_words,
    split_unit,
)
from webapp.trade.bodies import SHAPES, read_body

if TYPE_CHECKING:
    from collections.abc import Callable

    from webapp.trade.events import Event

Body = dict[str, Any]
Sentence = tuple[str, Said | None, str]
"""Title, what was said with its verdict, and the detail beneath."""

SHOWN_WORDS = {"flashes": "flashing", "text": "text", "dark": "dark", "steady": "steady light"}
WHERE_WORDS = {"plate": "rating plate", "sheet": "instruction sheet", "part_label": "label on the part"}


def quoted(words: str | None) -> str:
    """Somebody's own words, marked as such; nothing where there are none."""
    return f"“{words}”" if words else ""


def joined(*parts: str) -> str:
    """The parts that are there, with a middle dot between."""
    return " · ".join(part for part in parts if part)


def measured(quantity: str, value: object, unit: str | None = None) -> str:
    """A number and its unit: `0.41 in. w.c.`."""
    return f"{number_words(value)} {unit or split_unit(quantity)[1]}".strip()


def sentence(event: Event, words: ProcedureWords, names: dict[str, str]) -> Sentence:
    """One event in words. Kinds and bodies that cannot be read say so; nothing is hidden."""
    kind, schema = event["kind"], event["schema"]
    if (kind, schema) not in SHAPES:
        return f"Something newer than this office can read ({plain_words(kind)}, shape {schema}); it is kept", None, ""
    body, fault = read_body(kind, schema, event["body"])
    if fault is not None:
        return f"Could not be read: {plain_words(kind)}, its {plain_words(fault)}; it is kept as it came", None, ""
    return SENTENCES[kind](body, words, names)


def _job_booked(body: Body, words: ProcedureWords, names: dict[str, str]) -> Sentence:
    technician = names.get(body["technician_id"], "a technician unknown here")
    return f"Booked for {technician}: {words.complaint(body['complaint'])}", None, quoted(body["complaint_words"])


def _job_moved(body: Body, _words: ProcedureWords, names: dict[str, str]) -> Sentence:
    technician = body["technician_id"]
    title = f"Moved to {names.get(technician, 'a technician unknown here')}" if technician else "Moved to another time"
    return title, None, quoted(body["why"])


def _job_opened(_body: Body, words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return "Began the walk", None, "" if words.known else "The procedure it was walked with is not in this store."


def _arrived(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return "Arrived", None, quoted(body["words"])


def _code_read(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    shown = SHOWN_WORDS[body["shown"]]
    if body["flashes"] is not None:
        shown = f"{body['flashes']} flashes"
    if body["text"]:
        shown = quoted(body["text"])
    meaning = f"by its label: {body['meaning_words']}" if body["meaning_words"] else ""
    return f"The control showed: {shown}", None, meaning


def _check_answered(body: Body, words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    said = could_not(body["could_not"]) if body["could_not"] else words.outcome(body["check"], body["outcome"])
    fired = body["minutes_since_fired"]
    since = f"{number_words(fired)} min after firing" if fired is not None else ""
    return words.check(body["check"]), said, joined(quoted(body["words"]), since)


def _reading_taken(body: Body, words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    name, unit = words.reading(body["check"], body["quantity"])
    where = joined(body["place"] or "", body["state"] or "", body["instrument_words"] or "")
    return f"Measured {name}: {measured(body['quantity'], body['value'], unit)}", None, where


def _photo_taken(body: Body, words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return "Photo taken", None, joined(words.check(body["check"]) if body["check"] else "", quoted(body["words"]))


def _vent_surveyed(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    run = (
        f"{number_words(body['nominal_in'])} in. pipe, {number_words(body['straight_ft'])} ft straight, "
        f"{body['elbows_90']} elbows of 90°, {body['elbows_45']} of 45°"
    )
    feet, elbows = body["limit_equivalent_ft"], body["limit_elbows"]
    sheet = joined(
        f"{number_words(feet)} equivalent ft" if feet is not None else "",
        f"{elbows} elbows" if elbows is not None else "",
    )
    return f"Vent run: {run}", None, joined(f"sheet allows {sheet}" if sheet else "", quoted(body["words"]))


def _hunch(body: Body, words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return f"Hunch before looking: {words.cause(body['cause'])}", None, quoted(body["words"])


def _cause_named(body: Body, words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return f"Found: {words.cause(body['cause'])}", None, quoted(body["words"])


def _repair_made(body: Body, words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return f"Done: {words.repair(body['action'])}", None, quoted(body["words"])


def _part_used(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return f"Part {body['direction']}: {body['count']} \u00d7 {body['part_words']}", None, ""


def _proof_run(body: Body, words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    before, hot, co = body["suction_before_in_wc"], body["suction_hot_in_wc"], body["co_room_ppm"]
    return (
        f"Hot run of {number_words(body['minutes'])} min, {body['restarts']} restarts",
        Said("held", "good") if body["passed"] else Said("did not hold", "bad"),
        joined(
            f"suction before {measured('suction_in_wc', before)}" if before is not None else "",
            f"suction hot {measured('suction_in_wc', hot)}" if hot is not None else "",
            f"CO in the room {measured('co_ppm', co)}" if co is not None else "",
            "looked at last: " + ", ".join(words.closing_look(look) for look in body["looks_done"])
            if body["looks_done"]
            else "",
            quoted(body["words"]),
        ),
    )


def _left_off(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return f"Left off and tagged: {body['what_words']}", None, joined(body["why_words"], f"told: {body['told_words']}")


def _note(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return "Note", None, quoted(body["words"])


def _withdrawn(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return "Took an entry back", None, quoted(body["why"])


def _job_closed(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return f"Closed: {CLOSE_WORDS[body['state']]}", None, quoted(body["words"])


def _appliance_described(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return f"Heater: {heater_words(body)}", None, ""


def _sheet_number(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    name, unit = split_unit(body["quantity"])
    return (
        f"Maker's figure typed on site: {name} {measured(body['quantity'], body['value'], unit)}",
        None,
        f"from the {WHERE_WORDS[body['where']]}; to be confirmed against the photo",
    )


def _address_given(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    place = ", ".join(part for part in (body["street"], body["town"], body["postcode"]) if part)
    return (
        f"Address: {place}",
        None,
        joined(body["customer_name"] or "", body["phone"] or "", body["access_words"] or ""),
    )


def _same_address(_body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return "Said to be the same address as another entry; both histories are shown here", None, ""


def _not_same_address(_body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return "Said not to be the same address as another entry", None, ""


def heater_words(body: Body) -> str:
    """A heater in one line, from what was noted about it."""
    return ", ".join(
        part
        for part in (
            plain_words(body["kind"]),
            {"natural_gas": "natural gas", "propane": "LP (propane)"}.get(body["fuel"] or "", ""),
            body["maker_words"] or "",
            body["model_words"] or "",
            f"serial {body['serial_words']}" if body["serial_words"] else "",
            f"{body['input_btu_h']:,.0f} Btu/h" if body["input_btu_h"] is not None else "",
        )
        if part
    )


SENTENCES: dict[str, Callable[[Body, ProcedureWords, dict[str, str]], Sentence]] = {
    "job_booked": _job_booked,
    "job_moved": _job_moved,
    "job_opened": _job_opened,
    "arrived": _arrived,
    "code_read": _code_read,
    "check_answered": _check_answered,
    "reading_taken": _reading_taken,
    "photo_taken": _photo_taken,
    "vent_surveyed": _vent_surveyed,
    "hunch": _hunch,
    "cause_named": _cause_named,
    "repair_made": _repair_made,
    "part_used": _part_used,
    "proof_run": _proof_run,
    "left_off": _left_off,
    "note": _note,
    "withdrawn": _withdrawn,
    "job_closed": _job_closed,
    "appliance_described": _appliance_described,
    "sheet_number": _sheet_number,
    "address_given": _address_given,
    "same_address": _same_address,
    "not_same_address": _not_same_address,
}
"""A kind without a line here is caught by a test; in the office it would be shown as something newer."""
