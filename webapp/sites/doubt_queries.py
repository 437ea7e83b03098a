"""SQL about entries that may be one address, and what was said about them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import String, and_, cast, or_, select

from webapp.models import EventRow, Site
from webapp.models.event import SAME_ADDRESS
from webapp.sites.street_parts import Door

if TYPE_CHECKING:
    from collections.abc import Collection, Sequence

    from sqlalchemy import ColumnElement, Row
    from sqlalchemy.orm import Session

MOST_CANDIDATES = 20_000
_DOOR = (Site.street, Site.town, Site.postcode, Site.phone, Site.customer_name, Site.id, Site.group_id)


def get_newest_doors(session: Session, before_id: str | None, limit: int) -> list[Door]:
    """Entries of addresses, the newest first."""
    found = select(*_DOOR).order_by(Site.id.desc()).limit(limit)
    return _doors(session.execute(found.where(Site.id < before_id) if before_id else found).all())


def get_doors(session: Session, site_ids: Collection[str]) -> list[Door]:
    """These entries."""
    return _doors(session.execute(select(*_DOOR).where(Site.id.in_(site_ids))).all())


def get_doors_near(session: Session, numbers: Collection[str], phone_keys: Collection[str]) -> list[Door]:
    """Entries with one of these house numbers or phones. Two indexes are read, however large the store is."""
    alike = [_begins_with(session, number) for number in sorted(numbers)]
    if phone_keys:
        alike.append(Site.phone_key.in_(sorted(phone_keys)))
    return _doors(session.execute(select(*_DOOR).where(or_(*alike)).limit(MOST_CANDIDATES)).all()) if alike else []


def get_streets_with_number(session: Session, number: str) -> list[tuple[str, str]]:
    """Site and street key of the entries with this house number: one index is read."""
    found = select(Site.id, Site.street_key).where(_begins_with(session, number))
    return [(row.id, row.street_key) for row in session.execute(found.limit(MOST_CANDIDATES))]


def _begins_with(session: Session, number: str) -> ColumnElement[bool]:
    """As a range, which an index can be read by: a space is the character before an exclamation mark."""
    key: ColumnElement[str] = Site.street_key  # type: ignore[assignment]  # as an expression
    if session.get_bind().dialect.name == "postgresql":
        key = key.collate("C")
    return and_(key >= f"{number} ", key < f"{number}!")


def get_put_off(session: Session, site_ids: Collection[str]) -> list[tuple[str, str]]:
    """The entry and the known one for each pair that was put off at a call. It stands in the new entry's stream."""
    found = select(EventRow.site_id, EventRow.body).where(
        EventRow.site_id.in_(site_ids), EventRow.job_id.is_(None), EventRow.kind == "may_be_same_address"
    )
    rows = session.execute(found.order_by(EventRow.id))
    return [(row.site_id, other) for row in rows if isinstance(other := row.body.get("other_site_id"), str)]


def get_said_lately(session: Session, limit: int) -> Sequence[EventRow]:
    """What was last said about two entries, the newest first."""
    found = select(EventRow).where(SAME_ADDRESS, EventRow.job_id.is_(None))
    return session.scalars(found.order_by(EventRow.received_at.desc(), EventRow.id.desc()).limit(limit)).all()


def get_said_about(session: Session, site_ids: Collection[str]) -> Sequence[EventRow]:
    """What was said about these entries being one with another, in whichever stream it stands."""
    named = [cast(EventRow.body, String).contains(site_id) for site_id in sorted(site_ids)]
    found = select(EventRow).where(SAME_ADDRESS, or_(EventRow.site_id.in_(site_ids), *named))
    return session.scalars(found).all()


def get_replacing(session: Session, site_ids: Collection[str]) -> Sequence[EventRow]:
    """What these streams say outside any job and in place of something else: it may take back what was said."""
    found = select(EventRow).where(EventRow.site_id.in_(site_ids), EventRow.job_id.is_(None), EventRow.replaces != [])
    return session.scalars(found).all()


def _doors(rows: Sequence[Row[str, str, str, str, str, str, str]]) -> list[Door]:
    return [Door(*row) for row in rows]
