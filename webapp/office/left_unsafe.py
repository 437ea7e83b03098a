"""Jobs that were closed with a danger that somebody only looked at again: the office reads them until somebody went."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from webapp.office import urgency_queries
from webapp.sites.event_reading import words_of_jobs
from webapp.sites.looked_again import looked_again_lines
from webapp.sites.settled import settled_why
from webapp.trade.put_back_counts import tells

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy.orm import Session

    from webapp.trade.record_types import Record

LEFT_UNSAFE = "closed with a danger that somebody only looked at again"


def is_settled(record: Mapping[str, Any]) -> bool:
    """Whether somebody said who sees to it: a bare word tells nobody."""
    return tells_who(settled_why(record))


def tells_who(why: str | None) -> bool:
    """As of what was put right where a heater is put back: more than one word, and "ok" is none."""
    return tells("work_words", why)


def left_unsafe(session: Session, job_id: str | None = None) -> dict[str, list[str]]:
    """By job, what it was; `job_id`: of that one alone.

    Until a later visit is begun there, a heater of the job stands off, or the office settles it.
    """
    jobs = [job for job in urgency_queries.get_left_unsafe(session, job_id) if not is_settled(job.record or {})]
    words = words_of_jobs(session, jobs)
    found: dict[str, list[str]] = {}
    for job in jobs:
        record: Any = job.record
        found[job.id] = looked_again_lines(words[job.id].procedure, cast("Record", record)) or [LEFT_UNSAFE]
    return found
