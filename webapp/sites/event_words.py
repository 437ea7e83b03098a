"""What each kind of event says, as one line of the timeline."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from webapp.models.base import wall_time
from webapp.sites.brought_in import FROM_OLD_FILES, NOBODYS_ID, NOT_TOLD, OTHER, held_words
from webapp.sites.clock import date_words, reckoned, wall_words
from webapp.sites.procedure_words import (
    CLOSE_WORDS,
    ProcedureWords,
    Said,
    as_title,
    could_not,
    number_words,
    plain_words,
    split_unit,
)
from webapp.trade.bodies import SHAPES, read_body

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import datetime

    from webapp.trade.events import Event

Body = dict[str, Any]
Sentence = tuple[str, Said | None, str]
"""Title, what was said with its verdict, and the detail beneath."""

SHOWN_WORDS = {"flashes": "flashing", "text": "text", "dark": "dark", "steady": "steady light"}
PHOTO_WORDS = {
    "plate": "the rating plate",
    "sheet": "the instruction sheet",
    "part_label": "the label on the part",
    "damage_before": "damage that was there before",
    "proof": "the proof",
}
WHERE_WORDS = {"plate": "rating plate", "sheet": "instruction sheet", "part_label": "label on the part"}
OFFICE_SHEET = "company's sheet of this model"


def read_from(figure: Mapping[str, Any]) -> str:
    """Where a maker's figure was taken from: off the company's own sheet, nobody read it on this heater."""
    return OFFICE_SHEET if figure.get("model_sheet_id") else WHERE_WORDS[figure["where"]]


ASKED_WORDS = {
    "smell_of_gas": "smell of gas",
    "co_alarm": "CO alarm",
    "unwell": "anybody unwell",
    "water_leak": "water where it should not be",
}
INSTRUMENT_WORDS = {
    "co_meter": "CO meter",
    "gas_detector": "gas detector",
    "multimeter": "meter",
    "manometer": "gauge",
    "combustion_analyser": "combustion analyser",
    "thermometer": "thermometer",
    "other": "another instrument",
}
SAID_WORDS = {
    "gas_out": "everybody out, touch no switch, call from outside",
    "co_out": "everybody out into fresh air, call 911, do not go back in",
    "water_away": "keep away from the water and from anything electrical",
}
ANSWER_WORDS = {"yes": "yes", "no": "no", "unsure": "not sure", "not_asked": "not asked"}


RECKONED_BY_THE_DEVICE = {"due_out": ("due_out_wall",), "office_told": ("told_wall",)}
"""Times inside a body that its device read off its own clock: shown by the server's, as in the lists."""


def quoted(words: str | None) -> str:
    """Somebody's own words, marked as such; nothing where there are none."""
    return f"“{words}”" if words else ""


def joined(*parts: str) -> str:
    """The parts that are there, with a middle dot between."""
    return " · ".join(part for part in parts if part)


def measured(quantity: str, value: object, unit: str | None = None) -> str:
    """A number and its unit: `0.41 in. w.c.`."""
    return f"{number_words(value)} {unit or split_unit(quantity)[1]}".strip()


def sentence(event: Event, words: ProcedureWords, names: dict[str, str], arrived: datetime | None = None) -> Sentence:
    """One event in words. Kinds and bodies that cannot be read say so; nothing is hidden."""
    kind, schema = event["kind"], event["schema"]
    if (kind, schema) not in SHAPES:
        return f"Something newer than this office can read ({plain_words(kind)}, shape {schema}); it is kept", None, ""
    body, fault = read_body(kind, schema, event["body"])
    if fault is not None:
        return f"Could not be read: {plain_words(kind)}, its {plain_words(fault)}; it is kept as it came", None, ""
    for name in RECKONED_BY_THE_DEVICE.get(kind, ()):
        moment = reckoned(body[name], event, arrived)
        body[name] = wall_time(moment) if moment else body[name]
    return SENTENCES[kind](body, words, names)


