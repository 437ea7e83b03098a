"""What stands off and what has put it back: all SQL about entries that left a heater off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sqlalchemy import String, and_, cast, exists, literal, or_, select
from sqlalchemy.orm import aliased

from webapp.models import EventRow, Job, JobOutcome, PutBackOf, Site, StandingOff
from webapp.trade.found_running import FOUND_IN_SERVICE

if TYPE_CHECKING:
    from collections.abc import Collection
    from datetime import datetime

    from sqlalchemy import ColumnElement, Select
    from sqlalchemy.orm import Session


def stands(entry: type[StandingOff]) -> ColumnElement[bool]:
    """Nobody has put it back: neither by its name nor with all that had been left off before.

    Without a name the put back must have been noted later, by the server's clock as well as the phones knew it, and
    must have got here later too: in doubt a heater stands off, and the office asks. Two jobs that each described one
    heater, and not the same one, say nothing about each other.
    """
    return and_(~exists(named_by(entry).correlate(entry)), ~exists(ended_by(entry).correlate(entry)))


def named_by(entry: type[StandingOff]) -> Select[str]:
    """The other jobs at that address that put it back by its name. What its own job says, the fold has decided."""
    note, by, at, here = aliased(PutBackOf), aliased(Job), aliased(Site), aliased(Site)
    return (
        select(note.job_id)
        .join(by, by.id == note.job_id)
        .join(at, at.id == by.site_id)
        .join(here, here.group_id == at.group_id)
        .where(note.left_off_id == entry.event_id, note.job_id != entry.job_id, here.id == entry.site_id)
    )


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


def entries_of(session: Session, job_id: str) -> set[str]:
    """The ids of what this job left off."""
    return set(session.scalars(select(StandingOff.event_id).where(StandingOff.job_id == job_id)))


def ended_entries_of(session: Session, job_id: str) -> frozenset[str]:
    """Those of them that are in service again."""
    entry = aliased(StandingOff)
    return frozenset(session.scalars(select(entry.event_id).where(entry.job_id == job_id, ~stands(entry))))


def jobs_that_ended(session: Session, job_id: str) -> list[tuple[Job, bool]]:
    """The other jobs that put any of them back, and whether with all the rest."""
    entry = aliased(StandingOff)
    named = named_by(entry).where(entry.job_id == job_id)
    of_all = Job.id.in_(ended_by(entry).where(entry.job_id == job_id))
    found = select(Job, of_all.label("of_all")).where(or_(Job.id.in_(named), of_all)).order_by(Job.id)
    return [(job, bool(with_all)) for job, with_all in session.execute(found)]


def heard_at_of(session: Session, event_ids: Collection[str]) -> dict[str, datetime]:
    """When the server had these events."""
    found = select(EventRow.id, EventRow.received_at).where(EventRow.id.in_(event_ids))
    return {row.id: row.received_at for row in session.execute(found)}


def ended_by_job(session: Session, job_id: str, site_ids: Collection[str]) -> list[tuple[StandingOff, Job]]:
    """What other jobs at these entries of one address left off and this job put back, the longest first."""
    this = literal(job_id)
    ended = or_(
        this.in_(named_by(StandingOff).correlate(StandingOff)), this.in_(ended_by(StandingOff).correlate(StandingOff))
    )
    found = select(StandingOff, Job).join(Job, Job.id == StandingOff.job_id)
    found = found.where(StandingOff.site_id.in_(site_ids), StandingOff.job_id != job_id, ended)
    found = found.order_by(StandingOff.noted_at, StandingOff.event_id)
    return [(entry, job) for entry, job in session.execute(found)]


def standing_elsewhere(
    session: Session, job_id: str | None, site_ids: Collection[str]
) -> list[tuple[StandingOff, Job]]:
    """What other jobs at these entries of one address left off and nobody has put back, the longest first."""
    here = StandingOff.site_id.in_(site_ids)
    elsewhere = and_(here, StandingOff.job_id != job_id) if job_id else here
    if session.scalars(select(StandingOff.event_id).where(elsewhere).limit(1)).first() is None:
        return []  # as nearly always: whether it stands costs more to ask
    found = select(StandingOff, Job).join(Job, Job.id == StandingOff.job_id).where(elsewhere, stands(StandingOff))
    found = found.order_by(StandingOff.noted_at, StandingOff.event_id)
    return [(entry, job) for entry, job in session.execute(found)]


def standing_at(session: Session, group_ids: Collection[str]) -> list[tuple[str, StandingOff, Job]]:
    """What stands off at many addresses at once, the longest first, each with the group of its address."""
    found = select(Site.group_id, StandingOff, Job).join(Site, Site.id == StandingOff.site_id)
    found = found.join(Job, Job.id == StandingOff.job_id).where(Site.group_id.in_(group_ids), stands(StandingOff))
    found = found.order_by(StandingOff.noted_at, StandingOff.event_id)
    return [(group_id, entry, job) for group_id, entry, job in session.execute(found)]


def get_found_in_service_at(session: Session, site_ids: Collection[str]) -> list[Job]:
    """Jobs at these entries of one address that say a heater was found in service."""
    said = select(EventRow.job_id).where(EventRow.site_id.in_(site_ids), EventRow.kind == "put_back")
    said = said.where(cast(EventRow.body, String).contains(FOUND_IN_SERVICE))
    return list(session.scalars(select(Job).where(Job.id.in_(said)).order_by(Job.id)))
