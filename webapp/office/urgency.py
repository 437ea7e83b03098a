"""Why a job stands where it stands, in words that are written on its row."""

from __future__ import annotations

from datetime import UTC, date, datetime
from typing import TYPE_CHECKING, NamedTuple

from webapp.office.urgency_queries import BELOW_TOO_LONG, COLD, RETURNING, UNSAFE, WAITING, WET
from webapp.sites.clock import hour_words, local, moment_beside, parse_wall, span_words
from webapp.sites.ringing import NO_BREAK, phone_words

if TYPE_CHECKING:
    from collections.abc import Sequence

    from webapp.models import Job

NOBODY_GOES = "nobody is going yet"
NOT_YET_OUT = "closed, not yet out"
WATER = "water where it should not be"
NO_NUMBER = "no number to ring was given"


class Ringing(NamedTuple):
    """Of somebody below: whose number it is, and who rang it in vain."""

    whose: str = ""
    rang: tuple[str, ...] = ()


def why_here(
    job: Job,
    rank: int,
    cold_since: str | None,
    visits_before: int,
    now: datetime,
    unsafe: Sequence[str] = (),
    calls: Sequence[str] = (),
    owed: str = "",
    ringing: Ringing | None = None,
) -> list[str]:
    """The reason for the position first, then what else presses.

    `unsafe`: what was found on site, and stands; `calls`: what another caller there said; `owed`: why somebody has to
    go again; `ringing`: of somebody below.
    """
    whose, rang = ringing or ("", ())
    below = [due_out_words(job, now, whose), *rang]
    stands = [f"found unsafe: {words}" for words in unsafe] + list(calls)
    said = {
        BELOW_TOO_LONG: below,
        UNSAFE: stands + _unsafe(job),
        WET: [WATER],
        COLD: [],
        RETURNING: [f"{visits_before} {'visit' if visits_before == 1 else 'visits'} here before"],
    }.get(rank, [])
    if rank != BELOW_TOO_LONG and job.due_out_wall:
        said += below
    if rank == BELOW_TOO_LONG:
        said += stands + _unsafe(job)
    if cold_since:
        said.append(cold_words(cold_since, now))
    if nobody_goes(job):
        said.insert(0, NOBODY_GOES)
    said = said or [f"waiting {span_words(now - (job.booked_at or job.last_received_at))}"]
    if owed:
        said.insert(1 if rank in (BELOW_TOO_LONG, UNSAFE) else 0, owed)  # behind what can hurt
    return said


def nobody_goes(job: Job) -> bool:
    """Booked, and who goes is not decided; the same rule as urgency_queries.nobody_goes."""
    return job.state == "booked" and job.technician_id is None and job.booked_at is not None


def due_out_words(job: Job, now: datetime, whose: str = "") -> str:
    """`due out 15:10, overdue 12 min, ring 555-0100 (the customer's number)`."""
    due = parse_wall(job.due_out_wall)
    if due is None:
        return f"due out {job.due_out_wall}, a time that cannot be read"
    when = moment_beside(due, now, now)
    late = f", overdue {span_words(now - due)}" if due < now else ""
    number = phone_words(job.ring_phone or "").replace(" ", NO_BREAK) + (f" ({whose})" if whose else "")
    ring = (f", ring {number}" if job.ring_phone else f", {NO_NUMBER}") if late else ""
    return f"due out {when}{late}{ring}"


def cold_words(since: str, now: datetime | None = None) -> str:
    """`no hot water for 5 days`."""
    try:
        days = (local(now or datetime.now(UTC)).date() - date.fromisoformat(since)).days
    except ValueError:
        return f"no hot water since {since}"
    if days < 1:
        return "no hot water since today"
    return "no hot water since yesterday" if days == 1 else f"no hot water for {days} days"


def as_of(now: datetime) -> str:
    """When the list was made."""
    return hour_words(now)


def _unsafe(job: Job) -> list[str]:
    said = []
    if job.caller_alarm and job.state in WAITING:
        said.append("caller alarm")
    if job.heater_off and job.office_not_told:
        said.append("heater left off, office not told")
    elif job.heater_off:
        said.append("heater left off")
    return said
