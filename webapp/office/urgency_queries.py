"""SQL of the order in which jobs want the office: who is below too long, who is unsafe, who is cold longest.

The parts of the statement that never change are made once: making them took longer than the database.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from functools import cache
from typing import TYPE_CHECKING, Any

from sqlalchemy import JSON, Integer, String, and_, case, cast, exists, func, literal, or_, select, tuple_, union
from sqlalchemy.orm import aliased, defer

from webapp.models import Job, JobOutcome, Person, Site, StandingOff
from webapp.models.base import UtcDateTime, UuidText, wall_time
from webapp.office.left_off_queries import still_off
from webapp.sites.standing_queries import stands

if TYPE_CHECKING:
    from collections.abc import Collection

    from sqlalchemy import ColumnElement, Select, Subquery
    from sqlalchemy.orm import Session

WAITING = ("booked", "open")
BELOW_TOO_LONG, UNSAFE, WET, COLD, RETURNING, THE_REST = range(1, 7)

AFTER_THOSE_THAT_WAIT = "~"
"""A heater left off a while ago waits behind a caller of today."""


def _stands_at(job: type[Job]) -> ColumnElement[datetime]:
    return func.coalesce(job.booked_at, job.opened_at, job.last_received_at)


stands_at = _stands_at(Job)


@dataclass(frozen=True)
class UrgentEdge:
    """Where a page ends: the next one starts behind it."""

    rank: int
    key: str
    moment: datetime
    job_id: str


def select_urgent(
    states: Collection[str],
    edge: UrgentEdge | None,
    *,
    now: datetime,
    alarms_of_all: bool,
    unsafe_on_site: Collection[str],
    wet: Collection[str] = (),
    owed: Collection[str] = (),
) -> Select[Job, Site, str, int, str, str | None]:
    """Jobs in these states, the most urgent first: address, technician, rank, key and since when it is cold.

    With `alarms_of_all` also jobs in any other state whose technician is still below, or whose heater was left off
    without a word to the office: these are few, and each is found by an index. What stands off is looked up once for
    the whole list, not once a job. `wet`: those whose caller spoke of water where it should not be. `owed`: closed ones
    after which somebody has to go again.
    """
    left = _left_off_by_address()
    cold = func.coalesce(Job.no_hot_water_since, left.c.day)
    """A day, as the caller said it; else the day on which a heater was left off there."""
    unsafe = or_(_unsafe(), Job.id.in_(unsafe_on_site)) if unsafe_on_site else _unsafe()
    rank, key = _rank(now, cold, unsafe, wet), _key(now, cold, unsafe)
    found = select(Job, Site, Person.name, rank.label("rank"), key.label("key"), cold.label("cold"))
    found = found.join(Site, Site.id == Job.site_id).outerjoin(Person, Person.id == Job.technician_id)
    found = found.outerjoin(left, left.c.group_id == Site.group_id)
    wanted = Job.id.in_(_wanted(states, alarms_of_all=alarms_of_all))
    found = found.where(or_(wanted, Job.id.in_(owed)) if owed else wanted)
    if edge is not None:
        place = (literal(edge.rank, Integer), literal(edge.key, String), literal(edge.moment, UtcDateTime))
        found = found.where(tuple_(rank, key, stands_at, Job.id) > tuple_(*place, literal(edge.job_id, UuidText)))
    return found.order_by(rank, key, stands_at, Job.id).options(defer(Job.record, raiseload=True))


def select_going_on() -> Select[Job]:
    """Jobs that somebody is on, with their records, the one heard of last first."""
    return select(Job).where(Job.state == "open").order_by(Job.last_received_at.desc(), Job.id)


def get_wet(session: Session) -> set[str]:
    """Jobs that wait and whose caller spoke of water where it should not be, or was not sure of it."""
    if session.get_bind().dialect.name == "postgresql":
        said = cast(Job.record, JSON)[("call", "water_leak")].as_string()
    else:
        said = func.json_extract(Job.record, "$.call.water_leak", type_=String)
    return set(session.scalars(select(Job.id).where(Job.state.in_(WAITING), said.in_(("yes", "unsure")))))


def get_left_to_do(session: Session, since: datetime, job_id: str | None = None) -> list[Job]:
    """Closed for a part or handed over, and nobody goes there next or went since; with their records."""
    later, there, here = aliased(Job), aliased(Site), aliased(Site)
    since_then = or_(_stands_at(later) > Job.closed_at, later.closed_at > Job.closed_at)
    again = exists(
        select(later.id)
        .join(there, there.id == later.site_id)
        .where(there.group_id == here.group_id, later.id != Job.id, or_(later.state.in_(WAITING), since_then))
        .where(or_(later.state != "cancelled", later.opened_at.is_not(None)))
        .correlate(Job, here)
    )
    found = select(Job).join(here, here.id == Job.site_id).where(Job.closed_at >= since)
    found = found.where(Job.id == job_id) if job_id else found
    return list(session.scalars(found.where(Job.close_state.in_(("waiting_part", "handed_over")), ~again)))


def get_left_unsafe(session: Session, job_id: str | None = None) -> list[Job]:
    """Closed with a danger that was only looked at again, and nobody began a visit there since; with their records."""
    later, there, here = aliased(Job), aliased(Site), aliased(Site)
    went = exists(
        select(later.id)
        .join(there, there.id == later.site_id)
        .where(there.group_id == here.group_id, later.id != Job.id, later.opened_at > Job.closed_at)
        .correlate(Job, here)
    )
    found = select(Job).join(JobOutcome, JobOutcome.job_id == Job.id).join(here, here.id == Job.site_id)
    found = found.where(Job.id == job_id) if job_id else found
    return list(session.scalars(found.where(JobOutcome.left_unsafe, ~went)))


def count_alarms_elsewhere(session: Session, owed: Collection[str]) -> int:
    """Jobs that neither wait nor go on, and still want the office; `owed` are some of them."""
    alarms = union(*_alarms(), select(Job.id).where(Job.id.in_(owed))).subquery()
    others = select(func.count(Job.id)).select_from(alarms).join(Job, Job.id == alarms.c.id)
    return session.scalar(others.where(Job.state.not_in(WAITING))) or 0


def select_overdue(now: datetime) -> Select[Job, str]:
    """Jobs with somebody below who should be out, the first due on top, with their street. An index is read."""
    found = select(Job, Site.street).join(Site, Site.id == Job.site_id)
    return found.where(Job.due_out_wall > "", _below_too_long(now)).order_by(Job.due_out_wall, Job.id)


def get_ringing(session: Session, job_ids: Collection[str]) -> list[tuple[str, dict[str, Any], str, str]]:
    """Of each of these jobs: its record, the number to ring, and that of its address."""
    found = select(Job.id, Job.record, Job.ring_phone, Site.phone).join(Site, Site.id == Job.site_id)
    rows = session.execute(found.where(Job.id.in_(job_ids)))
    return [(job_id, record, ring or "", phone) for job_id, record, ring, phone in rows if record]


def get_names(session: Session, person_ids: Collection[str]) -> dict[str, str]:
    """Names by id."""
    return {
        row.id: row.name for row in session.execute(select(Person.id, Person.name).where(Person.id.in_(person_ids)))
    }


def count_overdue(session: Session, now: datetime) -> int:
    """How many jobs that is."""
    overdue = select(func.count(Job.id)).where(Job.due_out_wall > "", _below_too_long(now))
    return session.scalar(overdue) or 0


def _wanted(states: Collection[str], *, alarms_of_all: bool) -> ColumnElement[str]:
    wanted = [select(Job.id).where(Job.state.in_(states))]
    if alarms_of_all:
        wanted += _alarms()
    return union(*wanted).scalar_subquery() if len(wanted) > 1 else wanted[0].scalar_subquery()


def _alarms() -> list[Select[str]]:
    below = select(Job.id).where(Job.due_out_wall > "")  # as a range: an index is read by it
    return [below, _untold()]


@cache
def _untold() -> Select[str]:
    off = aliased(Job)
    return select(off.id).where(off.heater_off, off.office_not_told, still_off(off))


def _below_too_long(now: datetime) -> ColumnElement[bool]:
    """By the phone's clock against the server's: both are wall times in UTC, and an hour off would show."""
    return and_(Job.due_out_wall.is_not(None), Job.due_out_wall < wall_time(now))


@cache
def _unsafe() -> ColumnElement[bool]:
    return or_(and_(Job.caller_alarm, Job.state.in_(WAITING)), Job.id.in_(_untold()))


def _rank(
    now: datetime, cold: ColumnElement[str], unsafe: ColumnElement[bool], wet: Collection[str]
) -> ColumnElement[int]:
    return case(
        (_below_too_long(now), BELOW_TOO_LONG),
        (unsafe, UNSAFE),
        (Job.id.in_(wet), WET),
        (and_(Job.state.in_(WAITING), cold.is_not(None)), COLD),
        (_visited_before(), RETURNING),
        else_=THE_REST,
    )


nobody_goes = and_(Job.state == "booked", Job.technician_id.is_(None), Job.booked_at.is_not(None))
"""Booked, and who goes is not decided."""


def _key(now: datetime, cold: ColumnElement[str], unsafe: ColumnElement[bool]) -> ColumnElement[str]:
    """Within a rank: where nobody goes yet; then due out first, cold longest; elsewhere who waits longest."""
    return case((nobody_goes, literal("0", String)), else_=literal("1", String)).concat(_pressing(now, cold, unsafe))


def _pressing(now: datetime, cold: ColumnElement[str], unsafe: ColumnElement[bool]) -> ColumnElement[str]:
    return case(
        (_below_too_long(now), Job.due_out_wall),
        (and_(unsafe, Job.state.not_in(WAITING)), AFTER_THOSE_THAT_WAIT),
        (and_(~unsafe, Job.state.in_(WAITING)), func.coalesce(cold, "")),
        else_="",
    )


@cache
def _left_off_by_address() -> Subquery:
    """The day since when a heater stands off, by address."""
    entry, there = aliased(StandingOff), aliased(Site)
    day = func.substr(cast(entry.noted_at, String), 1, 10)
    left = select(there.group_id.label("group_id"), func.min(day).label("day")).join(entry, entry.site_id == there.id)
    return left.where(stands(entry)).group_by(there.group_id).subquery()


@cache
def _visited_before() -> ColumnElement[bool]:
    before, there = aliased(Job), aliased(Site)
    went = or_(before.state.in_(("open", "closed")), before.opened_at.is_not(None))
    earlier = and_(before.booked_at.is_not(None), before.booked_at < stands_at, before.id != Job.id, went)
    return exists(
        select(before.id)
        .join(there, there.id == before.site_id)
        .where(there.group_id == Site.group_id, earlier)
        .correlate(Job, Site)
    )
