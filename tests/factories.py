"""One factory per model, and makers of events. Noise rows are made with them too."""

from __future__ import annotations

import hashlib
from datetime import UTC, datetime
from typing import Any

import factory

from webapp.models import Device, Person
from webapp.models.ids import new_id

NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)


class PersonFactory(factory.alchemy.SQLAlchemyModelFactory):
    class Meta:
        model = Person
        sqlalchemy_session_persistence = "commit"

    id = factory.LazyFunction(new_id)
    name = factory.Sequence(lambda n: f"Person {n}")
    login = factory.Sequence(lambda n: f"person{n}")
    role = "technician"
    active = True


class PhoneFactory(factory.alchemy.SQLAlchemyModelFactory):
    class Meta:
        model = Device
        sqlalchemy_session_persistence = "commit"

    id = factory.LazyFunction(new_id)
    kind = "phone"
    words = "a phone"
    enrolled_at = NOW
    last_dev_seq = 0


class OfficeDeviceFactory(PhoneFactory):
    kind = "office"
    words = "office"


def photo_body(content: bytes) -> dict[str, Any]:
    """A `photo_taken` that names these bytes."""
    sha256 = hashlib.sha256(content).hexdigest()
    size = {"length_bytes": len(content), "width_px": 4, "height_px": 3}
    return {"sha256": sha256, "media_type": "image/jpeg", "check": None, **size}


class EventMaker:
    """Makes whole events of one person on one device, as its shell or desk would."""

    def __init__(self, person_id: str, device_id: str) -> None:
        self.person_id = person_id
        self.device_id = device_id
        self.dev_seq = 0
        self.lamport = 0

    def make(
        self, kind: str, body: dict[str, Any], *, site_id: str, job_id: str | None = None, **over: Any
    ) -> dict[str, Any]:
        self.dev_seq += 1
        self.lamport += 1
        return {
            "id": new_id(),
            "site_id": site_id,
            "job_id": job_id,
            "person_id": self.person_id,
            "device_id": self.device_id,
            "dev_seq": self.dev_seq,
            "lamport": self.lamport,
            "at_wall": "2026-11-25T08:19:09.123Z",
            "clock_offset": None,
            "kind": kind,
            "schema": 1,
            "replaces": [],
            "body": body,
        } | over
