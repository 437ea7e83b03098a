"""All SQL of the dispatcher's pages: the list of jobs, who can go, what is still on a phone."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy import JSON, String, and_, cast, distinct, func, or_, select
from sqlalchemy.orm import defer

from webapp.models import Device, EventRow, HeldEvent, Job, Person, Photo, PhotoUse, ProcedureVersion, Role, Site

if TYPE_CHECKING:
    from collections.abc import Collection

    from sqlalchemy import Select
    from sqlalchemy.orm import Session

    from webapp.trade.record_types import CallNote


@dataclass(frozen=True)
class JobEdge:
    """Where a page of jobs ends: the next one starts behind it."""

    booked_at: datetime
    job_id: str


def select_jobs_in_state(state: str, edge: JobEdge | None) -> Select[Job, Site, str]:
    """Jobs in one state with their address and technician, the one that was booked last first.

    One state at a time: the index over state and booking then gives them in order, and nothing is sorted.
    """
    jobs = _with_place_and_name().where(Job.state == state, Job.booked_at.is_not(None))
    jobs = jobs.order_by(Job.booked_at.desc(), Job.id.desc())
    if edge is None:
        return jobs
    same = and_(Job.booked_at == edge.booked_at, Job.id < edge.job_id)
    return jobs.where(Job.booked_at <= edge.booked_at, or_(Job.booked_at < edge.booked_at, same))


def select_jobs_without_booking(states: Collection[str]) -> Select[Job, Site, str]:
    """Jobs whose booking has not arrived: shown first, there should be none."""
    unbooked = _with_place_and_name().where(Job.state.in_(states), Job.booked_at.is_(None))
    return unbooked.order_by(Job.last_received_at.desc(), Job.id)


def _with_place_and_name() -> Select[Job, Site, str]:
    jobs = select(Job, Site, Person.name).join(Site, Site.id == Job.site_id)
    # The record may be long, and a line shows nothing of it.
    return jobs.outerjoin(Person, Person.id == Job.technician_id).options(defer(Job.record, raiseload=True))


def count_by_state(session: Session, states: Collection[str]) -> dict[str, int]:
    """How many jobs are in each of these states."""
    rows = session.execute(
        select(Job.state, func.count(Job.id).label("jobs")).where(Job.state.in_(states)).group_by(Job.state)
    )
    return {row.state: row.jobs for row in rows}


def count_kept_apart(session: Session) -> int:
    """Entries of phones that nobody has let in yet."""
    return session.scalar(select(func.count(HeldEvent.id)).where(HeldEvent.released_at.is_(None))) or 0


def get_jobs_without_address(session: Session, states: Collection[str], limit: int) -> list[tuple[Job, Site]]:
    """Jobs at an entry whose street nobody has said, the oldest first. The index over streets is read."""
    found = select(Job, Site).join(Site, Site.id == Job.site_id).where(Site.street_key == "", Job.state.in_(states))
    found = found.options(defer(Job.record, raiseload=True)).order_by(Job.booked_at, Job.id)
    return [(job, site) for job, site in session.execute(found.limit(limit))]


def get_addresses_given(session: Session, site_id: str) -> list[EventRow]:
    """Each time an entry's address was said, the first on top."""
    found = select(EventRow).where(EventRow.site_id == site_id, EventRow.kind == "address_given")
    return list(session.scalars(found.order_by(EventRow.seq)))


def get_event(session: Session, event_id: str) -> EventRow | None:
    """One event."""
    return session.get(EventRow, event_id)


def get_earlier_visits(session: Session, group_ids: Collection[str]) -> dict[str, list[tuple[datetime | None, str]]]:
    """All visits to these addresses, as (booked at, job id), by address."""
    rows = session.execute(
        select(Site.group_id, Job.booked_at, Job.id)
        .join(Job, Job.site_id == Site.id)
        .where(Site.group_id.in_(group_ids), or_(Job.state.in_(("open", "closed")), Job.opened_at.is_not(None)))
    )
    found: dict[str, list[tuple[datetime | None, str]]] = {}
    for group_id, booked_at, job_id in rows:
        found.setdefault(group_id, []).append((booked_at, job_id))
    return found


def get_waiting_jobs(session: Session, group_ids: Collection[str]) -> dict[str, list[tuple[Job, str | None]]]:
    """What is booked or begun at each of these addresses, with who goes, the first booked on top."""
    found = select(Site.group_id, Job, Person.name).join(Job, Job.site_id == Site.id)
    found = found.outerjoin(Person, Person.id == Job.technician_id).where(Site.group_id.in_(group_ids))
    found = found.where(Job.state.in_(("booked", "open"))).options(defer(Job.record, raiseload=True))
    by_group: dict[str, list[tuple[Job, str | None]]] = {}
    for group_id, job, name in session.execute(found.order_by(Job.booked_at, Job.id)):
        by_group.setdefault(group_id, []).append((job, name))
    return by_group


