"""SQL of the order in which jobs want the office: who is below too long, who is unsafe, who is cold longest."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING

from sqlalchemy import Integer, String, and_, case, cast, exists, func, literal, or_, select, tuple_, union
from sqlalchemy.orm import aliased, defer

from webapp.models import Job, Person, Site
from webapp.models.base import UtcDateTime, UuidText, wall_time
from webapp.office.left_off_queries import still_off

if TYPE_CHECKING:
    from collections.abc import Collection

    from sqlalchemy import ColumnElement, Select
    from sqlalchemy.orm import Session

WAITING = ("booked", "open")
BELOW_TOO_LONG, UNSAFE, COLD, RETURNING, THE_REST = range(1, 6)

AFTER_THOSE_THAT_WAIT = "~"
"""A heater left off a while ago waits behind a caller of today."""

stands_at = func.coalesce(Job.booked_at, Job.opened_at, Job.last_received_at)
somebody_went = or_(Job.state != "cancelled", Job.opened_at.is_not(None))


@dataclass(frozen=True)
class UrgentEdge:
    """Where a page ends: the next one starts behind it."""

    rank: int
    key: str
    moment: datetime
    job_id: str


def select_urgent(
    states: Collection[str], edge: UrgentEdge | None, *, now: datetime, alarms_of_all: bool
) -> Select[Job, Site, str, int, str, str | None]:
    """Jobs in these states, the most urgent first: address, technician, rank, key and since when it is cold.

    With `alarms_of_all` also jobs in any other state whose technician is still below, or whose heater was left off
    without a word to the office: these are few, and each is found by an index.
    """
    wanted = _wanted(states, alarms_of_all=alarms_of_all)
    rank, key, cold = _rank(now), _key(now), _cold_since()
    found = select(Job, Site, Person.name, rank.label("rank"), key.label("key"), cold.label("cold"))
    found = found.join(Site, Site.id == Job.site_id).outerjoin(Person, Person.id == Job.technician_id)
    found = found.where(Job.id.in_(wanted)).options(defer(Job.record, raiseload=True))
    if edge is not None:
        place = (literal(edge.rank, Integer), literal(edge.key, String), literal(edge.moment, UtcDateTime))
        found = found.where(tuple_(rank, key, stands_at, Job.id) > tuple_(*place, literal(edge.job_id, UuidText)))
    return found.order_by(rank, key, stands_at, Job.id)


def count_alarms_elsewhere(session: Session) -> int:
    """Jobs that neither wait nor go on, and still want the office."""
    others = select(Job.id).where(Job.state.not_in(WAITING), Job.id.in_(union(*_alarms()).scalar_subquery()))
    return session.scalar(select(func.count()).select_from(others.subquery())) or 0


def _wanted(states: Collection[str], *, alarms_of_all: bool) -> ColumnElement[str]:
    wanted = [select(Job.id).where(Job.state.in_(states))]
    if alarms_of_all:
        wanted += _alarms()
    return union(*wanted).scalar_subquery() if len(wanted) > 1 else wanted[0].scalar_subquery()


def _alarms() -> list[Select[str]]:
    below = select(Job.id).where(Job.due_out_wall.is_not(None))
    untold = select(Job.id).where(Job.heater_off, Job.office_not_told, still_off())
    return [below, untold]


def _below_too_long(now: datetime) -> ColumnElement[bool]:
    """By the phone's clock against the server's: both are wall times in UTC, and an hour off would show."""
    return and_(Job.due_out_wall.is_not(None), Job.due_out_wall < wall_time(now))


def _unsafe() -> ColumnElement[bool]:
    return or_(
        and_(Job.caller_alarm, Job.state.in_(WAITING)),
        and_(Job.heater_off, Job.office_not_told, still_off()),
    )


def _rank(now: datetime) -> ColumnElement[int]:
    return case(
        (_below_too_long(now), BELOW_TOO_LONG),
        (_unsafe(), UNSAFE),
        (and_(Job.state.in_(WAITING), _cold_since().is_not(None)), COLD),
        (_visited_before(), RETURNING),
        else_=THE_REST,
    )


def _key(now: datetime) -> ColumnElement[str]:
    """Within a rank: due out first, cold longest; elsewhere who waits longest, by `stands_at`."""
    cold_waiting = and_(~_unsafe(), Job.state.in_(WAITING))
    return case(
        (_below_too_long(now), Job.due_out_wall),
        (and_(_unsafe(), Job.state.not_in(WAITING)), AFTER_THOSE_THAT_WAIT),
        (cold_waiting, func.coalesce(_cold_since(), "")),
        else_="",
    )


def _cold_since() -> ColumnElement[str | None]:
    """A day, as the caller said it; else the day on which a heater was left off there."""
    off, there = aliased(Job), aliased(Site)
    left_on = func.min(func.substr(cast(func.coalesce(off.closed_at, off.opened_at, off.booked_at), String), 1, 10))
    left = (
        select(left_on)
        .join(there, there.id == off.site_id)
        .where(there.group_id == Site.group_id, off.heater_off, still_off(off))
        .correlate(Site)
        .scalar_subquery()
    )
    return func.coalesce(Job.no_hot_water_since, left)


def _visited_before() -> ColumnElement[bool]:
    before, there = aliased(Job), aliased(Site)
    went = or_(before.state != "cancelled", before.opened_at.is_not(None))
    earlier = and_(before.booked_at.is_not(None), before.booked_at < stands_at, before.id != Job.id, went)
    return exists(
        select(before.id)
        .join(there, there.id == before.site_id)
        .where(there.group_id == Site.group_id, earlier)
        .correlate(Job, Site)
    )
