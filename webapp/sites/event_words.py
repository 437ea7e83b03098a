"""What each kind of event says, as one line of the timeline."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from webapp.models.base import wall_time
from webapp.sites.brought_in import held_words
from webapp.sites.clock import date_words, reckoned, wall_words
from webapp.sites.office_event_words import OFFICE_SENTENCES, cancelled_words, moved_words
from webapp.sites.photo_words import own_words
from webapp.sites.phrases import Before, Body, Sentence, done_or_not, joined, measured, quoted
from webapp.sites.procedure_words import (
    CLOSE_WORDS,
    ProcedureWords,
    Said,
    could_not,
    number_words,
    plain_words,
    split_unit,
)
from webapp.sites.ringing import phone_words
from webapp.trade.bodies import SHAPES, read_body
from webapp.trade.put_back_counts import heard_without

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping
    from datetime import datetime

    from webapp.trade.events import Event

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


INSTRUMENT_WORDS = {
    "co_meter": "CO meter",
    "gas_detector": "gas detector",
    "multimeter": "meter",
    "manometer": "gauge",
    "combustion_analyser": "combustion analyser",
    "thermometer": "thermometer",
    "other": "another instrument",
}


RECKONED_BY_THE_DEVICE = {"due_out": ("due_out_wall",), "office_told": ("told_wall",)}
"""Times inside a body that its device read off its own clock: shown by the server's, as in the lists."""


def sentence(
    event: Event,
    words: ProcedureWords,
    names: dict[str, str],
    arrived: datetime | None = None,
    before: Before | None = None,
) -> Sentence:
    """One event in words. Kinds and bodies that cannot be read say so; nothing is hidden.

    `before`: how the job stood up to this event.
    """
    kind, schema = event["kind"], event["schema"]
    if (kind, schema) not in SHAPES:
        return f"Something newer than this office can read ({plain_words(kind)}, shape {schema}); it is kept", None, ""
    body, fault = read_body(kind, schema, event["body"])
    if fault is not None:
        return f"Could not be read: {plain_words(kind)}, its {plain_words(fault)}; it is kept as it came", None, ""
    if before and kind == "job_moved":
        return moved_words(body, words, names, before)
    if before and kind == "job_cancelled":
        return cancelled_words(body, before)
    for name in RECKONED_BY_THE_DEVICE.get(kind, ()):
        moment = reckoned(body[name], event, arrived)
        body[name] = wall_time(moment) if moment else body[name]
    return SENTENCES[kind](body, words, names)


def _due_out(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    ring = f"otherwise ring {phone_words(body['ring_phone'])}" if body["ring_phone"] else ""
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


def _sheet_confirmed(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    name, unit = split_unit(body["quantity"])
    read = measured(body["quantity"], body["read_value"], unit) if body["read_value"] is not None else ""
    if body["agrees"]:
        return f"Maker's figure confirmed against the photo: {name}", None, joined(read, quoted(body["words"]))
    return f"Maker's figure reads otherwise on the photo: {name} {read}".strip(), None, quoted(body["words"])


def _job_opened(_body: Body, words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return "Began the walk", None, "" if words.known else "The procedure it was walked with is not in this store."


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
        joined(
            words.check(body["check"]) if body["check"] else "",
            quoted(own_words(body["words"], body["check"], words)),
        ),
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


def _job_closed(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    if told := held_words(body["words"]):
        return f"Done with, as the old file tells it: {told}", None, ""
    out = {None: "", True: "out again", False: "whoever closed it was still below"}[body.get("out")]
    return f"Closed: {CLOSE_WORDS[body['state']]}", None, joined(out, quoted(body["words"]))


def _appliance_described(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return f"Heater: {heater_words(body)}", None, ""


def _sheet_number(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    name, unit = split_unit(body["quantity"])
    figure = f"{name} {measured(body['quantity'], body['value'], unit)}"
    if body.get("model_sheet_id"):
        return f"Maker's figure taken over: {figure}", None, f"from the {OFFICE_SHEET}; not read on the heater"
    return f"Maker's figure typed on site: {figure}", None, f"from the {read_from(body)}; to be confirmed on the photo"


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


def _plain(title: str, quotes: str = "") -> Callable[[Body, ProcedureWords, dict[str, str]], Sentence]:
    """A kind that says one thing, with what somebody wrote beside it."""
    return lambda body, _words, _names: (title, None, quoted(body[quotes]) if quotes else "")


def _put_back(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    """What the office heard without what shows it safe is somebody's word."""
    said_only = "who_words" in body and heard_without(body)
    return ("Said to be back in service" if said_only else "Put back in service", None, quoted(body["words"]))


SENTENCES: dict[str, Callable[[Body, ProcedureWords, dict[str, str]], Sentence]] = {
    **OFFICE_SENTENCES,
    "arrived": _plain("Arrived", "words"),
    "put_back": _put_back,
    "note": _plain("Note", "words"),
    "withdrawn": _plain("Took an entry back", "why"),
    "same_address": _plain("Said to be the same address as another entry; both histories are shown here"),
    "not_same_address": _plain("Said not to be the same address as another entry"),
    "may_be_same_address": _plain("May be the same address as another entry: put off when the call was taken"),
    "job_opened": _job_opened,
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
    "job_closed": _job_closed,
    "appliance_described": _appliance_described,
    "sheet_number": _sheet_number,
    "due_out": _due_out,
    "came_out": _came_out,
    "instrument_carried": _instrument_carried,
    "work_agreed": _work_agreed,
    "office_told": _office_told,
    "sheet_confirmed": _sheet_confirmed,
}
"""A kind without a line here is caught by a test; in the office it would be shown as something newer."""
