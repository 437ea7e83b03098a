"""SQL of the upkeep: rebuilding rows, letting held events in, founding and restoring a store."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import func, or_, select, union, update
from sqlalchemy.orm import Session

from webapp.models import EventRow, HeldEvent, Job, Meta, Photo, ProcedureVersion, Site
from webapp.sync.bodies import PHOTO_SCHEMAS


def set_current_procedure(session: Session, name: str, procedure_hash: str) -> None:
    """One version of each name is current."""
    is_current = ProcedureVersion.hash == procedure_hash
    session.execute(update(ProcedureVersion).where(ProcedureVersion.name == name).values(is_current=is_current))


def sites_to_rebuild(session: Session, *, only_marked: bool, fold_version: int) -> list[str]:
    """All sites, or those that are marked or have a job that is marked or was folded by an older version."""
    wanted = select(Site.id).order_by(Site.id)
    if only_marked:
        marked = union(
            select(Job.site_id).where(Job.needs_rebuild), select(Job.site_id).where(Job.fold_version < fold_version)
        )  # two look-ups: one of the two conditions alone would read the whole table
        wanted = wanted.where(or_(Site.needs_rebuild, Site.id.in_(marked)))
    return list(session.scalars(wanted))


def jobs_in_stream(session: Session, site_id: str) -> list[tuple[str, datetime]]:
    """Every job id that a stream names, with the moment of its last event."""
    last = select(EventRow.job_id, func.max(EventRow.received_at)).where(EventRow.site_id == site_id)
    found = session.execute(
        last.where(EventRow.job_id.is_not(None)).group_by(EventRow.job_id).order_by(EventRow.job_id)
    )
    return [(str(job_id), last_received_at) for job_id, last_received_at in found]


def photo_events(session: Session, site_id: str) -> list[dict[str, Any]]:
    """What names photos in a stream."""
    wanted = select(EventRow.id, EventRow.site_id, EventRow.job_id, EventRow.body)
    naming = (EventRow.kind == "photo_taken", EventRow.schema.in_(PHOTO_SCHEMAS))
    wanted = wanted.where(EventRow.site_id == site_id, *naming)
    return [dict(row) for row in session.execute(wanted).mappings()]


def sites_ever_joined(session: Session) -> set[str]:
    """Every site that an event has ever named as the same as another, or not the same; and where that was said."""
    said = select(EventRow).where(EventRow.kind.in_(("same_address", "not_same_address")), EventRow.schema == 1)
    joined = set(session.scalars(select(Site.id).where(Site.group_id != Site.id)))
    for row in session.scalars(said):
        joined |= {row.site_id, str(row.body.get("other_site_id"))}
    return set(session.scalars(select(Site.id).where(Site.id.in_(sorted(joined)))))


def get_waiting_held(session: Session) -> list[HeldEvent]:
    """Held events that nobody has let in, the oldest first."""
    return list(session.scalars(select(HeldEvent).where(HeldEvent.released_at.is_(None)).order_by(HeldEvent.id)))


def mark_released(session: Session, held_ids: Sequence[str], now: datetime) -> None:
    """They are in the store now."""
    session.execute(update(HeldEvent).where(HeldEvent.id.in_(held_ids)).values(released_at=now))


def set_epoch(session: Session, epoch: str, now: datetime) -> None:
    """The store's history begins anew here."""
    session.execute(update(Meta).values(epoch=epoch, epoch_began_at=now))


def all_photos_here(session: Session) -> list[str]:
    """Every photo whose bytes should lie in the data folder."""
    return list(session.scalars(select(Photo.sha256).where(Photo.stored_at.is_not(None))))


def forget_photo_bytes(session: Session, sha256s: Sequence[str]) -> None:
    """Their bytes are not here any more: they are taken again when a phone brings them."""
    for sha256 in sha256s:
        session.execute(update(Photo).where(Photo.sha256 == sha256).values(stored_at=None))
