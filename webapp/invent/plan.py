"""Who rings when, what is truly wrong, whether the repair meets it, and when the heater fails again.

The plan is the hidden truth. It knows nothing of checks and events, costs a few microseconds a visit, and hands
visits out in the order in which they were booked; only returns that are still to come are kept in memory.
"""

from __future__ import annotations

import heapq
import random
from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from webapp.invent.chance import between, exponential, pick, pick_weighted, stream, whole
from webapp.invent.company import Company
from webapp.invent.hazards import NEW_FAULT_SHARE, RIGHT_SHARE

SPAN_DAYS = 548.0  # eighteen months
RETURNS_PER_CALL = 0.24  # expected; only sets how fast calls come in, so that the span is about eighteen months
SAME_ADDRESS_SHARE = 0.06  # calls from an address that has called before, about another fault
Why = Literal["new", "return", "part_came"]
Ending = Literal["repaired", "waiting_part", "declined", "handed_over", "replaced", "left_off", "not_seen_today"]

_ENDINGS: tuple[tuple[Ending, float], ...] = (
    ("repaired", 0.86), ("waiting_part", 0.05), ("declined", 0.02), ("handed_over", 0.02), ("replaced", 0.02),
    ("left_off", 0.03),
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Visit:
    """One visit as it truly is. Times are days since the company's first morning."""

    number: int
    address: int
    procedure: str
    why: Why
    before: int | None  # the number of the visit that this one follows
    episode: int  # the number of the first visit about this fault: the complaint stays the same through it
    technician: int
    rang_day: float  # when the customer would have rung
    booked_day: float  # when they did, within calling hours
    opened_day: float
    closed_day: float
    cause: str  # the true one
    named: str  # the one the technician named
    ending: Ending
    rate_per_day: float | None  # of a return, even; None where nothing was repaired
    return_day: float | None  # when it fails again, days after closing; may lie beyond the end

    @property
    def right(self) -> bool:
        """Whether the cause that was named is the true one."""
        return self.cause == self.named


@dataclass(frozen=True, slots=True)
class _Booking:
    address: int
    procedure: str
    why: Why
    before: int | None
    cause: str | None  # None: a new fault, to be drawn
    episode: int | None = None  # None: it begins here


def _in_calling_hours(day: float) -> float:
    """Calls come between 7 and 20 o'clock; a fault of the night is rung in at 7."""
    hour = day % 1.0 * 24
    if hour < 7:
        return day - hour / 24 + 7 / 24
    return day - hour / 24 + 31 / 24 if hour > 20 else day


def _start_of_work(wanted: float) -> float:
    """Visits begin between 8 and 17 o'clock."""
    hour = wanted % 1.0 * 24
    if hour < 8:
        return wanted - hour / 24 + 8 / 24
    return wanted - hour / 24 + 32 / 24 if hour > 17 else wanted


class Planner:
    """Draws the visits of one company, one after another."""

    def __init__(self, company: Company, jobs: int) -> None:
        self._company = company
        self._jobs = jobs
        self._kinds = sorted(company.procedures)
        self._skills = [member.skill for member in company.of_role("technician")]
        self._free = [0.0] * len(self._skills)
        self._addresses = 0

    def visits(self) -> Iterator[Visit]:
        """All visits, in the order of booking."""
        calls = stream(self._company.seed, "calls")
        gap_days = SPAN_DAYS * (1 + RETURNS_PER_CALL) / max(self._jobs, 1)
        next_call = exponential(calls, gap_days)
        waiting: list[tuple[float, int, _Booking]] = []
        for number in range(self._jobs):
            if waiting and waiting[0][0] <= next_call:
                day, _, booking = heapq.heappop(waiting)
            else:
                day, booking = next_call, self._new_call(calls)
                next_call += exponential(calls, gap_days)
            visit = self._visit(number, day, booking)
            yield visit
            follow = self._follow(visit)
            if follow and follow[0] < SPAN_DAYS * 2:
                heapq.heappush(waiting, (follow[0], number, follow[1]))

    def _new_call(self, rng: random.Random) -> _Booking:
        if self._addresses and rng.random() < SAME_ADDRESS_SHARE:
            address = whole(rng, 0, self._addresses - 1)
        else:
            address, self._addresses = self._addresses, self._addresses + 1
        kind = pick(stream(self._company.seed, "kind", address), self._kinds)
        return _Booking(address, kind, "new", None, None)

    def _visit(self, number: int, day: float, booking: _Booking) -> Visit:
        rng = stream(self._company.seed, "plan", number)
        causes = self._company.procedures[booking.procedure]["causes"]
        cause = booking.cause or causes[pick_weighted(rng, [c["prior"] for c in causes])]["id"]
        booked_day = _in_calling_hours(day)
        technician = whole(rng, 0, len(self._skills) - 1)
        opened_day = _start_of_work(max(booked_day + between(rng, 0.08, 1.2), self._free[technician]))
        closed_day = opened_day + between(rng, 45, 150) / 1440
        self._free[technician] = closed_day + 0.02
        ending = _ENDINGS[pick_weighted(rng, [share for _, share in _ENDINGS])][0]
        if cause == causes[-1]["id"]:
            ending = "not_seen_today"
        elif booking.why == "part_came":
            ending = "repaired"
        right = rng.random() < RIGHT_SHARE or ending == "not_seen_today"
        named = cause if right else self._wrong_cause(rng, causes, cause)
        rate = None
        if ending == "repaired":
            hazard = self._company.hazards[booking.procedure]
            rate = hazard.rate_per_day(cause, right=right, factor=self._skills[technician])
        return Visit(
            number, booking.address, booking.procedure, booking.why, booking.before,
            number if booking.episode is None else booking.episode, technician,
            day, booked_day, opened_day, closed_day, cause, named, ending, rate,
            exponential(rng, 1 / rate) if rate else None,
        )  # fmt: skip

    @staticmethod
    def _wrong_cause(rng: random.Random, causes: list[dict[str, object]], true: str) -> str:
        """Another cause, drawn by how common it is; never the open last one."""
        others = [c for c in causes[:-1] if c["id"] != true]
        return str(others[pick_weighted(rng, [float(str(c["prior"])) for c in others])]["id"])

    def _follow(self, visit: Visit) -> tuple[float, _Booking] | None:
        rng = stream(self._company.seed, "follow", visit.number)
        if visit.ending == "waiting_part":
            day = visit.closed_day + between(rng, 2, 8)
            return day, _Booking(visit.address, visit.procedure, "part_came", visit.number, visit.cause, visit.episode)
        if visit.return_day is None:
            return None
        new_fault = visit.right and rng.random() < NEW_FAULT_SHARE
        cause = None if new_fault else visit.cause
        episode = None if new_fault else visit.episode  # the same fault is complained of in the same way
        return visit.closed_day + visit.return_day, _Booking(
            visit.address, visit.procedure, "return", visit.number, cause, episode
        )


def length_in_days(company: Company, jobs: int) -> tuple[float, float]:
    """When the last visit was rung in, and when it was booked: the story walked once without keeping anything."""
    rang_day = booked_day = 0.0
    for visit in Planner(company, jobs).visits():
        rang_day, booked_day = visit.rang_day, max(booked_day, visit.booked_day)
    return rang_day, booked_day
