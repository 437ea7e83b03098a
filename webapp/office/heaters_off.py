"""The register of heaters left off: since when, why, who knows, and who put them back in service."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any, cast

from webapp.errors import Conflict, NotFound
from webapp.models.base import wall_time
from webapp.office import left_off_queries, queries
from webapp.office.found_in_service import notes_that_stand
from webapp.people.service import Draft, record_office_events
from webapp.sites import service as sites
from webapp.sites.clock import Noted, local, moment_beside, noted_at, parse_wall, reckoned
from webapp.sites.event_reading import event_of
from webapp.sites.left_off_told import left_off_note
from webapp.sites.phrases import measured
from webapp.sites.procedure_words import number_words
from webapp.sites.standing_heaters import heaters_of_groups
from webapp.trade.found_running import FOUND_IN_SERVICE

if TYPE_CHECKING:
    from collections.abc import Collection

    from sqlalchemy import Row
    from sqlalchemy.orm import Session

    from webapp.models import EventRow, Job, Person, Site, StandingOff
    from webapp.office.put_back_heard import PutBackHeard
    from webapp.trade.record_types import LeftOffNote, Mark, Record

MOST_SHOWN = 100
PUT_BACK_SHOWN = 25


@dataclass(frozen=True)
class SaidBack:
    """Somebody's word, without what shows the heater safe."""

    words: str
    by: str
    at: datetime | None
    running: bool
    """It was found in service, and nobody shut it off again since: it may run unsafe."""


@dataclass(frozen=True)
class StandsOff:
    """One entry of what was left off, and nobody may use."""

    job: Job
    site: Site
    heater: str
    since: datetime | None
    known_since: str
    """When the office had it, where that was later than it was noted."""
    days: int | None
    """Days without hot water, by the calendar."""
    note: LeftOffNote | None
    """None where only the close says so, and nothing was noted before it."""

    noted_by: str
    next_job: Job | None
    """What is booked there, or goes on; None where nothing is."""
    who_goes: str
    told: list[tuple[str, datetime | None]]
    """Voice calls to the office that stand recorded; none means that the office was not told."""
    said: list[SaidBack]
    """Words that it was put back, which show nothing and ended nothing."""


@dataclass(frozen=True)
class WasPutBack:
    """One that is in service again."""

    site: Site
    job: Job
    what: str
    """Which of several, where it was said by name."""

    words: str
    shown: str
    """The hot run that stands behind the words, or that none does."""
    by: str
    at: datetime | None
    known_since: str
    off_since: datetime | None
    off_job: Job | None


@dataclass(frozen=True)
class Register:
    """Both lists."""

    off: list[StandsOff]
    count: int
    put_back: list[WasPutBack]


def read_register(session: Session) -> Register:
    """Heaters that stand off, the longest first; then those that were put back, the newest first."""
    rows = left_off_queries.get_still_off(session, MOST_SHOWN)
    groups = {site.group_id for _entry, _job, site in rows}
    heaters, waiting = heaters_of_groups(session, groups), left_off_queries.get_next_jobs(session, groups)
    people = {by["person_id"] for entry, job, _site in rows if (by := _mark(job, entry.event_id))}
    names, now = sites.get_names(session, people), datetime.now(UTC)
    said = [row for row in left_off_queries.get_put_back_at(session, groups) if _shows_nothing(row[0], row[1])]
    running = notes_that_stand(session, [(group_id, job) for _event, job, group_id, _name in said])
    return Register(
        off=[
            _stands_off(
                *row,
                heaters.get(row.Site.group_id, []),
                waiting.get(row.Site.group_id),
                names,
                now,
                _said(row, said, running),
            )
            for row in rows
        ],
        count=left_off_queries.count_still_off(session) if len(rows) == MOST_SHOWN else len(rows),
        put_back=_put_back(session),
    )


