"""The list of jobs: what wants the office most on top, what is done newest first."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from webapp.errors import NotFound
from webapp.office import left_off_queries, queries, urgency_queries
from webapp.office.booked_beside import also_booked
from webapp.office.calls_beside import calls_beside
from webapp.office.choices import technician_choices
from webapp.office.found_in_service import jobs_that_found_one
from webapp.office.left_unsafe import left_unsafe
from webapp.office.overdue import ringing_of
from webapp.office.paging import read_edge, read_urgent_edge, written
from webapp.office.queries import JobEdge
from webapp.office.still_owed import still_owed
from webapp.office.unsafe_now import unsafe_on_site
from webapp.office.urgency import NOT_YET_OUT, as_of, nobody_goes, why_here
from webapp.office.urgency_queries import BELOW_TOO_LONG, THE_REST, UrgentEdge
from webapp.sites.address_key import phone_key
from webapp.sites.brought_in import FROM_OLD_FILES, NOBODYS_ID, NOT_TOLD, OTHER
from webapp.sites.call_seen import calls_alarm
from webapp.sites.clock import job_moment, wall_words
from webapp.sites.event_reading import words_of_jobs

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from sqlalchemy import Select
    from sqlalchemy.orm import Session

    from webapp.models import Job, Site
    from webapp.office.booked_beside import AlsoBooked
    from webapp.office.calls_beside import CallBeside
    from webapp.office.choices import Choices
    from webapp.sites.procedure_words import ProcedureWords

    Row = tuple[Job, Site, str | None, int, str, str | None]
    """Job, address, technician, rank, key within the rank, the day since when there is no hot water."""

JOBS_A_PAGE = 25


@dataclass(frozen=True)
class Filter:
    """One way to see the list."""

    name: str
    words: str
    states: tuple[str, ...]
    by_urgency: bool = True
    alarms_of_all: bool = False
    """Also jobs in other states that still want the office."""


FILTERS = (
    Filter("to_do", "To do", ("booked", "open"), alarms_of_all=True),
    Filter("booked", "Booked", ("booked",)),
    Filter("open", "On the job", ("open",)),
    Filter("closed", "Closed", ("closed",), by_urgency=False),
    Filter("cancelled", "Cancelled", ("cancelled",), by_urgency=False),
    Filter("all", "All", ("booked", "open", "closed", "cancelled"), by_urgency=False),
)
EMPTY_WORDS = {
    "to_do": "Nothing to do: no job is booked, nobody is on one.",
    "booked": "No job waits to be begun.",
    "open": "Nobody is on a job that this office has heard of.",
    "closed": "No job is closed yet.",
    "cancelled": "No job was cancelled.",
    "all": "No job yet. The first call makes it.",
}
ORDER_WORDS = {
    True: "Below ground too long first, then unsafe, water where it should not be, no hot water longest, "
    "returning addresses, the rest; "
    "in each of these first what nobody goes to yet",
    False: "Newest first",
}


@dataclass(frozen=True)
class JobLine:
    """One job in the list."""

    job: Job
    site: Site
    technician: str
    complaint: str
    visits_before: int
    also_booked: list[AlsoBooked]
    """Other jobs that stand booked at that address."""
    phone: str
    """Corrected for this job, else the address's."""
    heater_off_here: bool
    """Another visit left a heater off there, and nobody has put it back."""
    rank: int
    why: list[str]
    """Why it stands here, the reason for the position first."""
    hints: list[str]
    nobody_goes: bool
    """Who goes is to be decided."""
    calls_beside: list[CallBeside]
    """Other calls from the address that alarm, and that this job has not looked into."""
    alarm: str
    """What the caller said, where it alarms: `smell of gas`."""


@dataclass(frozen=True)
class JobList:
    """A page of the list, with the counts that the filters show."""

    chosen: Filter
    counts: dict[str, int]
    lines: list[JobLine]
    next_page: dict[str, str]
    """What the next page's address says; empty on the last one."""
    first_page: bool
    as_of: str
    overdue: int
    """Technicians on this page who should be out by now."""
    kept_apart: int
    """Entries of phones that wait for the office's word."""
    can_go: Choices
    """Who can be sent, where somebody is to be."""


