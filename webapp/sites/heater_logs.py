"""The logbook of each heater at an address: its visits, what came back, what moved, what nobody measured."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from webapp.sites.never_measured import by_nobody, never_lines
from webapp.sites.procedure_words import as_title
from webapp.sites.reading_table import reading_table

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from webapp.sites.about_address import AddressFacts, Figure
    from webapp.sites.visit import ReadingRow, Visit

NOT_NAMED = "Heater not named"


@dataclass(frozen=True)
class Repeat:
    """One cause that was found again."""

    words: str
    visits: list[Visit]


@dataclass(frozen=True)
class HeaterLog:
    """What is known of one heater, from the visits on the page; newest first."""

    appliance_id: str | None
    words: str
    figures: list[Figure]
    visits: list[Visit]
    not_said: int
    """Visits that stand here only because no other heater is known."""
    repeats: list[Repeat]
    never_measured: list[str]
    readings: list[ReadingRow]
    """Over the visits in `reading_days`, the oldest first; a single visit's stand at the visit alone."""
    reading_days: list[Visit]


def heater_logs(visits: Sequence[Visit], facts: AddressFacts) -> list[HeaterLog]:
    """One log for each heater that a visit on the page was at, in the order of their newest visits."""
    by_heater: dict[str | None, list[Visit]] = {}
    for visit in visits:
        by_heater.setdefault(facts.heater_at(visit.job_id), []).append(visit)
    known = {heater.appliance_id: heater for heater in facts.known}
    return [
        _log(key, known[key].words if key in known else "", known[key].figures if key in known else [], there, facts)
        for key, there in by_heater.items()
    ]


def _log(key: str | None, words: str, figures: list[Figure], visits: list[Visit], facts: AddressFacts) -> HeaterLog:
    walked = [visit for visit in visits if visit.was_walked]
    measured = [visit for visit in reversed(visits) if visit.readings]
    return HeaterLog(
        appliance_id=key,
        words=as_title(words) or NOT_NAMED,
        figures=figures or ([] if key else facts.loose_figures),
        visits=visits,
        not_said=0 if key is None else sum(visit.job_id not in facts.heater_of_job for visit in visits),
        repeats=_repeats(visits),
        never_measured=never_lines(by_nobody(walked)),
        readings=reading_table(measured) if len(measured) > 1 else [],
        reading_days=measured,
    )


def _repeats(visits: Iterable[Visit]) -> list[Repeat]:
    found: dict[str, list[Visit]] = {}
    for visit in visits:
        if visit.cause and visit.cause_words:
            found.setdefault(visit.cause, []).append(visit)
    return [Repeat(_repeat_words(there), there) for there in found.values() if len(there) > 1]


def _repeat_words(visits: Sequence[Visit]) -> str:
    return f"{as_title(visits[0].cause_words)}: found on {len(visits)} visits"
