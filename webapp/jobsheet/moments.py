"""Days and hours on a sheet: always with the year, because a sheet is read years later."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.sites.clock import hour_words, local, noted_at, reckoned, zone_words

if TYPE_CHECKING:
    from datetime import datetime

    from webapp.trade.record_types import Mark, OfficeToldNote, Record


def full_day(moment: datetime) -> str:
    """`Wednesday, 25 November 2026`."""
    here = local(moment)
    return f"{here:%A}, {here.day} {here:%B} {here.year}"


def full_moment(moment: datetime) -> str:
    """`Wednesday, 25 November 2026, 14:05`."""
    return f"{full_day(moment)}, {hour_words(moment)}"


def moment_with_zone(moment: datetime) -> str:
    """The same, and whose time it is."""
    return f"{full_moment(moment)} ({zone_words(moment)})"


def noted(by: Mark) -> datetime | None:
    """When something was noted, its phone's clock put right."""
    return noted_at(by, None).noted


def noted_words(by: Mark) -> str:
    """`Wednesday, 25 November 2026, 14:05`, or nothing where the clock said nothing."""
    moment = noted(by)
    return full_moment(moment) if moment else ""


def hour_of(by: Mark) -> str:
    """`14:05`, or nothing where the clock said nothing."""
    moment = noted(by)
    return hour_words(moment) if moment else ""


def told_when(told: OfficeToldNote) -> str:
    """When the office was told, that phone's clock put right; as it came where it cannot be read."""
    moment = reckoned(told["told_wall"], told["by"], None)
    return full_moment(moment) if moment else told["told_wall"]


def moment_of_visit(by: Mark, record: Record) -> str:
    """`14:05` on the day that the sheet names as that of the visit, else `25 November 2026, 14:05`; or nothing."""
    moment, began = noted(by), visit_began(record)
    if moment is None:
        return ""
    same_day = began is not None and local(began).date() == local(moment).date()
    return hour_words(moment) if same_day else full_moment(moment).partition(", ")[2]


def visit_began(record: Record) -> datetime | None:
    """When somebody was there: arrived, else began."""
    there = [noted(one["by"]) for one in (record["arrived"], record["opened"]) if one]
    return next((moment for moment in there if moment), None)
