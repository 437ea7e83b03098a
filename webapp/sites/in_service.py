"""What a job left off and stands off still, and by which other job of the address the rest is in service again."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from sqlalchemy import and_, exists, func, or_, select
from sqlalchemy.orm import aliased

from webapp.models import Job, JobOutcome, PutBackOf, Site, StandingOff
from webapp.sites import queries
from webapp.sites.clock import noted_at

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from sqlalchemy import ColumnElement, Select
    from sqlalchemy.orm import Session

    from webapp.trade.record_types import PutBackNote


@dataclass(frozen=True)
class BackInService:
    """What another job noted of it, later."""

    job_id: str
    words: str
    by: str
    at: datetime | None
    heard_at: datetime
    """When the server had it."""


@dataclass(frozen=True)
class Elsewhere:
    """What other jobs say of the entries that a job's own events leave standing off."""

    ended: frozenset[str] = frozenset()
    """Ids of those that are in service again."""

    back: list[BackInService] = field(default_factory=list)
    """Who says so."""


def put_back_elsewhere(session: Session, job: Job) -> Elsewhere:
    """Whatever this does not name stands off: in doubt it does."""
    if not job.heater_off:
        return Elsewhere()
    entry = aliased(StandingOff)
    ended = frozenset(session.scalars(select(entry.event_id).where(entry.job_id == job.id, ~stands(entry))))
    return Elsewhere(ended, _backs(session, _notes_elsewhere(session, job)) if ended else [])


def _notes_elsewhere(session: Session, job: Job) -> list[tuple[Job, datetime, PutBackNote]]:
    """Each note of another job that ended one of its entries, with when the server had it."""
    entry = aliased(StandingOff)
    ours = select(entry.event_id).where(entry.job_id == job.id)
    named = select(PutBackOf.job_id).where(PutBackOf.left_off_id.in_(ours), PutBackOf.job_id != job.id)
    of_all = ended_by(entry).where(entry.job_id == job.id)
    heard = func.coalesce(Job.put_back_heard_at, Job.last_received_at)
    others = session.execute(select(Job, heard).where(or_(Job.id.in_(named), Job.id.in_(of_all))).order_by(Job.id))
    ids = set(session.scalars(ours))
    return [
        (other, heard_at, note)
        for other, heard_at in others
        for note in (other.record or {}).get("put_back", [])
        if note["left_off_ids"] is None or ids.intersection(note["left_off_ids"])
    ]


def _backs(session: Session, notes: Iterable[tuple[Job, datetime, PutBackNote]]) -> list[BackInService]:
    told = list(notes)
    names = queries.get_names(session, {note["by"]["person_id"] for _job, _heard, note in told})
    return [
        BackInService(
            job_id=job.id,
            words=note["words"],
            by=names.get(note["by"]["person_id"], "somebody unknown here"),
            at=noted_at(note["by"], None).noted,
            heard_at=heard_at,
        )
        for job, heard_at, note in told
    ]


def stands(entry: type[StandingOff]) -> ColumnElement[bool]:
    """Nobody has put it back: neither by its name nor with all that had been left off before.

    Without a name the put back must have been noted later, by the server's clock as well as the phones knew it, and
    must have got here later too: in doubt a heater stands off, and the office asks. Two jobs that each described one
    heater, and not the same one, say nothing about each other.
    """
    named = exists().where(PutBackOf.left_off_id == entry.event_id).correlate(entry)
    return and_(~named, ~exists(ended_by(entry).correlate(entry)))


def ended_by(entry: type[StandingOff]) -> Select[str]:
    """The other jobs at that address that put all back, later."""
    by, at, here = aliased(Job), aliased(Site), aliased(Site)
    ours, theirs = aliased(JobOutcome), aliased(JobOutcome)
    another_heater = and_(ours.job_id == entry.job_id, theirs.job_id == by.id, ours.appliance_id != theirs.appliance_id)
    return (
        select(by.id)
        .join(at, at.id == by.site_id)
        .join(here, here.group_id == at.group_id)
        .where(
            here.id == entry.site_id,
            by.id != entry.job_id,
            by.put_back_at > entry.noted_at,
            by.put_back_heard_at >= entry.heard_at,
            ~exists(select(ours.job_id).join(theirs, another_heater).correlate(entry, by)),
        )
        .order_by(by.put_back_at, by.id)
    )
