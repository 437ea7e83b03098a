"""A row of the file as an address and perhaps a visit, or what is wrong with it. No database here."""

from __future__ import annotations

import re
from dataclasses import dataclass
from datetime import date
from typing import TYPE_CHECKING

from webapp.importing.columns import ADDRESS_COLUMNS, COLUMNS, REQUIRED, VISIT_COLUMNS
from webapp.importing.csv_reading import Fault
from webapp.sites.address_key import street_key, words_key
from webapp.sites.clock import EARLIEST_YEAR

if TYPE_CHECKING:
    from collections.abc import Mapping

    from webapp.importing.csv_reading import Row

ISO_DAY = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")
HELD = {"": "unknown", "yes": "yes", "no": "no", "unknown": "unknown"}

Door = tuple[str, str]
"""Street and town as keys: two lines with the same door are at one address, as in booking."""


@dataclass(frozen=True)
class PastVisit:
    """What one line says about a visit."""

    day: date
    complaint: str
    technician: str
    cause: str
    repair: str
    held: str
    note: str


@dataclass(frozen=True)
class Line:
    """One line that can be brought in."""

    line: int
    door: Door
    address: dict[str, str]
    """Only what was told."""
    visit: PastVisit | None


def read_line(row: Row, today: date) -> Line | list[Fault]:
    """The line, or everything that must be mended before it is one."""
    told = {name: row.values.get(name, "") for name in COLUMNS}
    faults = [*_address_faults(told), *_visit_faults(told, today)]
    if faults:
        return [Fault(row.line, words) for words in faults]
    return Line(
        line=row.line,
        door=(street_key(told["street"]), words_key(told["town"])),
        address={column.name: told[column.name] for column in ADDRESS_COLUMNS if told[column.name]},
        visit=_visit(told),
    )


def _visit(told: Mapping[str, str]) -> PastVisit | None:
    if not told["visited_on"]:
        return None
    return PastVisit(
        day=date.fromisoformat(told["visited_on"]),
        held=HELD[told["held"].lower()],
        **{name: told[name] for name in ("complaint", "technician", "cause", "repair", "note")},
    )


def _address_faults(told: Mapping[str, str]) -> list[str]:
    faults = [f"The {name} is missing." for name in REQUIRED if not told[name]]
    faults += [
        f"The {name} {told[name]!r} has no letter and no digit."
        for name in REQUIRED
        if told[name] and not words_key(told[name])
    ]
    faults += [
        f"{name} has {len(told[name]):,} characters. At most {column.longest:,}: shorten it."
        for name, column in COLUMNS.items()
        if len(told[name]) > column.longest and name not in ("visited_on", "held")
    ]
    return faults + [f"{name} holds a NUL character: type it anew." for name in COLUMNS if "\0" in told[name]]


def _visit_faults(told: Mapping[str, str], today: date) -> list[str]:
    faults = []
    about_a_visit = [column.name for column in VISIT_COLUMNS[1:] if told[column.name]]
    if about_a_visit and not told["visited_on"]:
        faults.append(f"visited_on is missing, and {about_a_visit[0]} is about a visit. Write the day as 2024-03-18.")
    if told["visited_on"]:
        faults += _day_faults(told["visited_on"], today)
    if told["held"].lower() not in HELD:
        faults.append(f"held is {told['held'][:40]!r}. Write yes, no or unknown.")
    return faults


def _day_faults(written: str, today: date) -> list[str]:
    try:
        day = date.fromisoformat(written) if ISO_DAY.fullmatch(written) else None
    except ValueError:
        day = None
    if day is None:
        return [f"visited_on is {written[:40]!r}. Write the day as 2024-03-18: year, month, day."]
    if day > today:
        return [f"visited_on is {written}, which is still to come. A visit that is planned is booked, not imported."]
    if day.year < EARLIEST_YEAR:
        return [f"visited_on is {written}. Years before {EARLIEST_YEAR} cannot be kept."]
    return []
