"""What was changed about a person and their phones, when, and by whom: an inspector asks years later."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from webapp.models import PersonChange
from webapp.models.ids import new_id
from webapp.people import queries
from webapp.sites.clock import date_words

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.models import Device, Person

ON_THE_SERVER = "by a command on the server"
TITLES = {
    "added": "Added",
    "role": "Role",
    "licence": "Licence",
    "password": "New password",
    "phone_let_in": "Phone let in",
    "phone_closed": "Phone closed",
    "left": "Left: sign-ins and phones closed",
    "back": "May sign in again",
}


@dataclass(frozen=True)
class Change:
    """One line of what was changed."""

    at: datetime
    title: str
    words: str
    by: str


@dataclass(frozen=True)
class Kept:
    """What was kept of a person at some moment."""

    role: str
    licence: str | None
    """Words and last day."""
    since: str
    """`another`, `one` or `none` is kept now; empty where it is the same."""


def licence_text(person: Person) -> str | None:
    """As it is kept of a change: words and last day."""
    if not person.licence_words:
        return None
    until = f", valid until {date_words(person.licence_expires_on)}" if person.licence_expires_on else ""
    return person.licence_words + until


def note_change(
    session: Session,
    person: Person,
    what: str,
    *,
    by: Person | None,
    was: str | None = None,
    became: str | None = None,
    device: Device | None = None,
    now: datetime | None = None,
) -> None:
    """Add the line to the transaction that makes the change. `by` None: a command on the server."""
    row = PersonChange(
        id=new_id(), person_id=person.id, by_person_id=by.id if by else None, at=now or datetime.now(UTC)
    )
    row.what, row.was, row.became = what, was, became
    row.device_id = device.id if device else None
    session.add(row)


def note_phones_closed(session: Session, person: Person, *, by: Person | None, now: datetime) -> None:
    """A line for each phone that is open still, before all are closed."""
    for phone in queries.get_open_phones(session, person.id):
        note_change(session, person, "phone_closed", by=by, became=phone.words, device=phone, now=now)


def list_changes(session: Session, person_id: str) -> list[Change]:
    """The newest first; phones that were closed before any of this was kept say so."""
    rows = queries.get_changes(session, person_id)
    names = queries.get_names(session, {row.by_person_id for row in rows if row.by_person_id})
    told = [Change(row.at, TITLES.get(row.what, row.what), _words(row), _by(row, names)) for row in rows]
    noted = {row.device_id for row in rows if row.what == "phone_closed"}
    unnoted = [one for one in queries.get_closed_phones(session, person_id) if one.id not in noted and one.revoked_at]
    told += [Change(one.revoked_at, TITLES["phone_closed"], one.words, "by whom is not kept") for one in unnoted]  # type: ignore[arg-type]  # asked above
    return sorted(told, key=lambda one: one.at, reverse=True)


def kept_on(session: Session, person: Person, moment: datetime) -> Kept:
    """How role and licence stood at that moment: before a later change they were what it tells they had been."""
    rows = [row for row in queries.get_changes(session, person.id) if row.at > moment]
    role = next((row.was for row in rows if row.what == "role"), None)
    became = licence_text(person)
    licence = next((row.was for row in rows if row.what == "licence"), became)
    since = "" if licence == became else "none" if became is None else "another" if licence else "one"
    return Kept(role or person.role, licence, since)


def _words(row: PersonChange) -> str:
    if row.what in ("role", "licence"):
        return f"{row.was or 'none'} → {row.became or 'none'}"
    return row.became or ""


def _by(row: PersonChange, names: dict[str, str]) -> str:
    return names.get(row.by_person_id, "somebody unknown here") if row.by_person_id else ON_THE_SERVER
