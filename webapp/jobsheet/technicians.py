"""Who was there, each with the licence of the day; before anybody was, who is to come."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING

from webapp.jobsheet.moments import noted
from webapp.sites.brought_in import is_brought_in, technician_words
from webapp.trade.history import who_went

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from webapp.people.licences import PersonThen
    from webapp.trade.record_types import Mark, Record

Row = tuple[str, str]


def seen_at(record: Record) -> dict[str, datetime]:
    """Everybody of whom the sheet may speak, and the moment whose licence counts: their first entry at the heater.

    Who has none yet is told as of now.
    """
    now = datetime.now(UTC)
    everybody = dict.fromkeys((*record["people"], record["technician_id"] or ""), now)
    first: dict[str, datetime] = {}
    for mark in _marks_there(record):
        if moment := noted(mark):
            first[mark["person_id"]] = min(moment, first.get(mark["person_id"], moment))
    return {person: moment for person, moment in {**everybody, **first}.items() if person}


def technician_rows(record: Record, people: Mapping[str, PersonThen]) -> Iterator[Row]:
    """Everybody who noted something at the heater; before that, whoever is to come. Of a cancelled visit nobody is."""
    if is_brought_in(record):
        yield "Technician", technician_words(record)
        return
    there = list(dict.fromkeys([*who_went(record), *(mark["person_id"] for mark in _marks_there(record))]))
    technicians = [person for person in there if person in people and people[person].technician]
    for person in technicians:
        yield "Technician", _with_licence(people[person])
    sent = record["technician_id"] or ""
    if not technicians and sent in people and record["state"] != "cancelled":
        yield "Technician" if there else "Who is to come", _with_licence(people[sent])


def _marks_there(record: Record) -> list[Mark]:
    answers = [entry for finding in record["checks"] for entry in finding["entries"]]
    there = [record["opened"], *record["arrivals"], *answers, *record["readings"], *record["left_off"]]
    return [one["by"] for one in (*there, *record["repairs"], *record["proofs"], record["closed"]) if one]


def _with_licence(person: PersonThen) -> str:
    """Name, licence, and until when; nothing is claimed that nobody typed."""
    if person.licence:
        return f"{person.name}, licence {person.licence}" + (", as recorded then" if person.since else "")
    if person.since:
        return f"{person.name} (no licence was recorded here at the time of the visit; one is recorded now)"
    return f"{person.name} (no licence recorded here)"