def filter_named(name: str | None) -> Filter:
    """The filter of this name; the first where none is named."""
    if name is None:
        return FILTERS[0]
    found = next((one for one in FILTERS if one.name == name), None)
    if found is None:
        raise NotFound("There is no such list of jobs.")
    return found


def list_jobs(session: Session, chosen: Filter, typed: Mapping[str, str]) -> JobList:
    """One page of jobs; `typed` says where it begins."""
    now = datetime.now(UTC)
    running = jobs_that_found_one(session)
    left = left_unsafe(session)
    unsafe = {**left, **unsafe_on_site(session, running)} if chosen.by_urgency else {}
    owed = still_owed(session, now)
    calls = calls_beside(session, now)
    rows = (
        _urgent(
            session, chosen, typed, now, {*unsafe, *calls}, {*owed, *running, *left} if chosen.alarms_of_all else ()
        )
        if chosen.by_urgency
        else _newest(session, chosen, read_edge(typed))
    )
    shown, more = rows[:JOBS_A_PAGE], len(rows) > JOBS_A_PAGE
    next_page = written(_edge(shown[-1], chosen)) if more else {}
    if not chosen.by_urgency and read_edge(typed) is None:
        shown = _plain(session, queries.select_jobs_without_booking(chosen.states).limit(JOBS_A_PAGE)) + shown
    states = queries.count_by_state(session, urgency_queries.WAITING)
    alarms = urgency_queries.count_alarms_elsewhere(session, {*owed, *running, *left})
    counts = {"to_do": sum(states.values()) + alarms, **{state: states.get(state, 0) for state in ("booked", "open")}}
    lines = _lines(session, shown, now, unsafe, owed, calls)
    return JobList(
        chosen=chosen,
        counts=counts,
        lines=lines,
        can_go=technician_choices(session)[1:] if any(line.nobody_goes for line in lines) else [],
        next_page=next_page,
        first_page=read_edge(typed) is None,
        as_of=as_of(now),
        overdue=sum(rank == BELOW_TOO_LONG for _job, _site, _name, rank, _key, _cold in shown),
        kept_apart=queries.count_kept_apart(session),
    )


def _urgent(
    session: Session,
    chosen: Filter,
    typed: Mapping[str, str],
    now: datetime,
    unsafe: Collection[str],
    owed: Collection[str],
) -> list[Row]:
    jobs = urgency_queries.select_urgent(
        chosen.states,
        read_urgent_edge(typed),
        now=now,
        alarms_of_all=chosen.alarms_of_all,
        unsafe_on_site=unsafe,
        wet=urgency_queries.get_wet(session),
        owed=owed,
    )
    return [tuple(row) for row in session.execute(jobs.limit(JOBS_A_PAGE + 1))]  # type: ignore[misc]  # six columns


def _newest(session: Session, chosen: Filter, edge: JobEdge | None) -> list[Row]:
    """The first rows of each state, merged: one more than a page shows."""
    found: list[Row] = []
    for state in chosen.states:
        found += _plain(session, queries.select_jobs_in_state(state, edge).limit(JOBS_A_PAGE + 1))
    found.sort(key=lambda row: (job_moment(row[0]), row[0].id), reverse=True)
    return found[: JOBS_A_PAGE + 1]


def _plain(session: Session, found: Select[Job, Site, str]) -> list[Row]:
    return [(job, site, name, THE_REST, "", None) for job, site, name in session.execute(found)]


def _edge(last: Row, chosen: Filter) -> JobEdge | UrgentEdge:
    job, _site, _name, rank, key, _cold = last
    return UrgentEdge(rank, key, job_moment(job), job.id) if chosen.by_urgency else JobEdge(job_moment(job), job.id)


