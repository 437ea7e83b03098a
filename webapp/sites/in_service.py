"""What a job left off and stands off still, and by which other job of the address the rest is in service again."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from webapp.models import Job
from webapp.sites import queries, standing_queries
from webapp.sites.clock import Noted, noted_at, noted_words

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

    from sqlalchemy.orm import Session

    from webapp.trade.record_types import PutBackNote


@dataclass(frozen=True)
class BackInService:
    """What another job noted of it, later."""

    job_id: str
    words: str
    by: str
    at: datetime | None
    heard_at: datetime
    """When the server had it."""

    @property
    def noted(self) -> str:
        """Both in words, the second where it is not the first."""
        return noted_words(Noted(self.at, self.heard_at, None))


@dataclass(frozen=True)
class Elsewhere:
    """What other jobs say of the entries that a job's own events leave standing off."""

    ended: frozenset[str] = frozenset()
    """Ids of those that are in service again."""

    back: list[BackInService] = field(default_factory=list)
    """Who says so."""


def put_back_elsewhere(session: Session, job: Job) -> Elsewhere:
    """Whatever this does not name stands off: in doubt it does."""
    if not job.heater_off:
        return Elsewhere()
    ended = standing_queries.ended_entries_of(session, job.id)
    return Elsewhere(ended, _backs(session, _notes_elsewhere(session, job)) if ended else [])


def _notes_elsewhere(session: Session, job: Job) -> list[tuple[Job, PutBackNote]]:
    """Each note of another job that ended one of its entries."""
    ids = standing_queries.entries_of(session, job.id)
    return [
        (other, note)
        for other, with_all in standing_queries.jobs_that_ended(session, job.id)
        for note in _notes_that_end(other, ids, with_all=with_all)
    ]


def _notes_that_end(other: Job, ids: set[str], *, with_all: bool) -> list[PutBackNote]:
    """Those that name one of these, and the last that meant all. A record of an older fold has no names."""
    notes: list[PutBackNote] = [
        one for one in (other.record or {}).get("put_back", []) if one.get("counts", True) is not False
    ]
    named = [note for note in notes if ids.intersection(note.get("left_off_ids") or [])]
    nameless = [note for note in notes if note.get("left_off_ids") is None]
    return named + (nameless[-1:] if with_all else [])


def _backs(session: Session, notes: Iterable[tuple[Job, PutBackNote]]) -> list[BackInService]:
    told = list(notes)
    names = queries.get_names(session, {note["by"]["person_id"] for _job, note in told})
    heard = standing_queries.heard_at_of(session, {note["by"]["event_id"] for _job, note in told})
    return [
        BackInService(
            job_id=job.id,
            words=note["words"],
            by=names.get(note["by"]["person_id"], "somebody unknown here"),
            at=noted_at(note["by"], None).noted,
            heard_at=heard.get(note["by"]["event_id"], job.last_received_at),
        )
        for job, note in told
    ]
