"""Lets an invented company move in: its people, their devices, and what happened, through the door that everybody
uses.
"""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from pathlib import Path
from typing import TextIO, TypeVar

from sqlalchemy.orm import Session

from webapp.errors import Conflict
from webapp.extensions import Database
from webapp.invent.bulk import store_in_bulk
from webapp.invent.company import Member
from webapp.invent.scribe import Batch
from webapp.invent.story import Story
from webapp.models import Device, Person
from webapp.people.passwords import hash_password
from webapp.sync.service import store_events

T = TypeVar("T")
VISITS_PER_TRANSACTION = 200
TRUTH_FILE = "invented-truth.jsonl"
Progress = Callable[[int, float], None]
"""(visits so far, seconds so far)"""


@dataclass(frozen=True, slots=True)
class Told:
    """How much was stored, and how fast."""

    visits: int
    events: int
    seconds: float


def move_in(
    session: Session, members: Iterable[Member], founded: datetime, passwords: Mapping[str, str | None]
) -> None:
    """The people and their devices. `passwords` by login; who is not named there has none and cannot sign in."""
    for member in members:
        password = passwords.get(member.login)
        session.add(
            Person(
                id=member.person_id,
                name=member.name,
                login=member.login,
                role=member.role,
                password_hash=hash_password(password) if password else None,
                active=True,
            )
        )
        session.flush()
        kind = "phone" if member.role == "technician" else "office"
        session.add(
            Device(id=member.device_id, person_id=member.person_id, kind=kind, words="invented", enrolled_at=founded)
        )
    session.commit()


def tell(
    database: Database, story: Story, truth_path: Path | None, progress: Progress = lambda _visits, _seconds: None
) -> Told:
    """Store the story, many visits in one transaction: the rows are those that one push after another would make."""
    began = time.perf_counter()
    visits = events = 0
    with database.session() as session, _truth_file(truth_path) as truth:
        for some in _in_turn(story.visits(), VISITS_PER_TRANSACTION):
            events += store_in_bulk(session, [batch for _, written in some for batch in written.batches])
            truth.writelines(json.dumps(story.truth_of(visit, written)) + "\n" for visit, written in some)
            visits += len(some)
            progress(visits, time.perf_counter() - began)
    return Told(visits, events, time.perf_counter() - began)


def store_batches(session: Session, batches: Iterable[Batch]) -> int:
    """Each batch through `store_events`, as its device would have pushed it; gives the number of events stored."""
    stored = 0
    for batch in batches:
        device = session.get_one(Device, batch.member.device_id)
        # trusted: a colleague who came along writes on a job that was booked for somebody else
        outcome = store_events(session, batch.events, device, now=batch.received_at, trusted=True)
        refused = [dict(result) for result in outcome["results"] if result["status"] != "stored"]
        if refused:
            raise Conflict("Some of the invented events could not be stored.", results=refused)
        stored += len(batch.events)
    return stored


@contextmanager
def _truth_file(path: Path | None) -> Iterator[TextIO]:
    with Path(path or "/dev/null").open("w", encoding="utf-8") as file:
        yield file


def _in_turn(items: Iterator[T], size: int) -> Iterator[list[T]]:
    while some := list(islice(items, size)):
        yield some
