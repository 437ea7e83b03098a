"""Booking a job: one use case from the call to the events."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Any, cast

from webapp.errors import NotFound
from webapp.office import queries
from webapp.people.service import Draft, record_office_events
from webapp.sites.address_key import phone_key, street_key, words_key
from webapp.sites.call_seen import alarm_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy.orm import Session

    from webapp.models import Job, Person, Site
    from webapp.sites.finding import Match
    from webapp.trade.record_types import CallNote

NEW_ADDRESS = "new"
DECIDE_LATER = "later"
"""Booked as a new address for now; whether it is a known one is decided when there is time."""


@dataclass(frozen=True)
class Booking:
    """What the dispatcher typed and chose, in good shape."""

    job_id: str
    """Made with the form, so that a form sent twice books once."""
    site_id: str
    """A known site's id, or the id that a new one is to have."""
    is_new: bool
    address: dict[str, str]
    """street, town, postcode, customer_name, phone, access_words; empty where nothing was typed."""
    procedure_name: str
    complaint: str
    complaint_words: str
    technician_id: str | None
    """None: decided later, and until then nobody goes."""
    call: dict[str, Any]
    """What was asked on the phone: the body of `call_taken`."""
    due_wall: str | None = None
    """The appointment, where one was promised."""
    may_be: tuple[Site, ...] = ()
    """The known addresses that were in sight, or sound like it, and nobody decided which of them it is."""
    known_here: str = ""
    """What is said of the kind of heater, where the one known there is of another kind than was chosen."""
    kind_note: str = ""
    """What whoever goes has to know where nobody knows the kind."""
    is_doubtful: bool = False
    """Something like the address is known, and nobody has decided yet whether it is the same."""


class Outcome(StrEnum):
    """What became of a form that was sent."""

    BOOKED = "booked"
    BOOKED_FOR_NOBODY = "booked_for_nobody"
    """Who goes is decided later."""
    KEPT_WITHOUT_ADDRESS = "kept_without_address"
    """They hung up before the street was said."""
    SENT_AGAIN = "sent_again"
    """With the same words: booked once, and nothing else was wanted."""
    STANDS_AS_FIRST_SENT = "stands_as_first_sent"
    """With other words, which are not kept."""


JUST_BOOKED = (Outcome.BOOKED, Outcome.BOOKED_FOR_NOBODY, Outcome.KEPT_WITHOUT_ADDRESS)


def book_job(session: Session, person: Person, booking: Booking) -> Outcome:
    """Store the address where it is new or said anew, the call and the booking; once for each form."""
    queries.lock_booking(session, booking.job_id)
    if (job := queries.get_job(session, booking.job_id)) is not None:
        return _sent_before(session, booking, job)
    site = None if booking.is_new else queries.get_site(session, booking.site_id)
    if site is None and not booking.is_new:
        raise NotFound("The chosen address is not here any more.")
    drafts = [
        *_address_drafts(booking, site),
        *_put_off(booking),
        _call_taken(booking),
        _booked(booking),
        *_notes(booking),
        *_alarms_beside(session, booking),
    ]
    record_office_events(session, person, drafts)
    return _outcome(booking)


def _outcome(booking: Booking) -> Outcome:
    if booking.is_new and not booking.address["street"]:
        return Outcome.KEPT_WITHOUT_ADDRESS
    return Outcome.BOOKED if booking.technician_id else Outcome.BOOKED_FOR_NOBODY


def _sent_before(session: Session, booking: Booking, job: Job) -> Outcome:
    stored = queries.get_bodies(session, job.id, ("call_taken", "job_booked"))
    again = [_call_taken(booking)["body"], _booked(booking)["body"]]
    site = queries.get_site(session, job.site_id)
    street = booking.address["street"]
    same_door = not street or (site is not None and street_key(street) == street_key(site.street))
    same = same_door and all(body in stored for body in again)
    return Outcome.SENT_AGAIN if same else Outcome.STANDS_AS_FIRST_SENT


def _address_drafts(booking: Booking, site: Site | None) -> list[Draft]:
    said = {name: words for name, words in booking.address.items() if words}
    if site is None:
        return [_address_given(booking.site_id, {"street": "", "town": "", **said})]
    known: dict[str, str] = {name: getattr(site, name) for name in booking.address}
    # The street stays as it is known; a second phone number belongs to the call, not to the address.
    news: dict[str, str] = {name: said[name] for name in ("customer_name", "access_words", "postcode") if name in said}
    if not known["phone"] and "phone" in said:
        news["phone"] = said["phone"]
    if all(known[name] == words for name, words in news.items()):
        return []
    merged = {name: words for name, words in {**known, **news}.items() if words}
    return [_address_given(site.id, merged)]


def _address_given(site_id: str, body: dict[str, Any]) -> Draft:
    return {"site_id": site_id, "kind": "address_given", "body": body}


def _call_taken(booking: Booking) -> Draft:
    return {"site_id": booking.site_id, "job_id": booking.job_id, "kind": "call_taken", "body": booking.call}


def _put_off(booking: Booking) -> list[Draft]:
    """A pair for each known address in sight: whoever decides finds them together, however little they are alike."""
    pair = {"site_id": booking.site_id, "kind": "may_be_same_address"}
    return [{**pair, "body": {"other_site_id": site.id}} for site in booking.may_be]  # type: ignore[typeddict-item]


def _notes(booking: Booking) -> list[Draft]:
    """That nobody has decided which address it is, or knows which kind of heater, for whoever goes."""
    known = "; or ".join(f"{site.street}, {site.town}" for site in booking.may_be)
    told = [f"Address not decided yet. It may be {known}." if known else "", booking.kind_note]
    of_job: Draft = {"site_id": booking.site_id, "job_id": booking.job_id, "kind": "note", "body": {}}
    return [of_job | {"body": {"words": words}} for words in told if words]


def _alarms_beside(session: Session, booking: Booking) -> list[Draft]:
    """A caller's alarm, for whoever has a job at an address that it may be: nobody waits for the decision."""
    alarm = alarm_words(cast("CallNote", booking.call))
    waiting = queries.get_waiting_jobs(session, {site.group_id for site in booking.may_be}) if alarm else {}
    at = ", ".join(filter(None, (booking.address["street"] or "no street said", booking.address["town"])))
    words = f"A call that may be from this address ({at}; not decided yet): {alarm}. Ring the office before going in."
    jobs = [job for of_address in waiting.values() for job, _name in of_address]
    return [{"site_id": job.site_id, "job_id": job.id, "kind": "note", "body": {"words": words}} for job in jobs]


def _booked(booking: Booking) -> Draft:
    body: dict[str, Any] = {
        "complaint": booking.complaint,
        "complaint_words": booking.complaint_words,
        "procedure_name": booking.procedure_name,
    }
    if booking.technician_id:
        body["technician_id"] = booking.technician_id
    if booking.address["phone"]:
        body["phone"] = booking.address["phone"]
    if booking.due_wall:
        body["due_wall"] = booking.due_wall
    of_job: Draft = {"site_id": booking.site_id, "job_id": booking.job_id, "kind": "job_booked", "body": body}
    return of_job if booking.technician_id else of_job | {"schema": 2}


def likely_same(matches: Sequence[Match], *, street: str, town: str, phone: str) -> list[Match]:
    """Matches that somebody must decide upon some day: the same door, or the same phone."""
    wanted, digits = (street_key(street), words_key(town)), phone_key(phone)
    return [
        match
        for match in matches
        if (street_key(match.site.street), words_key(match.site.town)) == wanted
        or (digits and phone_key(match.site.phone) == digits)
    ]
