"""The one way in for events, of phones and of the office alike."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping, Sequence
from datetime import UTC, datetime
from typing import Any, NotRequired, TypedDict

from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from webapp.errors import ErrorCode
from webapp.models import Device, EventRow, HeldEvent
from webapp.models.ids import new_id
from webapp.sync import queries
from webapp.sync.admission import Admission
from webapp.sync.canonical import next_chain
from webapp.sync.counters import LEAP_WORDS, leaps
from webapp.sync.groups import regroup, sites_to_lock, touches_groups
from webapp.sync.projections import project
from webapp.sync.schemas import check_event

TRIES = 3
"""An id that two batches bring to two sites at once fails in one of them: it then finds the other's row."""


class Result(TypedDict):
    """What became of one event."""

    id: str
    status: str
    seq: NotRequired[int]
    code: NotRequired[str]
    message: NotRequired[str]


class Head(TypedDict):
    """Where a stream ends now."""

    site_id: str
    head: int
    chain: str


class Outcome(TypedDict):
    """Results in the order of the events, and the streams' heads."""

    results: list[Result]
    heads: list[Head]


class _Entry:
    """One event on its way in."""

    __slots__ = ("digest", "event", "result")

    def __init__(self, event: Any) -> None:
        self.event = event
        self.digest, problem = check_event(event)
        event_id = str(event.get("id", "")) if isinstance(event, dict) else ""
        self.result: Result | None = None
        if problem:
            self.result = {"id": event_id, "status": "rejected", "code": ErrorCode.BAD_EVENT, "message": problem}

    def settle(self, status: str, seq: int | None = None) -> None:
        self.result = {"id": self.event["id"], "status": status}
        if seq is not None:
            self.result["seq"] = seq


def store_events(
    session: Session,
    events: Sequence[Mapping[str, Any]],
    device: Device,
    *,
    now: datetime | None = None,
    trusted: bool = False,
) -> Outcome:
    """Store what is new, in one transaction, and commit.

    Each event gets a result of its own: one bad event parks itself, not the batch. `trusted` lets in what the office
    took responsibility for (a queue read from a file, held events that were let in): no event is then held.
    """
    now = now or datetime.now(UTC)
    for attempt in range(1, TRIES + 1):
        entries = [_Entry(event) for event in events]
        try:
            heads = _store(session, entries, device, now, trusted=trusted)
            session.commit()
        except IntegrityError:
            session.rollback()
            if attempt == TRIES:
                raise
        else:
            break
    return {"results": [entry.result for entry in entries if entry.result is not None], "heads": heads}


def _store(session: Session, entries: list[_Entry], device: Device, now: datetime, *, trusted: bool) -> list[Head]:
    waiting = _without_leaps(session, [entry for entry in entries if entry.result is None])
    if waiting and not trusted:
        waiting = _hold(session, waiting, device, now)
    highest: dict[str, int] = defaultdict(int)
    named = {entry.event["site_id"] for entry in waiting}
    for entry in waiting:
        highest[entry.event["device_id"]] = max(highest[entry.event["device_id"]], entry.event["dev_seq"])
    queries.raise_dev_seqs(session, highest, now)
    grouping = [entry.event for entry in waiting if touches_groups(entry.event)]
    to_lock = sites_to_lock(session, named, grouping)
    heads = _store_in_order(session, to_lock, waiting, device, now)
    new = [entry.event for entry in waiting if entry.result is not None and entry.result["status"] == "stored"]
    project(session, new, now)
    if grouping:
        regroup(session, [event for event in new if touches_groups(event)])
    return [head for head in heads if head["site_id"] in named]


def _without_leaps(session: Session, entries: list[_Entry]) -> list[_Entry]:
    leaping = leaps(session, [entry.event for entry in entries])
    for entry in entries:
        if entry.event["id"] in leaping:
            rejected: Result = {"id": entry.event["id"], "status": "rejected", "code": ErrorCode.BAD_EVENT}
            entry.result = rejected | {"message": LEAP_WORDS}
    return [entry for entry in entries if entry.result is None]


def _hold(session: Session, waiting: list[_Entry], device: Device, now: datetime) -> list[_Entry]:
    """Put apart what this device may not bring; what is stored already stays a duplicate, whoever brings it."""
    admission = Admission(session, device, [entry.event for entry in waiting], now)
    reasons = [(entry, admission.why_held(entry.event)) for entry in waiting]
    if not any(reason for _, reason in reasons):
        return waiting
    known = queries.digests_of(session, [entry.event["id"] for entry, reason in reasons if reason])
    held = [(entry, reason) for entry, reason in reasons if reason and entry.event["id"] not in known]
    queries.insert_if_absent(
        session,
        HeldEvent,
        [
            {
                "id": new_id(),
                "event_id": entry.event["id"],
                "digest": entry.digest,
                "device_id": device.id,
                "person_id": device.person_id,
                "reason": reason,
                "event": entry.event,
                "held_at": now,
            }
            for entry, reason in held
        ],
    )
    for entry, reason in held:
        entry.result = {"id": entry.event["id"], "status": "held", "code": str(reason)}
    return [entry for entry in waiting if entry.result is None]


def _store_in_order(
    session: Session, to_lock: Sequence[str], entries: list[_Entry], device: Device, now: datetime
) -> list[Head]:
    """The order that keeps a stream without a gap: lock, then find duplicates, then bump by exactly the new rows."""
    heads = {site_id: queries.lock_site(session, _new_site(site_id, device, now)) for site_id in to_lock}
    stored = queries.digests_of(session, [entry.event["id"] for entry in entries]) if entries else {}
    rows = []
    for entry in entries:
        event_id, site_id = entry.event["id"], entry.event["site_id"]
        if event_id in stored:
            _settle_known(entry, *stored[event_id])
            continue
        head, chain = heads[site_id]
        head, chain = heads[site_id] = head + 1, next_chain(chain, event_id, entry.digest)
        rows.append({**entry.event, "seq": head, "chain": chain, "digest": entry.digest, "received_at": now})
        stored[event_id] = (entry.digest, head)
        entry.settle("stored", head)
    if rows:
        queries.insert_rows(session, EventRow, rows)
        changed = {row["site_id"] for row in rows}
        queries.move_heads(session, [(site_id, *heads[site_id]) for site_id in to_lock if site_id in changed])
    return [{"site_id": site_id, "head": heads[site_id][0], "chain": heads[site_id][1]} for site_id in to_lock]


def _settle_known(entry: _Entry, digest: str, seq: int) -> None:
    if digest == entry.digest:
        entry.settle("duplicate", seq)
        return
    message = "this id was used for another event"
    entry.result = {"id": entry.event["id"], "status": "rejected", "code": ErrorCode.ID_REUSED, "message": message}


def _new_site(site_id: str, device: Device, now: datetime) -> dict[str, Any]:
    return {
        "id": site_id,
        "head": 0,
        "chain": "",
        "group_id": site_id,
        "created_by_person_id": device.person_id,
        "created_at": now,
    }
