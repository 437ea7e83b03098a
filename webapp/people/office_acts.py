"""How the office records what happened: as events of its own device, through the same door as the phones."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from typing import Any, NotRequired, TypedDict

from flask import has_request_context
from flask import session as cookie
from sqlalchemy.orm import Session

from webapp.errors import Conflict
from webapp.models import Device, Person
from webapp.models.base import wall_time
from webapp.models.ids import new_id
from webapp.people import queries
from webapp.sync.service import store_events


class Draft(TypedDict):
    """An event before it has its counters; id and time are made too, unless they are given."""

    site_id: str
    job_id: NotRequired[str | None]
    kind: str
    schema: NotRequired[int]
    replaces: NotRequired[list[str]]
    body: dict[str, Any]
    id: NotRequired[str]
    """Only where the same act must have the same id again: an import. A stored id with another body is refused."""
    at_wall: NotRequired[str]
    """Only where it happened at another time than now: a visit of years ago."""


def record_office_events(
    session: Session, person: Person, drafts: Sequence[Draft], *, device_id: str | None = None
) -> list[str]:
    """Store the drafts in order and commit. Gives the events' ids; raises Conflict where one was not stored."""
    now = datetime.now(UTC)
    device = _office_device(session, person, device_id, now)
    events = _complete(session, person, device, drafts, now)
    outcome = store_events(session, events, device, now=now)
    refused = [dict(result) for result in outcome["results"] if result["status"] != "stored"]
    if refused:
        raise Conflict("Some of this could not be stored.", results=refused)
    return [event["id"] for event in events]


def office_device_id(session: Session, person: Person) -> str:
    """The device for several calls of `record_office_events` in a row: a script gets one, not one a call."""
    return _office_device(session, person, None, datetime.now(UTC)).id


def _office_device(session: Session, person: Person, device_id: str | None, now: datetime) -> Device:
    """The device of this sign-in; a script, which has none, gets a new one."""
    if device_id is None and has_request_context():
        device_id = cookie.get("device_id")
    device = queries.get_device(session, device_id) if device_id else None
    if device is not None and device.person_id == person.id and device.kind == "office":
        return device
    device = Device(id=new_id(), person_id=person.id, kind="office", words="script", enrolled_at=now, last_dev_seq=0)
    session.add(device)
    session.flush()
    return device


def _complete(
    session: Session, person: Person, device: Device, drafts: Sequence[Draft], now: datetime
) -> list[dict[str, Any]]:
    last = queries.take_dev_seqs(session, device.id, len(drafts))
    lamports: dict[tuple[str, str | None], int] = {}
    events = []
    for dev_seq, draft in enumerate(drafts, start=last - len(drafts) + 1):
        fold = (draft["site_id"], draft.get("job_id"))
        if fold not in lamports:
            lamports[fold] = queries.highest_lamport(session, site_id=fold[0], job_id=fold[1])
        if other_id := draft["body"].get("other_site_id"):  # said of two addresses: it comes after either one's words
            there = queries.highest_lamport(session, site_id=other_id, job_id=None)
            lamports[fold] = max(lamports[fold], there)
        lamports[fold] += 1
        events.append(
            {
                "id": draft.get("id") or new_id(),
                "site_id": draft["site_id"],
                "job_id": draft.get("job_id"),
                "person_id": person.id,
                "device_id": device.id,
                "dev_seq": dev_seq,
                "lamport": lamports[fold],
                "at_wall": draft.get("at_wall") or wall_time(now),
                "clock_offset": 0,
                "kind": draft["kind"],
                "schema": draft.get("schema", 1),
                "replaces": list(draft.get("replaces", [])),
                "body": draft["body"],
            }
        )
    return events
