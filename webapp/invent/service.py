"""Lets an invented company move in: its people, their devices, and what happened, through the door that everybody
uses.
"""

from __future__ import annotations

import json
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from datetime import datetime
from itertools import islice
from pathlib import Path
from typing import TextIO, TypeVar

from sqlalchemy.orm import Session

from webapp.errors import Conflict, PhotoNotNamed
from webapp.extensions import Database
from webapp.invent.bulk import store_in_bulk
from webapp.invent.company import Member, Procedure
from webapp.invent.order import WalkOrder
from webapp.invent.queries import count_people
from webapp.invent.scribe import Batch
from webapp.invent.stage import Picture
from webapp.invent.story import Story
from webapp.models import Device, Person
from webapp.people.passwords import hash_password
from webapp.procedures import compiled, list_procedures
from webapp.sync.photos import store_photo
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
    processor_seconds: float


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
    began, began_processor = time.perf_counter(), time.process_time()
    visits = events = 0
    with database.session() as session, _truth_file(truth_path) as truth:
        for some in _in_turn(story.visits(), VISITS_PER_TRANSACTION):
            events += store_in_bulk(session, [batch for _, written in some for batch in written.batches])
            truth.writelines(json.dumps(story.truth_of(visit, written)) + "\n" for visit, written in some)
            visits += len(some)
            progress(visits, time.perf_counter() - began)
    return Told(visits, events, time.perf_counter() - began, time.process_time() - began_processor)


def invent_company(
    database: Database,
    data: Path,
    *,
    jobs: int,
    seed: int,
    until: datetime,
    password: str | None = None,
    progress: Progress = lambda _visits, _seconds: None,
) -> str:
    """A whole company of any size in an empty store; gives a few lines about it. The truth lies beside the store."""
    with database.reading_session() as session:
        if count_people(session):
            raise Conflict("This store has people in it already. Invent into a folder of its own: --data invented-data")
    order = WalkOrder()
    story = Story(
        seed=seed,
        jobs=jobs,
        until=until,
        procedures=shipped_procedures(),
        order=order.next_check,
        first=order.first_cause,
    )
    office = [member for member in story.company.members if member.role != "technician"]
    with database.session() as session:
        move_in(session, story.company.members, story.founded, {member.login: password for member in office})
    told = tell(database, story, data / TRUTH_FILE, progress)
    with database.session() as session:
        keep_pictures(session, data, story.stage.pictures, story.until)
    logins = ", ".join(f"{member.login} ({member.role})" for member in office[:3])
    speed = f"{told.events / told.seconds:,.0f} events/s ({told.processor_seconds:.1f} s of processor)"
    technicians = len(story.company.of_role("technician"))
    lines = [
        f"{told.visits:,} jobs, {told.events:,} events in {told.seconds:.1f} s: {speed}",
        f"{story.founded:%d %b %Y} to {story.until:%d %b %Y}, {technicians} technicians, seed {seed}; kept in {data}",
        f"What really was: {data / TRUTH_FILE}",
        f"Sign in as {logins}"
        if password
        else "Nobody can sign in: --password gives the owner and the dispatchers one",
    ]
    return "\n".join(lines)


def shipped_procedures() -> dict[str, Procedure]:
    """Every procedure of this release, compiled."""
    return {name: dict(compiled(name)) for name in list_procedures()}


def keep_pictures(session: Session, data: Path, pictures: Iterable[Picture], now: datetime) -> int:
    """Bring in the bytes of those pictures that some event names."""
    kept = 0
    for picture in pictures:
        with suppress(PhotoNotNamed):
            kept += store_photo(session, data, picture.sha256, picture.data, now)
    return kept


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
