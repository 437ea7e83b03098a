"""A technician with an enrolled phone, and what a phone does over HTTP."""

from __future__ import annotations

from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy.orm import Session

from tests.factories import EventMaker, PersonFactory
from webapp.models import Person
from webapp.models.ids import new_id
from webapp.people.service import make_enrol_code


class Phone:
    """Speaks the contract of docs/sync.md for one technician."""

    def __init__(self, client: FlaskClient, person: Person, token: str, device_id: str) -> None:
        self.client, self.person, self.token, self.device_id = client, person, token, device_id
        self.maker = EventMaker(person.id, device_id)
        self.site, self.job = new_id(), new_id()

    @property
    def headers(self) -> dict[str, str]:
        return {"Authorization": f"Bearer {self.token}"}

    def make(self, kind: str, body: dict[str, Any], **over: Any) -> dict[str, Any]:
        over = {"site_id": self.site, "job_id": self.job} | over
        return self.maker.make(kind, body, **over)

    def note(self, words: str = "a note", **over: Any) -> dict[str, Any]:
        return self.make("note", {"words": words}, **over)

    def open_job(self) -> dict[str, Any]:
        return self.make("job_opened", {"procedure_hash": "a" * 64})

    def push(self, *events: Any, **over: Any) -> Any:
        batch = {"batch_id": new_id(), "events": list(events)} | over
        return self.client.post("/api/v1/events", json=batch, headers=self.headers)

    def statuses(self, *events: Any) -> list[str]:
        answer = self.push(*events)
        assert answer.status_code == 200, answer.json
        return [result["status"] for result in answer.json["results"]]

    def get(self, path: str, **headers: str) -> Any:
        return self.client.get(f"/api/v1/{path}", headers=self.headers | headers)


def enrol(client: FlaskClient, session: Session, person: Person) -> Phone:
    device_id = new_id()
    code = make_enrol_code(session, person.id, minutes=10)
    answer = client.post("/api/v1/enrol", json={"code": code, "device_id": device_id, "device_words": "a phone"})
    assert answer.status_code == 200, answer.json
    return Phone(client, person, answer.json["token"], device_id)


@pytest.fixture
def phone(client: FlaskClient, session: Session) -> Phone:
    return enrol(client, session, PersonFactory(name="Ada Quill"))


@pytest.fixture
def other_phone(client: FlaskClient, session: Session) -> Phone:
    return enrol(client, session, PersonFactory(name="Bo Marsh"))
