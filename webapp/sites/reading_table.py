"""The same quantity over the visits: what moved between them is seen at a glance."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.sites.trend import trend
from webapp.sites.visit import ReadingRow

if TYPE_CHECKING:
    from collections.abc import Sequence

    from webapp.sites.visit import ReadingSeen, Visit

NOT_MEASURED = "\u2013"


def reading_table(visits: Sequence[Visit]) -> list[ReadingRow]:
    """One row for each quantity, place and state; one value for each visit, in the visits' order."""
    columns = [_by_key(visit) for visit in visits]
    keys = list(dict.fromkeys(key for column in columns for key in column))
    return [
        ReadingRow(
            words=f"{key[1]} ({key[2]})" if key[2] else key[1],
            values=[", then ".join(_value(seen) for seen in column.get(key, [])) or NOT_MEASURED for column in columns],
            trend=trend([column[key][-1].number if key in column else None for column in columns]),
        )
        for key in keys
    ]


def _value(seen: ReadingSeen) -> str:
    return f"{seen.value}, {seen.beside}" if seen.beside else seen.value


def _by_key(visit: Visit) -> dict[tuple[str, str, str], list[ReadingSeen]]:
    found: dict[tuple[str, str, str], list[ReadingSeen]] = {}
    for reading in visit.readings:
        found.setdefault(_key(reading), []).append(reading)
    return found


def _key(reading: ReadingSeen) -> tuple[str, str, str]:
    return reading.quantity, reading.words, reading.where
