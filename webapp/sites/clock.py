"""Times as the office reads them: local, with the day; the store keeps UTC."""

from __future__ import annotations

from contextvars import ContextVar
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING, cast

if TYPE_CHECKING:
    from collections.abc import Iterable
    from zoneinfo import ZoneInfo

    from webapp.models import Job
    from webapp.trade.events import Event
    from webapp.trade.record_types import Mark

SAME_MOMENT = timedelta(minutes=2)
"""A phone with signal sends within seconds; beyond this the arrival is worth a word."""
CLOCK_WORTH_A_WORD = timedelta(minutes=2)
EARLIEST_YEAR, LATEST_YEAR = 1971, 9000
"""Outside of them a clock says nothing, and calendars end before every zone can be told."""


@dataclass(frozen=True)
class Noted:
    """When something was noted, and when it got here."""

    noted: datetime | None
    """The device's own time, put right by its measured offset; None where it cannot be read."""
    arrived: datetime | None
    clock_was_off: timedelta | None
    """How far the device's clock was corrected, where that is worth a word."""

    @property
    def arrived_later(self) -> bool:
        """True when the arrival is worth telling apart from the noting."""
        if self.arrived is None or self.noted is None:
            return self.arrived is not None
        return abs(self.arrived - self.noted) > SAME_MOMENT


def job_moment(job: Job) -> datetime:
    """Where a job stands in the logbook; the same rule as queries.job_stands_at."""
    return job.booked_at or job.opened_at or job.last_received_at


def parse_wall(text: object) -> datetime | None:
    """An RFC 3339 time as an aware one, or None: a phone may send anything."""
    if not isinstance(text, str):
        return None
    try:
        found = datetime.fromisoformat(text)
    except ValueError:
        return None
    if not EARLIEST_YEAR <= found.year <= LATEST_YEAR:
        return None
    return found.replace(tzinfo=UTC) if found.tzinfo is None else found.astimezone(UTC)


def noted_at(event: Event | Mark, arrived: datetime | None) -> Noted:
    """When an event was noted, by its device's clock and that clock's measured offset."""
    wall, offset_ms = parse_wall(event["at_wall"]), event["clock_offset"]
    if wall is None or offset_ms is None:
        return Noted(wall, arrived, None)
    try:
        off = timedelta(milliseconds=offset_ms)
        right = parse_wall((wall + off).isoformat())
        return Noted(right or wall, arrived, off if right and abs(off) > CLOCK_WORTH_A_WORD else None)
    except OverflowError:
        return Noted(wall, arrived, None)


def reckoned(wall: str, by: Event | Mark, arrived: datetime | None) -> datetime | None:
    """A time that a device reckoned by its own clock, by the server's; None where it cannot be read.

    A clock that was never measured and runs ahead is put back to when its entry got here: whoever is due out would
    else be waited for a day too long.
    """
    noted = noted_at(by, None).noted
    due = noted_at(cast("Mark", {**by, "at_wall": wall}), None).noted
    if due is None or noted is None or arrived is None or noted <= arrived:
        return due
    return parse_wall((due - (noted - arrived)).isoformat()) or due


_zone: ContextVar[ZoneInfo | None] = ContextVar("zone", default=None)


def use_zone(zone: ZoneInfo | None) -> None:
    """From now on, in this request, times are read and shown in the company's zone; None: in the machine's own."""
    _zone.set(zone)


_years: ContextVar[bool] = ContextVar("years", default=False)


def use_years(*, always: bool) -> None:
    """Whether days of this year are told with their year too, in this request: paper is read later."""
    _years.set(always)


def local(moment: datetime) -> datetime:
    """In the company's time zone, where it chose one; else in that of this machine (TZ in its environment)."""
    return moment.astimezone(_zone.get())


def at_local(day: date, hour: time) -> datetime:
    """The moment that somebody means who says this day and hour in the office."""
    return datetime.combine(day, hour, _zone.get()).astimezone(UTC)


