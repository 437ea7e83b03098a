"""What the office wrote, as one line of the timeline: the address, the call, the booking and what changed of it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.sites.brought_in import FROM_OLD_FILES, NOBODYS_ID, NOT_TOLD, OTHER
from webapp.sites.clock import date_words, wall_words
from webapp.sites.phrases import Before, Body, Sentence, joined, quoted
from webapp.sites.procedure_words import ProcedureWords, as_title, plain_words
from webapp.sites.ringing import phone_words

if TYPE_CHECKING:
    from collections.abc import Callable

ASKED_WORDS = {
    "smell_of_gas": "smell of gas",
    "co_alarm": "CO alarm",
    "unwell": "anybody unwell",
    "water_leak": "water where it should not be",
}
SAID_WORDS = {
    "gas_out": "everybody out, touch no switch, call from outside",
    "co_out": "everybody out into fresh air, call 911, do not go back in",
    "water_away": "keep away from the water and from anything electrical",
}
SETTLED = "Settled: nobody goes again"
ANSWER_WORDS = {"yes": "yes", "no": "no", "unsure": "not sure", "not_asked": "not asked"}


def _job_booked(body: Body, words: ProcedureWords, names: dict[str, str]) -> Sentence:
    if body["technician_id"] == NOBODYS_ID:
        complaint = "" if body["complaint"] in (NOT_TOLD, OTHER) else words.complaint(body["complaint"])
        return as_title(FROM_OLD_FILES) + (f": {complaint}" if complaint else ""), None, quoted(body["complaint_words"])
    technician_id = body["technician_id"]
    technician = names.get(technician_id, "a technician unknown here") if technician_id else "nobody yet"
    return (
        f"Booked for {technician}: {words.complaint(body['complaint'])}",
        None,
        joined(
            quoted(body["complaint_words"]), f"appointment {wall_words(body['due_wall'])}" if body["due_wall"] else ""
        ),
    )


def _job_moved(body: Body, words: ProcedureWords, names: dict[str, str]) -> Sentence:
    return moved_words(body, words, names, Before())


def moved_words(body: Body, words: ProcedureWords, names: dict[str, str], before: Before) -> Sentence:
    """Somebody goes, or somebody else; an appointment, or another; or what was heard wrong."""
    technician = body["technician_id"]
    name = names.get(technician, "a technician unknown here") if technician else ""
    sent = f"{'Sent' if before.nobody else 'Moved'} to {name}" if name else ""
    due = f"appointment {'' if before.no_appointment else 'moved to '}{wall_words(body['due_wall'])}"
    more = joined(due if body["due_wall"] else "", _cleared(body), _corrected(body, words))
    first, _, rest = more.partition(" · ")
    if sent or not more:
        return sent or "Moved", None, joined(more, quoted(body["why"]))
    if body["due_wall"]:
        return as_title(first), None, joined(rest, quoted(body["why"]))
    return "Booking corrected", None, joined(more, quoted(body["why"]))


def cancelled_words(body: Body, before: Before) -> Sentence:
    """Nobody goes; after the close: nobody goes again."""
    return SETTLED if before.closed else "Cancelled: nobody goes", None, quoted(body["why"])


def _job_cancelled(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    return cancelled_words(body, Before())


def _cleared(body: Body) -> str:
    return "no appointment stands any more" if body.get("due_cleared") else ""


def _corrected(body: Body, words: ProcedureWords) -> str:
    complaint = body.get("complaint")
    return joined(
        f"complaint: {words.complaint(complaint)}" if complaint else "",
        quoted(body.get("complaint_words")),
        f"kind of heater: {words.kind_of(body['procedure_name'])}" if body.get("procedure_name") else "",
        f"ring {phone_words(body['phone'])}" if body.get("phone") else "",
    )


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


def _address_given(body: Body, _words: ProcedureWords, _names: dict[str, str]) -> Sentence:
    place = ", ".join(part for part in (body["street"], body["town"], body["postcode"]) if part)
    return (
        f"Address: {place}" if place else "Address not given yet",
        None,
        joined(body["customer_name"] or "", phone_words(body["phone"] or ""), body["access_words"] or ""),
    )


OFFICE_SENTENCES: dict[str, Callable[[Body, ProcedureWords, dict[str, str]], Sentence]] = {
    "address_given": _address_given,
    "call_taken": _call_taken,
    "job_booked": _job_booked,
    "job_cancelled": _job_cancelled,
    "job_moved": _job_moved,
}
