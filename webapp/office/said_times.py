"""Days and hours as callers say them: `Sunday`, `last night`, `11/22`, `2:30 pm`. What is not sure is not guessed."""

from __future__ import annotations

import re
from datetime import date, time, timedelta

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
SHORTEST_NAME = 3
EARLIEST_BARE_HOUR = 7
"""Nobody is promised an earlier visit without the word for it."""
NEAR_DAYS = {
    "today": 0, "this morning": 0, "tonight": 0, "just now": 0,
    "yesterday": 1, "last night": 1, "yesterday morning": 1, "yesterday evening": 1,
}  # fmt: skip
_LEAD = re.compile(r"^((since|from|about|on)\s+)+")
_AGO = re.compile(r"^(\d{1,3}|a|one|two|three|four|five|six|seven)\s+(day|week)s?(\s+ago)?$")
_COUNTS = {word: n for n, word in enumerate(("a", "one", "two", "three", "four", "five", "six", "seven"))} | {"a": 1}
_ISO = re.compile(r"^(\d{4})-(\d{1,2})-(\d{1,2})$")
_SLASHED = re.compile(r"^(\d{1,2})/(\d{1,2})(?:/(\d{4}))?$")
_DAY_MONTH = re.compile(r"^(?:(\d{1,2})\.? ([a-z]{3,9})|([a-z]{3,9})\.? (\d{1,2}))(?:,? (\d{4}))?$")
_CLOCK = re.compile(r"^(\d{1,2})(?:[:.](\d{2}))?\s*(am|pm|a\.m\.|p\.m\.)?$")


def read_day(said: str, today: date) -> date | None:
    """The day that the whole of the words means, never a day to come; None where they mean none, or could mean two."""
    words = _LEAD.sub("", " ".join(said.lower().replace(".", " ").split()))
    if words in NEAR_DAYS:
        return today - timedelta(days=NEAR_DAYS[words])
    return _ago(words, today) or _weekday(words, today) or _written(words, today)


def read_hour(said: str) -> time | None:
    """`14:30`, `2:30 pm`, `9 am`, `9`; a bare `2` could be either of two hours, and is none."""
    found = _CLOCK.match(said.strip().lower())
    if found is None:
        return None
    hour, minute, half = int(found[1]), int(found[2] or 0), (found[3] or "").replace(".", "")
    either_half = not half and hour < EARLIEST_BARE_HOUR and not found[1].startswith("0")
    if either_half or (half and not 1 <= hour <= 12):
        return None
    if half:
        hour = hour % 12 + (12 if half == "pm" else 0)
    return time(hour, minute) if hour < 24 and minute < 60 else None


def _ago(words: str, today: date) -> date | None:
    found = _AGO.match(words)
    if found is None:
        return None
    count = int(found[1]) if found[1].isdigit() else _COUNTS[found[1]]
    return today - timedelta(days=count * (7 if found[2] == "week" else 1))


def _weekday(words: str, today: date) -> date | None:
    """The last one before today; the name of today's own day could mean two."""
    named = words.removeprefix("last ").partition(" ")
    if len(named[0]) < SHORTEST_NAME or named[2] not in ("", "morning", "night", "evening"):
        return None
    found = [n for n, name in enumerate(WEEKDAYS) if name.startswith(named[0])]
    back = (today.weekday() - found[0]) % 7 if found else 0
    return today - timedelta(days=back) if back else None


def _written(words: str, today: date) -> date | None:
    if found := _ISO.match(words):
        return _past(int(found[1]), int(found[2]), int(found[3]), today)
    if found := _SLASHED.match(words):  # month first, as it is written where the demo's town would be
        return _past(int(found[3]) if found[3] else None, int(found[1]), int(found[2]), today)
    if found := _DAY_MONTH.match(words):
        name = found[2] or found[3]
        month = next((n for n, known in enumerate(MONTHS, 1) if name.startswith(known)), 0)
        return _past(int(found[5]) if found[5] else None, month, int(found[1] or found[4]), today)
    return None


def _past(year: int | None, month: int, day: int, today: date) -> date | None:
    for tried in (year,) if year else (today.year, today.year - 1):
        try:
            found = date(tried, month, day)
        except ValueError:
            continue
        if found <= today:
            return found
    return None