def parse_local(said: str) -> datetime | None:
    """A day and hour as a form's calendar sends them, by the office's own clock; None where it is neither."""
    try:
        typed = datetime.strptime(said, "%Y-%m-%dT%H:%M")  # noqa: DTZ007  the zone is the office's, below
    except ValueError:
        return None
    return at_local(typed.date(), typed.time()) if EARLIEST_YEAR <= typed.year <= LATEST_YEAR else None


def today() -> date:
    """By the office's own calendar."""
    return local(datetime.now(UTC)).date()


def zone_words(moment: datetime | None = None) -> str:
    """The zone of all times shown, as `EST, UTC-05:00`: whoever checks a time must know whose it is."""
    here = local(moment or datetime.now(UTC))
    offset = f"{here:%z}"
    beside_utc = f"UTC{offset[:3]}:{offset[3:5]}"
    return "UTC" if here.tzname() == "UTC" else f"{here.tzname()}, {beside_utc}"


def whose_time(moment: datetime | None = None) -> str:
    """The same, with the place that the company chose: `America/New_York, EST, UTC-05:00`."""
    zone = _zone.get()
    chosen = f"{zone.key}, " if zone and zone.key != "UTC" else ""
    return chosen + zone_words(moment)


def day_words(moment: datetime, today: datetime | None = None) -> str:
    """`Wed 25 Nov`, with the year where it is not this one, or the page is one that is printed."""
    here, now = local(moment), local(today or datetime.now(UTC))
    return f"{here:%a} {here.day} {here:%b}" + ("" if here.year == now.year and not _years.get() else f" {here.year}")


def moment_words(moment: datetime, today: datetime | None = None) -> str:
    """`Wed 25 Nov, 14:05`."""
    return f"{day_words(moment, today)}, {hour_words(moment)}"


def day_or_moment(moment: datetime, others: Iterable[datetime]) -> str:
    """The day; with the hour where another one of these falls on it."""
    same_day = any(one != moment and local(one).date() == local(moment).date() for one in others)
    return moment_words(moment) if same_day else day_words(moment)


def noted_words(noted: Noted) -> str:
    """`Wed 25 Nov, 11:16, arrived here 11:29`; the arrival only where it was later."""
    told = [moment_words(noted.noted)] if noted.noted else []
    if noted.arrived_later and noted.arrived:
        told.append(f"arrived here {moment_beside(noted.arrived, noted.noted)}")
    return ", ".join(told)


def wall_words(text: str | None, today: datetime | None = None) -> str:
    """A device's wall time as the office reads it; what cannot be read stays as it came."""
    moment = parse_wall(text)
    return moment_words(moment, today) if moment else text or ""


def date_words(text: str | None) -> str:
    """A date as it was typed, `2026-11-24`, as `Tue 24 Nov 2026`; what cannot be read stays as it came."""
    try:
        day = date.fromisoformat(text or "")
    except ValueError:
        return text or ""
    return f"{day:%a} {day.day} {day:%b %Y}"


def said_moment_words(moment: datetime) -> str:
    """`Tue 24 Nov 2026, 14:05`: to be kept in words, which are read in another year."""
    return f"{date_words(local(moment).date().isoformat())}, {hour_words(moment)}"


def hour_words(moment: datetime) -> str:
    """`14:05`."""
    return f"{local(moment):%H:%M}"


def moment_beside(moment: datetime, other: datetime | None, today: datetime | None = None) -> str:
    """The hour alone where the day was just said: `14:05`."""
    same_day = other is not None and local(moment).date() == local(other).date()
    return hour_words(moment) if same_day else moment_words(moment, today)


def span_words(span: timedelta) -> str:
    """A length of time in its two largest sensible words: `3 h 20 min`, `12 days`."""
    minutes = int(abs(span).total_seconds() // 60)
    if minutes < 60:
        return f"{minutes} min"
    hours, rest = divmod(minutes, 60)
    if hours < 48:
        return f"{hours} h {rest} min" if rest else f"{hours} h"
    return f"{hours // 24} days"
