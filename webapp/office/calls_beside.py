"""An open call that alarms stands on every open job of its address: whoever goes there for another one must know."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from webapp.office import queries
from webapp.sites.call_seen import ALARMS, calls_alarm
from webapp.sites.clock import moment_beside, noted_at

if TYPE_CHECKING:
    from datetime import datetime

    from sqlalchemy.orm import Session

    from webapp.models import Job

LOOKS = {"smell_of_gas": "smell_of_gas", "co_alarm": "co_room", "unwell": "symptoms"}
"""The look of another visit that answers each of them, given after the call."""


@dataclass(frozen=True)
class CallBeside:
    """Another call from the address."""

    job_id: str
    words: str
    """`another call from this address 00:40: smell of gas, CO alarm`."""


def calls_beside(session: Session, now: datetime, group_id: str | None = None) -> dict[str, list[CallBeside]]:
    """By the job that it stands on: not its own call, and none that it has looked into since.

    `group_id`: of one address alone.
    """
    by_group: dict[str, list[Job]] = {}
    for group, job in queries.get_waiting_where_a_caller_alarms(session, group_id):
        by_group.setdefault(group, []).append(job)
    found: dict[str, list[CallBeside]] = {}
    for jobs in by_group.values():
        calls = [(job, _calls(job)) for job in jobs if job.caller_alarm]
        for job in jobs:
            lines = [
                _told(other, said, now) for other, said in calls if other.id != job.id and not _looked_into(job, said)
            ]
            if lines:
                found[job.id] = lines
    return found


def _calls(job: Job) -> list[Any]:
    return (job.record or {}).get("calls") or []


def _told(job: Job, calls: list[Any], now: datetime) -> CallBeside:
    at = job.booked_at or _last(calls)  # a correction has a later hour, and is no other call
    when = f" {moment_beside(at, now, now)}" if at else ""
    return CallBeside(job.id, f"another call from this address{when}: {calls_alarm(calls) or 'caller alarm'}")


def _looked_into(job: Job, calls: list[Any]) -> bool:
    """Each of the alarms, by its own look, later than the call by the clocks as well as they are known."""
    at = _last(calls)
    asked = {LOOKS[name] for name in ALARMS if any(call.get(name) in ("yes", "unsure") for call in calls)}
    if at is None or not asked:
        return False
    checks = {one["check"]: one["entries"] for one in (job.record or {}).get("checks") or []}
    given = {look: [_moment(one) for one in checks.get(look, []) if one["outcome"]] for look in asked}
    return all(any(moment is not None and moment > at for moment in moments) for moments in given.values())


def _moment(line: Any) -> datetime | None:
    return noted_at(line["by"], None).noted


def _last(calls: list[Any]) -> datetime | None:
    noted = [moment for call in calls if (moment := _moment(call))]
    return max(noted) if noted else None
