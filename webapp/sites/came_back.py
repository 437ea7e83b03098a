"""What is said of the visit that followed one at the same address."""

from __future__ import annotations

from datetime import timedelta
from typing import TYPE_CHECKING

from webapp.sites.clock import day_or_moment, job_moment, span_words
from webapp.sites.visit import CameBack

if TYPE_CHECKING:
    from datetime import datetime

    from webapp.models import Job

MINUTE = timedelta(minutes=1)
NO_CAUSE = (None, "other", "none_of_these")
"""Found twice they are no repeat: nobody knows that they are the same."""


def came_back(job: Job, next_job: Job | None) -> CameBack | None:
    """The next visit, and whether its cause is the same; of causes that nobody named none is said to be another."""
    if next_job is None or job.state != "closed":
        return None
    since = job_moment(next_job) - (job.closed_at or job_moment(job))
    is_named = job.cause not in NO_CAUSE
    if next_job.state != "closed" or next_job.cause in NO_CAUSE:
        fault = "cause not known yet" if next_job.state != "closed" else "no cause named on it"
    elif not is_named:
        fault = "no cause named on this one"
    else:
        fault = "same cause" if next_job.cause == job.cause else "another cause"
    label = day_or_moment(_made(next_job), [_made(job)])
    agreed = job.close_state == "waiting_part"
    words = (
        f"Second visit {_when(since)}, a part was waited for:" if agreed else f"Return visit {_when(since)}, {fault}:"
    )
    no_repeat = agreed or fault == "another cause"
    return CameBack(next_job.id, job_moment(next_job), words, label, is_no_repeat=no_repeat)


def _when(since: timedelta) -> str:
    if since <= -MINUTE:
        return "that was booked before this one was closed"
    return f"after {span_words(since)}" if since >= MINUTE else "booked at once"


def _made(job: Job) -> datetime:
    """As `Visit.made`, as far as the list's row knows it."""
    return job.opened_at or job_moment(job)