def get_waiting_where_a_caller_alarms(session: Session, group_id: str | None = None) -> list[tuple[str, Job]]:
    """All that is booked or begun at each address from which a waiting call alarms, with its group and its record.

    `group_id`: at that address alone.
    """
    waiting = Job.state.in_(("booked", "open"))
    groups = select(Site.group_id).join(Job, Job.site_id == Site.id).where(Job.caller_alarm, waiting)
    groups = groups.where(Site.group_id == group_id) if group_id else groups
    found = select(Site.group_id, Job).join(Job, Job.site_id == Site.id).where(Site.group_id.in_(groups), waiting)
    return [(group_id, job) for group_id, job in session.execute(found.order_by(Job.booked_at, Job.id))]


def get_phones_last_seen(session: Session, person_ids: Collection[str]) -> dict[str, datetime | None]:
    """When a phone of each person was last heard; people without a phone are absent."""
    rows = session.execute(
        select(Device.person_id, func.max(Device.last_seen_at).label("seen"))
        .where(Device.person_id.in_(person_ids), Device.kind == "phone", Device.revoked_at.is_(None))
        .group_by(Device.person_id)
    )
    return {row.person_id: row.seen for row in rows}


def get_calls(session: Session, job_ids: Collection[str]) -> dict[str, list[CallNote]]:
    """What was asked at the call, by job: for the few jobs of a page whose caller alarms."""
    rows = session.execute(select(Job.id, Job.record).where(Job.id.in_(job_ids))) if job_ids else ()
    return {job_id: record.get("calls") or [] for job_id, record in rows if record}


def get_job_phones(session: Session, job_ids: Collection[str]) -> dict[str, str]:
    """The number to ring about each of these jobs, as its record has it; absent where none was given."""
    if session.get_bind().dialect.name == "postgresql":
        phone = cast(Job.record, JSON)[("booked", "phone")].as_string()
    else:
        phone = func.json_extract(Job.record, "$.booked.phone", type_=String)
    rows = session.execute(select(Job.id, phone.label("phone")).where(Job.id.in_(job_ids)))
    return {row.id: row.phone for row in rows if row.phone}


def count_photos_on_phones(session: Session, job_ids: Collection[str]) -> dict[str, int]:
    """Photos whose bytes have not arrived, by job; one that was put in words later is named twice."""
    rows = session.execute(
        select(PhotoUse.job_id, func.count(distinct(PhotoUse.sha256)))
        .join(Photo, Photo.sha256 == PhotoUse.sha256)
        .where(PhotoUse.job_id.in_(job_ids), Photo.stored_at.is_(None))
        .group_by(PhotoUse.job_id)
    )
    return {job_id: count for job_id, count in rows if job_id}


def get_technicians(session: Session) -> list[Person]:
    """Whom a job can be booked for, by name."""
    found = select(Person).where(Person.role == Role.TECHNICIAN.value, Person.active).order_by(Person.name, Person.id)
    return list(session.scalars(found))


def has_jobs(session: Session) -> bool:
    """Whether there ever was one."""
    return session.scalar(select(Job.id).limit(1)) is not None


def has_phones(session: Session) -> bool:
    """Whether any phone is signed in."""
    found = select(Device.id).where(Device.kind == "phone", Device.revoked_at.is_(None)).limit(1)
    return session.scalar(found) is not None


def has_addresses(session: Session) -> bool:
    """Whether any address is known."""
    return session.scalar(select(Site.id).limit(1)) is not None


def get_current_procedures(session: Session) -> list[ProcedureVersion]:
    """The procedures that a job booked now can be walked with, by name."""
    found = select(ProcedureVersion).where(ProcedureVersion.is_current.is_(True)).order_by(ProcedureVersion.name)
    return list(session.scalars(found))


def get_site(session: Session, site_id: str) -> Site | None:
    """One site."""
    return session.get(Site, site_id)


def get_job(session: Session, job_id: str) -> Job | None:
    """One job."""
    return session.get(Job, job_id)


def get_device(session: Session, device_id: str) -> Device | None:
    """One device."""
    return session.get(Device, device_id)


def get_streets(session: Session, site_ids: Collection[str]) -> dict[str, str]:
    """Streets by site id."""
    rows = session.execute(select(Site.id, Site.street).where(Site.id.in_(site_ids)))
    return {row.id: row.street for row in rows}


def get_bodies(session: Session, job_id: str, kinds: Collection[str]) -> list[dict[str, Any]]:
    """What the job's events of these kinds say."""
    return list(session.scalars(select(EventRow.body).where(EventRow.job_id == job_id, EventRow.kind.in_(kinds))))


def lock_booking(session: Session, job_id: str) -> None:
    """Let one of two requests with the same form through at a time. SQLite's writers wait for each other anyway."""
    if session.get_bind().dialect.name == "postgresql":
        session.execute(select(func.pg_advisory_xact_lock(func.hashtextextended(job_id, 0))))