def standing_here(session: Session, job: Job) -> list[tuple[str, str]]:
    """What stands off by this job: the event's id, and what it was in words."""
    words = {note["by"]["event_id"]: f"{note['what_words']}: {note['why_words']}" for note in _record(job)["left_off"]}
    return [(one, words.get(one, "Closed as left off")) for one in left_off_queries.standing_of(session, job.id)]


def left_off_at(session: Session, left_off_ids: Collection[str]) -> datetime | None:
    """When the last of these was left off: as noted, or got here where a phone's clock ran ahead of that."""
    entries = left_off_queries.get_standing(session, left_off_ids)
    return max((min(entry.noted_at, entry.heard_at) for entry in entries), default=None)


def put_back(session: Session, person: Person, job_id: str, *, left_off_ids: list[str], heard: PutBackHeard) -> bool:
    """Record what somebody says of these entries, that they are in service again; whether it ended them all.

    By the fold: what the same person found unsafe there themselves stands against their word.
    """
    _of_standing_off(session, person, job_id, "put_back", heard.body(left_off_ids), schema=3)
    return not set(left_off_ids) & set(left_off_queries.standing_of(session, job_id))


def hear_of_it(session: Session, person: Person, job_id: str, *, who: str, words: str, at: datetime) -> None:
    """Record that somebody rang the office about a heater left off."""
    body = {"told_wall": wall_time(at), "who_words": who} | ({"words": words} if words else {})
    _of_standing_off(session, person, job_id, "office_told", body)


def _of_standing_off(
    session: Session, person: Person, job_id: str, kind: str, body: dict[str, Any], *, schema: int = 1
) -> None:
    job = queries.get_job(session, job_id)
    if job is None:
        raise NotFound("There is no such job here.")
    standing = left_off_queries.standing_of(session, job_id)
    if not standing:
        raise Conflict("No heater stands off by this job.")
    if not set(body.get("left_off_ids", standing)) <= set(standing):
        raise Conflict("What was marked is in service again already. Open the job anew.")
    draft: Draft = {"site_id": job.site_id, "job_id": job.id, "kind": kind, "schema": schema, "body": body}
    record_office_events(session, person, [draft])


def _stands_off(
    entry: StandingOff,
    job: Job,
    site: Site,
    heaters: list[str],
    waiting: tuple[Job, str | None] | None,
    names: dict[str, str],
    now: datetime,
    said: list[SaidBack],
) -> StandsOff:
    by = _mark(job, entry.event_id)
    since = _moment(by) if by else None
    return StandsOff(
        job=job,
        site=site,
        heater="; ".join(heaters),
        since=since,
        known_since=_known_since(since, entry.heard_at),
        days=_days(job, since, now),
        note=left_off_note(_record(job)["left_off"], entry.event_id),
        noted_by=names.get(by["person_id"], "somebody unknown here") if by else "",
        next_job=waiting[0] if waiting else None,
        who_goes=(waiting[1] if waiting else None) or "nobody is going yet",
        told=[(one["who_words"], reckoned(one["told_wall"], one["by"], None)) for one in _record(job)["office_told"]],
        said=said,
    )


def _shows_nothing(event: EventRow, job: Job) -> bool:
    """By the fold: of a record that an older one made, every note counts."""
    return any(one["by"]["event_id"] == event.id and one.get("counts") is False for one in _record(job)["put_back"])


def _said(
    row: Row[StandingOff, Job, Site], said: list[Row[EventRow, Job, str, str]], running: set[str]
) -> list[SaidBack]:
    """Of this entry: by its name, or in its own job, or later at the address where no name is said."""
    entry, of_job, site = row
    found = []
    for event, job, group_id, name in said:
        at, named = noted_at(event_of(event), event.received_at).noted, _named(event)
        later = job.id == of_job.id or at is None or at > entry.noted_at
        if group_id == site.group_id and (entry.event_id in named if named else later):
            runs, words = event.id in running, str(event.body.get("words", ""))
            found.append(
                SaidBack(
                    words.removeprefix(FOUND_IN_SERVICE) if runs else words, name or "somebody unknown here", at, runs
                )
            )
    return sorted(found, key=lambda one: not one.running)


