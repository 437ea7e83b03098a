"""From rows to what the logbook reads: events as they travelled, and the procedures they were walked with."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from webapp.sites import queries
from webapp.sites.procedure_words import ProcedureWords
from webapp.sites.timeline import Arrived
from webapp.sync import canonical

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence

    from sqlalchemy.orm import Session

    from webapp.models import EventRow, Job
    from webapp.trade.events import Event

WORDS_KEPT = 64
_words_by_hash: dict[str, ProcedureWords] = {}
"""A version never changes under its hash, so it is read from the store once by each worker."""


def event_of(row: EventRow) -> Event:
    """The event as it travelled."""
    return cast("Event", canonical.event_of(row))


def arrived_of(rows: Iterable[EventRow]) -> list[Arrived]:
    """Events with the times at which they got here."""
    return [Arrived(event_of(row), row.received_at) for row in rows]


def words_of_jobs(session: Session, jobs: Sequence[Job]) -> dict[str, ProcedureWords]:
    """The words for each job: of the version it was walked with; before the walk, of the version that it would be."""
    walked = words_of_versions(session, {job.procedure_hash for job in jobs if job.procedure_hash})
    names = {job.procedure_name for job in jobs if not job.procedure_hash}
    current = {name: current_words(session, name) for name in sorted(names)}
    return {
        job.id: walked.get(job.procedure_hash, ProcedureWords(None))
        if job.procedure_hash
        else current[job.procedure_name]
        for job in jobs
    }


def words_of_versions(session: Session, hashes: Collection[str]) -> dict[str, ProcedureWords]:
    """The words of these versions; those that are not in this store are absent."""
    missing = set(hashes) - _words_by_hash.keys()
    for version in queries.get_procedures(session, missing) if missing else []:
        remember(version.hash, version.body)
    return {one: _words_by_hash[one] for one in hashes if one in _words_by_hash}


def current_words(session: Session, procedure_name: str) -> ProcedureWords:
    """The words of the version that is current now."""
    found = queries.get_current_procedure_hash(session, procedure_name)
    if found is None:
        return ProcedureWords(None)
    if found not in _words_by_hash:
        for version in queries.get_procedures(session, {found}):
            remember(version.hash, version.body)
    return _words_by_hash.get(found, ProcedureWords(None))


def remember(procedure_hash: str, body: dict[str, Any]) -> None:
    """Keep one version's words; the oldest leaves where there are too many."""
    while len(_words_by_hash) >= WORDS_KEPT:
        _words_by_hash.pop(next(iter(_words_by_hash)))
    _words_by_hash[procedure_hash] = ProcedureWords(body)