def _lines(
    session: Session,
    rows: Sequence[Row],
    now: datetime,
    unsafe: Mapping[str, list[str]],
    owed: Mapping[str, str],
    alarmed: Mapping[str, list[CallBeside]],
) -> list[JobLine]:
    jobs = [row[0] for row in rows]
    words = words_of_jobs(session, jobs)
    earlier = queries.get_earlier_visits(session, {row[1].group_id for row in rows})
    seen = queries.get_phones_last_seen(session, {job.technician_id for job in jobs if job.technician_id})
    waiting = queries.count_photos_on_phones(session, [job.id for job in jobs])
    phones = queries.get_job_phones(session, [job.id for job in jobs])
    off = left_off_queries.get_jobs_standing_off(session, {row[1].group_id for row in rows})
    beside = also_booked(session, [(job, site.group_id) for job, site, *_ in rows])
    calls = queries.get_calls(session, [job.id for job in jobs if job.caller_alarm])
    ringing = ringing_of(session, [job.id for job in jobs if job.due_out_wall])
    found = []
    for job, site, name, rank, _key, cold in rows:
        before = _before(job, earlier.get(site.group_id, []))
        found.append(
            JobLine(
                job=job,
                site=site,
                technician=_who_goes(job, name),
                complaint=_called_about(job, words[job.id]),
                visits_before=before,
                also_booked=beside.get(job.id, []),
                phone=phone_to_ring(phones.get(job.id), site.phone),
                heater_off_here=bool(off.get(site.group_id, set()) - {job.id}),
                rank=rank,
                why=why_here(
                    job,
                    rank,
                    cold,
                    before,
                    now,
                    unsafe.get(job.id, ()),
                    _said(alarmed, job),
                    owed.get(job.id, ""),
                    ringing.get(job.id),
                ),
                calls_beside=alarmed.get(job.id, []),
                hints=_still_off(job, off.get(site.group_id, set())) + _hints(job, seen, waiting.get(job.id, 0)),
                nobody_goes=nobody_goes(job),
                alarm=calls_alarm(calls.get(job.id, [])),
            )
        )
    return found


def _said(calls: Mapping[str, list[CallBeside]], job: Job) -> list[str]:
    return [one.words for one in calls.get(job.id, [])]


def phone_to_ring(of_job: str | None, of_address: str) -> str:
    """The job's own number, where it is another than the address's."""
    return of_job if of_job and phone_key(of_job) != phone_key(of_address) else of_address


def _who_goes(job: Job, name: str | None) -> str:
    """Nobody is waited for where a visit came from a file."""
    return FROM_OLD_FILES if job.technician_id == NOBODYS_ID else name or "nobody yet"


def _before(job: Job, visits: list[tuple[datetime | None, str]]) -> int:
    return sum(
        booked_at is not None and (job.booked_at is None or (booked_at, job_id) < (job.booked_at, job.id))
        for booked_at, job_id in visits
        if job_id != job.id
    )


def _still_off(job: Job, standing: set[str]) -> list[str]:
    """What became of a heater that this job left off; the list of what is done tells nothing else of it."""
    if job.left_off_at is None or job.state != "closed":
        return []
    return ["the heater stands off"] if job.id in standing else ["the heater is back in service"]


def _hints(job: Job, seen: dict[str, datetime | None], photos_waiting: int) -> list[str]:
    """What the office cannot know yet, in words."""
    hints = []
    if job.due_out_wall and job.state == "closed":
        hints.append(NOT_YET_OUT)
    if job.due_wall and job.state == "booked":
        hints.append(f"appointment {wall_words(job.due_wall)}")
    if job.state == "cancelled" and job.opened_at:
        hints.append("the phone went on after it was cancelled")
    if job.booked_at is None:
        hints.append("its booking has not arrived")
    if job.state == "booked" and job.technician_id:
        last = seen.get(job.technician_id)
        if job.technician_id not in seen:
            hints.append("technician has no phone signed in")
        elif last is None or (job.booked_at and last < job.booked_at):
            hints.append("not on the phone yet")
    if photos_waiting:
        hints.append(f"{photos_waiting} {'photo' if photos_waiting == 1 else 'photos'} still on the phone")
    if job.needs_rebuild:
        hints.append("list line may be old: open the job")
    return hints


def _called_about(job: Job, words: ProcedureWords) -> str:
    """Nothing where an old file does not tell: nobody hung up there."""
    untold = job.technician_id == NOBODYS_ID and job.complaint in (NOT_TOLD, OTHER)
    return words.complaint(job.complaint) if job.complaint and not untold else ""
