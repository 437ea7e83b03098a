"""What the owner does about people: their role, their password, the door behind them and in front of them."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from webapp.errors import BadForm, NotFound
from webapp.models import Role
from webapp.people import queries, service
from webapp.people.changes import note_change, note_phones_closed

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.models import Person

LAST_OWNER = "This is the only owner who can sign in. Make somebody else an owner first."


def find_person(session: Session, person_id: str) -> Person:
    """Active or not."""
    person = queries.get_person(session, person_id)
    if person is None:
        raise NotFound
    return person


def change_role(session: Session, person_id: str, role: str, *, by: Person | None = None) -> Person:
    """From the next page on they may do what the new role may."""
    person = find_person(session, person_id)
    if role != Role.OWNER:
        _keep_an_owner(session, person)
    if role != Role.TECHNICIAN and person.password_hash is None:
        raise BadForm("They have no password yet, and work at the desk needs one. Give them one first.")
    if role != person.role:
        note_change(session, person, "role", by=by, was=person.role, became=role)
    person.role = Role(role).value
    session.commit()
    return person


def deactivate(session: Session, person_id: str, *, by: Person | None = None) -> Person:
    """At the desk and from `undercroft person deactivate`; never the last owner."""
    person = find_person(session, person_id)
    _keep_an_owner(session, person)
    return service.deactivate_person(session, person.login, by=by)


def reactivate(session: Session, person_id: str, *, by: Person | None = None, now: datetime | None = None) -> Person:
    """They may sign in again, anew; phones that were closed stay closed and need a new code."""
    person, now = find_person(session, person_id), now or datetime.now(UTC)
    note_phones_closed(session, person, by=by, now=now)
    queries.close_devices(session, person.id, ("office", "phone"), now)
    if not person.active:
        note_change(session, person, "back", by=by, now=now)
    person.active = True
    session.commit()
    return person


def _keep_an_owner(session: Session, person: Person) -> None:
    owners = queries.lock_active_owners(session)
    if [owner.id for owner in owners] == [person.id]:
        raise BadForm(LAST_OWNER)