def _job_booked(body: Body, words: ProcedureWords, names: dict[str, str]) -> Sentence:
    if body["technician_id"] == NOBODYS_ID:
        complaint = "" if body["complaint"] in (NOT_TOLD, OTHER) else words.complaint(body["complaint"])
        return as_title(FROM_OLD_FILES) + (f": {complaint}" if complaint else ""), None, quoted(body["complaint_words"])
    technician = names.get(body["technician_id"], "a technician unknown here")
    return (
        f"Booked for {technician}: {words.complaint(body['complaint'])}",
        None,
        joined(
            quoted(body["complaint_words"]), f"appointment {wall_words(body['due_wall'])}" if body["due_wall"] else ""
        ),
    )


def _job_moved(body: Body, words: ProcedureWords, names: dict[str, str]) -> Sentence:
    technician, complaint = body["technician_id"], body.get("complaint")
    changed = [
        f"to {names.get(technician, 'a technician unknown here')}" if technician else "",
        f"to {wall_words(body['due_wall'])}" if body["due_wall"] else "",
    ]
    corrected = joined(
        f"complaint: {words.complaint(complaint)}" if complaint else "",
        quoted(body.get("complaint_words")),
        plain_words(body["procedure_name"]) if body.get("procedure_name") else "",
        f"ring {body['phone']}" if body.get("phone") else "",
    )
    moved = " and ".join(part for part in changed if part)
    cleared = "no appointment stands any more" if body.get("due_cleared") else ""
    title = f"Moved {moved}" if moved else "Booking corrected" if corrected or cleared else "Moved"
    return title, None, joined(cleared, corrected, quoted(body["why"]))


