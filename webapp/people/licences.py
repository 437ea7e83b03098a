"""Licences: what stands on them, and the words where one has run out or soon will."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, date, datetime
from typing import TYPE_CHECKING

from webapp.errors import BadForm, NotFound
from webapp.models import Role
from webapp.people import queries
from webapp.people.changes import kept_on, licence_text, note_change
from webapp.sites.clock import date_words, local

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.models import Person

WARN_DAYS = 30
LONGEST_LICENCE = 120


@dataclass(frozen=True)
class PersonThen:
    """A person as what was kept of them at some moment tells."""

    name: str
    technician: bool
    licence: str | None
    """Words and last day."""
    since: str = ""
    """Where it was changed since: that another one, one or none is kept now."""


def person_then(session: Session, person_id: str, moment: datetime) -> PersonThen | None:
    """Who somebody was when they were there, and with what licence; None where nobody here knows them."""
    person = queries.get_person(session, person_id)
    if person is None:
        return None
    kept = kept_on(session, person, moment)
    return PersonThen(person.name, kept.role == Role.TECHNICIAN, kept.licence, kept.since)


def licence_warning(person: Person, today: date | None = None) -> str:
    """`licence ran out Tue 3 Nov 2026`, `licence runs out in 12 days, …`, or nothing. It stops nobody."""
    if not person.licence_expires_on:
        return ""
    last_day = date.fromisoformat(person.licence_expires_on)
    left = (last_day - (today or local(datetime.now(UTC)).date())).days
    when = date_words(person.licence_expires_on)
    if left < 0:
        return f"licence ran out {when}"
    if left > WARN_DAYS:
        return ""
    soon = "today" if left == 0 else "in 1 day" if left == 1 else f"in {left} days"
    return f"licence runs out {soon}, {when}"


def licence_on(session: Session, person: Person, moment: datetime) -> str:
    """What is kept of a person's licence and whether it was good on that day; what was kept then, if another."""
    kept = kept_on(session, person, moment)
    if kept.since:
        then = f"licence as kept then: {kept.licence}" if kept.licence else "no licence was kept then"
        return f"{then}; {kept.since} is kept now"
    if not person.licence_words:
        return "no licence is kept for this person"
    if not person.licence_expires_on:
        return f"licence as kept now: {person.licence_words}"
    ran_out = date.fromisoformat(person.licence_expires_on) < local(moment).date()
    told = "had run out" if ran_out else "good to"
    return f"licence as kept now: {person.licence_words}, {told} {date_words(person.licence_expires_on)}"


def set_licence(
    session: Session,
    person_id: str,
    *,
    words: str,
    expires_on: str,
    by: Person | None = None,
    now: datetime | None = None,
) -> Person:
    """What stands on the licence; empty words mean that none is kept."""
    person = queries.get_person(session, person_id)
    if person is None:
        raise NotFound
    words, expires_on = " ".join(words.split()), expires_on.strip()
    if len(words) > LONGEST_LICENCE:
        raise BadForm(f"At most {LONGEST_LICENCE} letters for the licence.")
    if expires_on and not words:
        raise BadForm("Which licence runs out then? Its kind and number.")
    last_day, was = _day(expires_on) if expires_on else None, licence_text(person)
    person.licence_words, person.licence_expires_on = words or None, last_day
    if licence_text(person) != was:
        note_change(session, person, "licence", by=by, was=was, became=licence_text(person), now=now)
    session.commit()
    return person


def _day(typed: str) -> str:
    try:
        return date.fromisoformat(typed).isoformat()
    except ValueError as error:
        raise BadForm("The day as 2027-03-31.") from error
