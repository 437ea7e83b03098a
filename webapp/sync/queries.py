"""Events and streams: all SQL of the sync."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import Insert, Select, insert, or_, select, update
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.orm import Session

from webapp.models import Device, EventRow, HeldEvent, Job, Meta, Photo, PhotoUse, ProcedureVersion, Site
from webapp.models.base import Base

ID_CHUNK = 500
"""Ids in one IN list: under every limit of both databases."""


def insert_if_absent(session: Session, table: type[Base], rows: Sequence[dict[str, Any]]) -> None:
    """Insert the rows whose primary key is new."""
    if not rows:
        return
    statement: Insert
    if session.get_bind().dialect.name == "sqlite":
        statement = sqlite.insert(table).on_conflict_do_nothing()
    else:
        statement = postgresql.insert(table).on_conflict_do_nothing()
    session.execute(statement, rows)


def lock_site(session: Session, site_id: str) -> tuple[int, str]:
    """Take the stream's lock; gives its head and chain."""
    found = session.execute(
        update(Site).where(Site.id == site_id).values(head=Site.head).returning(Site.head, Site.chain)
    ).one()
    return found.head, found.chain


def move_head(session: Session, site_id: str, head: int, chain: str) -> None:
    """Set the head to the last row's seq."""
    session.execute(update(Site).where(Site.id == site_id).values(head=head, chain=chain))


def digests_of(session: Session, ids: Sequence[str]) -> dict[str, tuple[str, int]]:
    """Digest and seq of the events that are stored among these ids."""
    found = session.execute(select(EventRow.id, EventRow.digest, EventRow.seq).where(EventRow.id.in_(ids)))
    return {row.id: (row.digest, row.seq) for row in found}


def insert_events(session: Session, rows: Sequence[dict[str, Any]]) -> None:
    """All new rows of one site in one statement."""
    session.execute(insert(EventRow), rows)


def select_stream(site_id: str, after: int) -> Select[tuple[EventRow]]:
    """What follows `after` in one stream, without a gap."""
    return select(EventRow).where(EventRow.site_id == site_id, EventRow.seq > after).order_by(EventRow.seq)


def chain_at(session: Session, site_id: str, seq: int) -> str | None:
    """The chain at one seq; the empty chain at 0."""
    if seq == 0:
        return ""
    return session.scalar(select(EventRow.chain).where(EventRow.site_id == site_id, EventRow.seq == seq))


def events_of_job(session: Session, job_id: str) -> list[EventRow]:
    """All events of one job, in no promised order: the fold brings its own."""
    return list(session.scalars(select(EventRow).where(EventRow.job_id == job_id)))


def events_of_site_itself(session: Session, site_id: str) -> list[EventRow]:
    """What belongs to the address and to no job."""
    return list(session.scalars(select(EventRow).where(EventRow.site_id == site_id, EventRow.job_id.is_(None))))


def get_epoch(session: Session) -> str:
    """Of this store, as it is since its making or its last restore."""
    return session.execute(select(Meta.epoch)).scalar_one()


def get_site(session: Session, site_id: str) -> Site | None:
    """One site."""
    return session.get(Site, site_id)