def _call_taken(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    asked = [f"{ASKED_WORDS[name]} {ANSWER_WORDS[body[name]]}" for name in ASKED_WORDS]
    resets = body["resets_tried"]
    return (
        "The call: " + ", ".join(asked),
        None,
        joined(
            f"no hot water since {date_words(body['no_hot_water_since'])}" if body["no_hot_water_since"] else "",
            quoted(body["since_words"]),
            "lately: " + ", ".join(plain_words(one) for one in body["lately"]) if body["lately"] else "",
            quoted(body["lately_words"]),
            f"the lights: {body['lights_words']}" if body["lights_words"] else "",
            f"resets tried by the household: {resets}" if resets is not None else "",
            f"at home: {body['home_words']}" if body["home_words"] else "",
            "said to the caller: " + "; ".join(SAID_WORDS.get(one, plain_words(one)) for one in body["said"])
            if body["said"]
            else "",
        ),
    )


def _job_cancelled(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return "Cancelled: nobody goes", None, quoted(body["why"])


def _due_out(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    ring = f"otherwise ring {body['ring_phone']}" if body["ring_phone"] else ""
    return f"Went below, due out {wall_words(body['due_out_wall'])}", None, joined(ring, quoted(body["words"]))


def _came_out(body: Body, _words: ProcedureWords, names: dict[str, str]) -> Sentence:
    who = names.get(body["person_id"], "somebody unknown here") if body.get("person_id") else ""
    return f"Heard that {who} is out" if who else "Out again", None, quoted(body["words"])


def _instrument_carried(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    what, *more = carried_words(body)
    return f"Carried: {what}", None, joined(*more)


def carried_words(note: Mapping[str, Any]) -> list[str]:
    """An instrument, then what is known of how far it can be trusted; a day of calibration that nobody gave is said."""
    serial = f", serial {note['serial_words']}" if note["serial_words"] else ""
    day = note["calibrated_on"]
    return [
        INSTRUMENT_WORDS[note["instrument_kind"]] + serial,
        f"calibrated {date_words(day)}" if day else "no day of calibration given",
        done_or_not("bump-tested", was_done=note["bump_tested"]),
        done_or_not("zeroed", was_done=note["zeroed"]),
        quoted(note["words"]),
    ]


def done_or_not(what: str, *, was_done: bool | None) -> str:
    """`bump-tested`, `not bump-tested`, or nothing where nobody said."""
    if was_done is None:
        return ""
    return what if was_done else f"not {what}"


def _work_agreed(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    signed = "signed" if body["signature_path"] else "not signed"
    return (
        f"Work {body['decision']}: {body['scope_words']}",
        None,
        joined(
            f"told: {body['told_words']}",
            f"price: {body['price_words']}" if body["price_words"] else "",
            f"{signed}, {body['name_words']}" if body["name_words"] else signed,
        ),
    )


def _office_told(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return f"Office told by voice: {body['who_words']}, {wall_words(body['told_wall'])}", None, quoted(body["words"])


def _put_back(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return "Put back in service", None, quoted(body["words"])


def _sheet_confirmed(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    name, unit = split_unit(body["quantity"])
    read = measured(body["quantity"], body["read_value"], unit) if body["read_value"] is not None else ""
    if body["agrees"]:
        return f"Maker's figure confirmed against the photo: {name}", None, joined(read, quoted(body["words"]))
    return f"Maker's figure reads otherwise on the photo: {name} {read}".strip(), None, quoted(body["words"])


def _job_opened(_body: Body, words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return "Began the walk", None, "" if words.known else "The procedure it was walked with is not in this store."


def _arrived(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return "Arrived", None, quoted(body["words"])


def _code_read(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    shown = SHOWN_WORDS[body["shown"]]
    if body["flashes"] is not None:
        shown = f"{body['flashes']} flashes"
    if body.get("flash_groups"):
        shown = f"flashes in groups of {body['flash_groups']}"
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
    about = PHOTO_WORDS.get(body.get("about") or "", "")
    return (
        f"Photo taken of {about}" if about else "Photo taken",
        None,
        joined(words.check(body["check"]) if body["check"] else "", quoted(body["words"])),
    )


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
    quantity = body.get("quantity") or "suction_in_wc"
    before = body.get("before_value", body.get("suction_before_in_wc"))
    after = body.get("after_value", body.get("suction_hot_in_wc"))
    co, air_free = body["co_room_ppm"], body.get("co_air_free_ppm")
    name, unit = split_unit(quantity)
    restarts = f"{body['restarts']} restart{'' if body['restarts'] == 1 else 's'}"
    return (
        f"Hot run of {number_words(body['minutes'])} min, {restarts}",
        Said("held", "good") if body["passed"] else Said("did not hold", "bad"),
        joined(
            f"{name} before {measured(quantity, before, unit)}" if before is not None else "",
            f"{name} {'hot' if quantity == 'suction_in_wc' else 'after'} {measured(quantity, after, unit)}"
            if after is not None
            else "",
            "all fans on" if body.get("fans_on") else "",
            f"CO in the room {measured('co_ppm', co)}" if co is not None else "",
            f"CO air-free {measured('co_ppm', air_free)}" if air_free is not None else "",
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
    if told := held_words(body["words"]):
        return f"Done with, as the old file tells it: {told}", None, ""
    return f"Closed: {CLOSE_WORDS[body['state']]}", None, quoted(body["words"])


def _appliance_described(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return f"Heater: {heater_words(body)}", None, ""


def _sheet_number(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    name, unit = split_unit(body["quantity"])
    figure = f"{name} {measured(body['quantity'], body['value'], unit)}"
    if body.get("model_sheet_id"):
        return f"Maker's figure taken over: {figure}", None, f"from the {OFFICE_SHEET}; not read on the heater"
    return f"Maker's figure typed on site: {figure}", None, f"from the {read_from(body)}; to be confirmed on the photo"


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
            body.get("location_words") or "",
            f"from {body['installed_year']}" if body.get("installed_year") else "",
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
    "call_taken": _call_taken,
    "job_cancelled": _job_cancelled,
    "due_out": _due_out,
    "came_out": _came_out,
    "instrument_carried": _instrument_carried,
    "work_agreed": _work_agreed,
    "office_told": _office_told,
    "put_back": _put_back,
    "sheet_confirmed": _sheet_confirmed,
}
"""A kind without a line here is caught by a test; in the office it would be shown as something newer."""
