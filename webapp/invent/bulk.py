"""Many pushes at once: the rows that `store_events` would make of them one by one, with a tenth of the statements.

Only for invented companies, which nobody else writes to meanwhile: no event is looked up to see whether it was there
before. tests/invent/test_store.py holds both ways side by side, table by table.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import TYPE_CHECKING, Any

from sqlalchemy.orm import Session

from webapp.errors import BadBody
from webapp.invent.queries import heads_of, move_heads
from webapp.invent.scribe import Batch
from webapp.models import EventRow, Site
from webapp.sync import queries
from webapp.sync.canonical import next_chain
from webapp.sync.projections import FoldedJob, insert_job_rows, name_photos, project_site_or_mark
from webapp.sync.rows import site_values
from webapp.sync.schemas import check_event
from webapp.trade.record import fold_job

if TYPE_CHECKING:
    from webapp.trade.events import Event

Rows = list[dict[str, Any]]


def store_in_bulk(session: Session, batches: Sequence[Batch]) -> int:
    """Store batches of jobs that are new and complete in them; gives the number of events. Commits."""
    _note_devices(session, batches)
    known = heads_of(session, sorted({event["site_id"] for batch in batches for event in batch.events}))
    rows, heads = _event_rows(batches, known)
    _insert_sites(session, batches, known, heads)
    queries.insert_rows(session, EventRow, rows)
    moved = [{"site_id": s, "new_head": head, "new_chain": chain} for s, (head, chain) in heads.items() if s in known]
    move_heads(session, moved)
    _insert_jobs(session, batches)
    events = [event for batch in batches for event in batch.events]
    name_photos(session, [event for event in events if event["kind"] == "photo_taken"])
    for site_id in sorted({event["site_id"] for event in events if event["job_id"] is None} & set(known)):
        project_site_or_mark(session, site_id)
    session.commit()
    return len(rows)


def _note_devices(session: Session, batches: Iterable[Batch]) -> None:
    last: dict[str, tuple[int, datetime]] = {}
    for batch in batches:
        for event in batch.events:
            highest = max(event["dev_seq"], last.get(event["device_id"], (0,))[0])
            last[event["device_id"]] = (highest, batch.received_at)
    for device_id, (highest, seen_at) in sorted(last.items()):
        queries.raise_dev_seqs(session, {device_id: highest}, seen_at)


def _event_rows(batches: Iterable[Batch], known: dict[str, tuple[int, str]]) -> tuple[Rows, dict[str, tuple[int, str]]]:
    heads = dict(known)
    rows: Rows = []
    for batch in batches:
        for event in batch.events:
            digest, problem = check_event(event)
            if problem:
                raise BadBody(f"The invented event {event['id']} ({event['kind']}) cannot be stored: {problem}")
            head, chain = heads.get(event["site_id"], (0, ""))
            head, chain = head + 1, next_chain(chain, event["id"], digest)
            heads[event["site_id"]] = (head, chain)
            received = {"seq": head, "chain": chain, "digest": digest, "received_at": batch.received_at}
            rows.append({**event, **received})
    return rows, heads


def _insert_sites(
    session: Session, batches: Iterable[Batch], known: dict[str, Any], heads: dict[str, tuple[int, str]]
) -> None:
    own: dict[str, list[dict[str, Any]]] = defaultdict(list)
    first: dict[str, Batch] = {}
    for batch in batches:
        for event in batch.events:
            first.setdefault(event["site_id"], batch)
            if event["job_id"] is None:
                own[event["site_id"]].append(dict(event))
    rows = [
        {
            "id": site_id,
            "head": heads[site_id][0],
            "chain": heads[site_id][1],
            "group_id": site_id,
            "created_by_person_id": batch.member.person_id,
            "created_at": batch.received_at,
            **site_values(own[site_id]),
        }
        for site_id, batch in first.items()
        if site_id not in known
    ]
    queries.insert_rows(session, Site, rows)


def _insert_jobs(session: Session, batches: Iterable[Batch]) -> None:
    events: dict[tuple[str, str], list[Event]] = defaultdict(list)
    received: dict[str, datetime] = {}
    for batch in batches:
        for event in batch.events:
            if event["job_id"] is not None:
                events[event["site_id"], event["job_id"]].append(event)
                received[event["id"]] = batch.received_at
    folded = [
        FoldedJob(fold_job(of_job), site_id, job_id, {event["id"]: received[event["id"]] for event in of_job})
        for (site_id, job_id), of_job in events.items()
    ]
    insert_job_rows(session, folded)
