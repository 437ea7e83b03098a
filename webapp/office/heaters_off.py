"""The register of heaters left off: since when, why, who knows, and who put them back in service."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any, cast

from webapp.errors import Conflict, NotFound
from webapp.models.base import wall_time
from webapp.office import left_off_queries, queries
from webapp.people.service import Draft, record_office_events
from webapp.sites import service as sites
from webapp.sites.clock import local, noted_at, parse_wall, reckoned
from webapp.sites.event_reading import event_of
from webapp.sites.standing_heaters import heaters_of_groups

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.models import EventRow, Job, Person, Site
    from webapp.trade.record_types import LeftOffNote, Record

MOST_SHOWN = 100
PUT_BACK_SHOWN = 25


@dataclass(frozen=True)
class StandsOff:
    """One heater that nobody may use."""

    job: Job
    site: Site
    heater: str
    since: datetime | None
    days: int | None
    """Days without hot water, by the calendar."""
    notes: list[LeftOffNote]
    noted_by: str
    told: list[tuple[str, datetime | None]]
    """Voice calls to the office that stand recorded; none means that the office was not told."""


@dataclass(frozen=True)
class WasPutBack:
    """One that is in service again."""

    site: Site
    job: Job
    words: str
    by: str
    at: datetime | None
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
    heaters = heaters_of_groups(session, {site.group_id for _job, site in rows})
    people = {note["by"]["person_id"] for job, _site in rows for note in _record(job)["left_off"]}
    names, now = sites.get_names(session, people), datetime.now(UTC)
    return Register(
        off=[_stands_off(job, site, heaters.get(site.group_id, []), names, now) for job, site in rows],
        count=left_off_queries.count_still_off(session) if len(rows) == MOST_SHOWN else len(rows),
        put_back=_put_back(session),
    )


def put_back(session: Session, person: Person, job_id: str, words: str) -> None:
    """Record that a heater is in service again."""
    _of_standing_off(session, person, job_id, "put_back", {"words": words})


def hear_of_it(session: Session, person: Person, job_id: str, *, who: str, words: str) -> None:
    """Record that somebody rang the office about a heater left off, now."""
    body = {"told_wall": wall_time(datetime.now(UTC)), "who_words": who} | ({"words": words} if words else {})
    _of_standing_off(session, person, job_id, "office_told", body)


def _of_standing_off(session: Session, person: Person, job_id: str, kind: str, body: dict[str, Any]) -> None:
    job = queries.get_job(session, job_id)
    if job is None:
        raise NotFound("There is no such job here.")
    if not left_off_queries.is_still_off(session, job_id):
        raise Conflict("No heater stands off by this job.")
    draft: Draft = {"site_id": job.site_id, "job_id": job.id, "kind": kind, "body": body}
    record_office_events(session, person, [draft])


def _stands_off(job: Job, site: Site, heaters: list[str], names: dict[str, str], now: datetime) -> StandsOff:
    record = _record(job)
    notes = record["left_off"]
    since = _moment(notes[0]["by"]) if notes else None
    return StandsOff(
        job=job,
        site=site,
        heater="; ".join(heaters),
        since=since,
        days=_days(job, since, now),
        notes=notes,
        noted_by=", ".join(
            dict.fromkeys(names.get(note["by"]["person_id"], "somebody unknown here") for note in notes)
        ),
        told=[(one["who_words"], reckoned(one["told_wall"], one["by"], None)) for one in record["office_told"]],
    )


def _days(job: Job, since: datetime | None, now: datetime) -> int | None:
    """Since the caller's own day, where it is known; else since it was left off."""
    said = parse_wall(job.no_hot_water_since)
    if said is None and since is None:
        return None
    first = said.date() if said else local(since).date()  # type: ignore[arg-type]  # one of the two is there
    return max(0, (local(now).date() - first).days)


def _put_back(session: Session) -> list[WasPutBack]:
    rows = left_off_queries.get_put_back(session, PUT_BACK_SHOWN)
    if not rows:
        return []
    groups = {site.group_id for _event, _job, site, _name in rows}
    left = left_off_queries.get_jobs_left_off(session, groups, rows[0][0].received_at)
    return [_was_put_back(event, job, site, name, [one for one, group in left if group == site.group_id])
            for event, job, site, name in rows]  # fmt: skip


def _was_put_back(event: EventRow, job: Job, site: Site, name: str | None, left: list[Job]) -> WasPutBack:
    at = noted_at(event_of(event), event.received_at).noted
    earlier = [one for one in left if one.left_off_at is not None and (at is None or one.left_off_at <= at)]
    off = next((one for one in earlier if one.id == job.id), earlier[0] if earlier else None)
    words = str(event.body.get("words", ""))
    return WasPutBack(site, job, words, name or "somebody unknown here", at, _left_at(off) if off else None, off)


def _left_at(job: Job) -> datetime | None:
    notes = _record(job)["left_off"]
    return _moment(notes[0]["by"]) if notes else None


def _moment(by: Any) -> datetime | None:
    return noted_at(by, None).noted


def _record(job: Job) -> Record:
    """Of a job whose row could not be made, or was made by an older fold, what is not there is empty."""
    found: Any = {"left_off": [], "office_told": [], "put_back": []} | (job.record or {})
    return cast("Record", found)
