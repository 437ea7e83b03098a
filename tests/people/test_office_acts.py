from __future__ import annotations

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.people.conftest import PASSWORD
from webapp.errors import Conflict
from webapp.extensions import Database
from webapp.models import Device, EventRow, Job, Person
from webapp.models.ids import new_id
from webapp.people.service import record_office_events, sign_in


def drafts(site: str, job: str, technician: str):  # type: ignore[no-untyped-def]
    booked = {
        "complaint": "no_hot_water",
        "complaint_words": "cold",
        "technician_id": technician,
        "procedure_name": "power_vent",
    }
    return [
        {"site_id": site, "kind": "address_given", "body": {"street": "12 Mill Lane", "town": "Dunmere"}},
        {"site_id": site, "job_id": job, "kind": "job_booked", "body": booked},
    ]


def test_the_office_acts_through_events_of_a_device_of_its_own(
    database: Database, session: Session, people: dict[str, Person]
) -> None:
    site, job = new_id(), new_id()
    with database.session() as writing:
        device = sign_in(writing, login="dispatcher", password=PASSWORD, address="test")
        ids = record_office_events(
            writing, people["dispatcher"], drafts(site, job, people["technician"].id), device_id=device.id
        )
        more = [{"site_id": site, "job_id": job, "kind": "note", "body": {"words": "ring first"}}]
        ids += record_office_events(writing, people["dispatcher"], more, device_id=device.id)  # type: ignore[arg-type]
    rows = session.scalars(select(EventRow).order_by(EventRow.seq)).all()
    assert [row.id for row in rows] == ids
    assert [(row.device_id, row.dev_seq) for row in rows] == [(device.id, n) for n in (1, 2, 3)]
    assert [(row.job_id, row.lamport) for row in rows] == [(None, 1), (job, 1), (job, 2)]
    assert session.get_one(Job, job).technician_id == people["technician"].id


def test_two_sign_ins_are_two_devices(database: Database, session: Session, people: dict[str, Person]) -> None:
    with database.session() as writing:
        one, two = (sign_in(writing, login="owner", password=PASSWORD, address="test") for _ in range(2))
    assert one.id != two.id
    assert set(session.scalars(select(Device.kind))) == {"office"}


def test_an_act_that_cannot_be_stored_is_a_conflict(
    database: Database, session: Session, people: dict[str, Person]
) -> None:
    with database.session() as writing, pytest.raises(Conflict) as refusal:
        record_office_events(
            writing, people["owner"], [{"site_id": "nonsense", "kind": "note", "body": {"words": "x"}}]
        )
    assert refusal.value.details["results"][0]["code"] == "bad_event"


def test_another_persons_office_device_is_not_borrowed(
    database: Database, session: Session, people: dict[str, Person]
) -> None:
    with database.session() as writing:
        device = sign_in(writing, login="owner", password=PASSWORD, address="test")
        note = [{"site_id": new_id(), "kind": "note", "body": {"words": "x"}}]
        record_office_events(writing, people["dispatcher"], note, device_id=device.id)  # type: ignore[arg-type]
    row = session.scalars(select(EventRow)).one()
    assert (row.person_id, row.device_id != device.id) == (people["dispatcher"].id, True)
