"""When something was noted, by the server's clock as well as its phone knew it: between jobs nothing else can say."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from .record_types import Mark

_DAY_MS = 86_400_000


def moment_ms(by: Mark) -> int | None:
    """Milliseconds since 1970, UTC; null where the time cannot be read.

    Range: years 1 to 9999, "2026-11-25T08:19:09.123Z" with or without the part after the point. Example:
    "1970-01-02T00:00:00Z" on a clock 5 ms behind is 86,400,005. Source: RFC 3339; the days by the usual
    count from 1 March (from memory), checked against Python's own calendar in the tests.
    """
    ms = wall_ms(by["at_wall"])
    return None if ms is None else ms + (by["clock_offset"] or 0)


def wall_ms(text: str) -> int | None:
    """The same by a clock that nobody puts right."""
    parts = [text[0:4], text[5:7], text[8:10], text[11:13], text[14:16], text[17:19]]
    if not text.endswith("Z") or [part for part in parts if not _is_digits(part)]:
        return None
    year, month, day, hour, minute, second = [int(part) for part in parts]
    part_ms = (text[20:-1] + "000")[0:3]
    if not _is_digits(part_ms):
        return None
    seconds = (hour * 60 + minute) * 60 + second
    return _days(year, month, day) * _DAY_MS + seconds * 1000 + int(part_ms)


def _days(year: int, month: int, day: int) -> int:
    """Days since 1 January 1970, in the calendar of today. A year that begins in March has its odd day at its end."""
    if month <= 2:
        year, month = year - 1, month + 12
    return 365 * year + year // 4 - year // 100 + year // 400 + (153 * (month - 3) + 2) // 5 + day - 719469


def _is_digits(text: str) -> bool:
    return len(text) > 0 and len([one for one in text if one not in "0123456789"]) == 0
