"""What an import asks the store before it brings anything in: all SQL of it. Nothing here writes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import func, or_, select

from webapp.models import EventRow, Person, ProcedureVersion, Site

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from sqlalchemy.orm import Session

CHUNK = 500
"""Values in one IN list: under every limit of both databases."""


def _chunks(values: Sequence[str]) -> Iterator[Sequence[str]]:
    for start in range(0, len(values), CHUNK):
        yield values[start : start + CHUNK]


def get_sites(session: Session, street_keys: Sequence[str], site_ids: Sequence[str]) -> list[Site]:
    """Sites with one of these streets or ids, the first that was named first."""
    found: dict[str, Site] = {}
    for keys, ids in zip(_chunks(street_keys), _chunks(site_ids), strict=True):
        wanted = select(Site).where(or_(Site.street_key.in_(keys), Site.id.in_(ids)))
        found |= {site.id: site for site in session.scalars(wanted)}
    return [found[site_id] for site_id in sorted(found)]


def get_sites_with_phones(session: Session, phone_keys: Sequence[str]) -> list[Site]:
    """Sites whose phone has one of these keys."""
    wanted = select(Site).order_by(Site.id)
    return [site for keys in _chunks(phone_keys) for site in session.scalars(wanted.where(Site.phone_key.in_(keys)))]


def get_stored_ids(session: Session, event_ids: Sequence[str]) -> set[str]:
    """Those of these events that are stored."""
    return {
        found
        for ids in _chunks(event_ids)
        for found in session.scalars(select(EventRow.id).where(EventRow.id.in_(ids)))
    }


def get_people(session: Session) -> list[Person]:
    """Everybody, also those who left: they made the visits of years ago."""
    return list(session.scalars(select(Person).order_by(Person.id)))


def get_person_by_login(session: Session, login: str) -> Person | None:
    """Who brings the file in, at the command line."""
    return session.scalar(select(Person).where(Person.login == login.strip().lower()))


def get_current_procedures(session: Session) -> list[ProcedureVersion]:
    """By name."""
    found = select(ProcedureVersion).where(ProcedureVersion.is_current.is_(True)).order_by(ProcedureVersion.name)
    return list(session.scalars(found))


def lock_importing(session: Session) -> None:
    """One import writes at a time, until its commit. SQLite's writers wait for each other anyway."""
    if session.get_bind().dialect.name == "postgresql":
        session.execute(select(func.pg_advisory_xact_lock(func.hashtextextended("importing", 0))))
    else:
        session.connection()  # begins, and so takes the lock