def _known_since(noted: datetime | None, heard_at: datetime) -> str:
    """`11:29`: up to then nobody here could know, unless somebody rang."""
    if not Noted(noted, heard_at, None).arrived_later:
        return ""
    return moment_beside(heard_at, noted)


def _mark(job: Job, event_id: str) -> Mark | None:
    """Who noted this entry, and when."""
    record = _record(job)
    marks = [note["by"] for note in record["left_off"]] + [closed["by"] for closed in record["closings"]]
    return next((by for by in marks if by["event_id"] == event_id), None)


def _days(job: Job, since: datetime | None, now: datetime) -> int | None:
    """Since the caller's own day, where it is known; else since it was left off."""
    said = parse_wall(job.no_hot_water_since)
    if said is None and since is None:
        return None
    first = said.date() if said else local(since).date()  # type: ignore[arg-type]  # one of the two is there
    return max(0, (local(now).date() - first).days)


def _put_back(session: Session) -> list[WasPutBack]:
    newest = left_off_queries.get_put_back(session, PUT_BACK_SHOWN)
    rows = [row for row in newest if not _shows_nothing(row[0], row[1])]
    if not rows:
        return []
    groups = {site.group_id for _event, _job, site, _name in rows}
    jobs = left_off_queries.get_jobs_left_off(session, groups, rows[0][0].received_at)
    named = left_off_queries.get_left_off(session, {one for row in rows for one in _named(row[0])})
    return [
        _was_put_back(event, job, site, name, named, [one for one, group in jobs if group == site.group_id])
        for event, job, site, name in rows
    ]


def _was_put_back(
    event: EventRow, job: Job, site: Site, name: str | None, named: dict[str, EventRow], jobs: list[Job]
) -> WasPutBack:
    at = noted_at(event_of(event), event.received_at).noted
    known_since = _known_since(at, event.received_at)
    left = [named[one] for one in _named(event) if one in named]
    if left:
        off = next((one for one in jobs if one.id == left[0].job_id), None)
        since = noted_at(event_of(left[0]), left[0].received_at).noted
    else:
        earlier = [one for one in jobs if one.left_off_at is not None and (at is None or one.left_off_at <= at)]
        off = next((one for one in earlier if one.id == job.id), earlier[0] if earlier else None)
        since = _left_at(off) if off else None
    what = ", ".join(dict.fromkeys(str(one.body.get("what_words", "")) for one in left))
    words = str(event.body.get("words", ""))
    shown = _run_behind(job, event.lamport)
    return WasPutBack(site, job, what, words, shown, name or "somebody unknown here", at, known_since, since, off)


def _run_behind(job: Job, lamport: int) -> str:
    """Of the same visit, noted before it; what the office heard has none."""
    runs = [one for one in _record(job)["proofs"] if one["by"]["lamport"] < lamport and one["passed"]]
    if not runs:
        return "no hot run is recorded with it"
    minutes, restarts, ppm = runs[-1]["minutes"], runs[-1]["restarts"], runs[-1]["co_room_ppm"]
    again = "1 restart" if restarts == 1 else f"{restarts} restarts"
    co = "not read" if ppm is None else measured("co_room_ppm", ppm)
    return f"hot run of {number_words(minutes)} min, {again}, CO in the room {co}"


def _named(event: EventRow) -> list[str]:
    return event.body.get("left_off_ids") or []


def _left_at(job: Job) -> datetime | None:
    notes = _record(job)["left_off"]
    return _moment(notes[0]["by"]) if notes else None


def _moment(by: Any) -> datetime | None:
    return noted_at(by, None).noted


def _record(job: Job) -> Record:
    """Of a job whose row could not be made, or was made by an older fold, what is not there is empty."""
    found: Any = {"left_off": [], "closings": [], "office_told": [], "put_back": [], "proofs": []} | (job.record or {})
    return cast("Record", found)
