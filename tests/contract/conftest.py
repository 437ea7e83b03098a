"""Everything in this folder runs on SQLite and on a real PostgreSQL."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import Any

import pytest
from sqlalchemy import func, select
from sqlalchemy.orm import Session, object_session

from tests.factories import NOW, EventMaker, OfficeDeviceFactory, PersonFactory, PhoneFactory
from webapp.extensions import Database
from webapp.models import Device, EventRow, Person, Site
from webapp.models.ids import new_id
from webapp.sync.service import Outcome, store_events


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    found: str = request.param
    return found


@dataclass
class Hand:
    """One person on one device, storing events straight through the service."""

    database: Database
    person: Person
    device: Device
    maker: EventMaker

    def make(
        self, kind: str, body: dict[str, Any], *, site: str, job: str | None = None, **over: Any
    ) -> dict[str, Any]:
        return self.maker.make(kind, body, site_id=site, job_id=job, **over)

    def note(self, site: str, job: str | None = None, **over: Any) -> dict[str, Any]:
        return self.make("note", {"words": "a note"}, site=site, job=job, **over)

    def store(self, *events: Any, now: datetime = NOW, trusted: bool = False) -> Outcome:
        with self.database.session() as session:
            return store_events(session, list(events), self.device, now=now, trusted=trusted)

    def statuses(self, *events: Any, now: datetime = NOW) -> list[str]:
        return [result["status"] for result in self.store(*events, now=now)["results"]]


def make_hand(database: Database, device_factory: Any = PhoneFactory, **person: Any) -> Hand:
    made = PersonFactory(**person)
    device = device_factory(person_id=made.id)
    for one in (made, device):  # a test may change them without the session writing it down
        object_session(one).expunge(one)  # type: ignore[union-attr]
    return Hand(database, made, device, EventMaker(made.id, device.id))


@pytest.fixture
def ada(database: Database, session: Session) -> Hand:
    return make_hand(database, name="Ada Quill")


@pytest.fixture
def bo(database: Database, session: Session) -> Hand:
    return make_hand(database, name="Bo Marsh")


@pytest.fixture
def desk(database: Database, session: Session) -> Hand:
    return make_hand(database, OfficeDeviceFactory, name="Cleo Vane", role="dispatcher")


@pytest.fixture
def site() -> str:
    return new_id()


@pytest.fixture
def job() -> str:
    return new_id()


def book(desk: Hand, technician: Hand, site: str, job: str, now: datetime = NOW) -> None:
    body = {
        "complaint": "no_hot_water",
        "complaint_words": "cold since morning",
        "technician_id": technician.person.id,
        "procedure_name": "power_vent",
    }
    address = desk.make("address_given", {"street": "12 Mill Lane", "town": "Dunmere"}, site=site)
    assert desk.statuses(address, desk.make("job_booked", body, site=site, job=job), now=now) == ["stored", "stored"]


def assert_whole(session: Session) -> None:
    """Every stream counts 1, 2, 3 … without a hole, and its head is its number of rows."""
    session.rollback()
    for site in session.scalars(select(Site)):
        seqs = list(session.scalars(select(EventRow.seq).where(EventRow.site_id == site.id).order_by(EventRow.seq)))
        assert seqs == list(range(1, site.head + 1))


def count_events(session: Session) -> int:
    session.rollback()
    return session.scalar(select(func.count()).select_from(EventRow)) or 0
