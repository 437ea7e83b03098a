"""Made-up visits, told as events through the one way in: what the office then reads is what phones would have sent."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

from sqlalchemy.orm import Session

from tests.factories import EventMaker, OfficeDeviceFactory, PersonFactory, PhoneFactory
from webapp.models import Device, Person, ProcedureVersion
from webapp.models.ids import new_id
from webapp.sync.service import store_events

START = datetime(2026, 3, 2, 14, 0, tzinfo=UTC)
PHOTO_SHA256 = "ab" * 32
HELD = ("proof_run", {"passed": True, "minutes": 20, "restarts": 2, "looks_done": [], "co_room_ppm": 0})
"""What shows that a heater may go back into service."""

PROCEDURE: dict[str, Any] = {
    "name": "toy_vent",
    "title": "Toy",
    "kind_words": "toy heater",
    "hash": "a" * 64,
    "complaints": [{"id": "no_hot_water", "words": "no hot water"}, {"id": "noise", "words": "a noise"}],
    "senses": ["eye", "gauge"],
    "causes": [{"id": "tube_off", "words": "sensing tube off its port"}, {"id": "screen_shut", "words": "screen shut"}],
    "repairs": [{"id": "seat_tube", "words": "seated the sensing tube"}, {"id": "clear_screen", "words": "cleared it"}],
    "checks": [
        {
            "id": "tube",
            "sense": "eye",
            "part": "vent",
            "from_event": None,
            "title": "Sensing tube, both ends",
            "outcomes": [
                {"id": "seated", "words": "seated at both ends", "verdict": "good"},
                {"id": "off", "words": "off at the housing", "verdict": "bad"},
            ],
            "readings": [],
        },
        {
            "id": "suction",
            "sense": "gauge",
            "part": "vent",
            "from_event": None,
            "title": "Suction at the switch",
            "outcomes": [
                {"id": "enough", "words": "makes the switch", "verdict": "good"},
                {"id": "weak", "words": "too weak to make the switch", "verdict": "doubtful"},
            ],
            "readings": [{"quantity": "suction_in_wc", "words": "Suction", "unit": "in. w.c.", "optional": False}],
        },
        {
            "id": "limit",
            "sense": "meter",
            "part": "vent",
            "from_event": None,
            "title": "Limit, dead",
            "outcomes": [],
            "readings": [{"quantity": "limit_ohm", "words": "Across the limit", "unit": "ohm", "optional": False}],
        },
    ],
    "closing_looks": [{"id": "joints", "words": "joints of the vent"}],
}


class Story:
    """One company of one dispatcher and one technician with a phone."""

    def __init__(self, session: Session) -> None:
        self.session = session
        self.dispatcher: Person = PersonFactory(name="Dora Desk", role="dispatcher")
        self.technician: Person = PersonFactory(name="Tom Torch")
        self.phone: Device = PhoneFactory(person_id=self.technician.id)
        self.desk_device: Device = OfficeDeviceFactory(person_id=self.dispatcher.id)
        self.desk = EventMaker(self.dispatcher.id, self.desk_device.id)
        self.hand = EventMaker(self.technician.id, self.phone.id)
        self.at = START
        self.lamport = 0
        session.merge(
            ProcedureVersion(hash=PROCEDURE["hash"], name="toy_vent", body=PROCEDURE, stored_at=START, is_current=True)
        )
        session.commit()

    def address(self, street: str = "12 Mill Lane", town: str = "Harrowby", **more: str) -> str:
        site_id = new_id()
        self.say(self.desk, "address_given", {"street": street, "town": town, **more}, site_id=site_id)
        return site_id

    def book(self, site_id: str, words: str = "cold since morning", technician: Person | None = None) -> str:
        job_id = new_id()
        body = {
            "complaint": "no_hot_water",
            "complaint_words": words,
            "technician_id": (technician or self.technician).id,
            "procedure_name": "toy_vent",
        }
        self.say(self.desk, "job_booked", body, site_id=site_id, job_id=job_id)
        return job_id

    def open(self, site_id: str, job_id: str) -> None:
        self.walk(site_id, job_id, ("job_opened", {"procedure_hash": PROCEDURE["hash"]}))

    def walk(self, site_id: str, job_id: str, *acts: tuple[str, dict[str, Any]]) -> list[dict[str, Any]]:
        return [self.say(self.hand, kind, body, site_id=site_id, job_id=job_id) for kind, body in acts]

    def whole_visit(self, site_id: str, *, cause: str | None = "tube_off", passed: bool = True) -> str:
        job_id = self.book(site_id)
        self.open(site_id, job_id)
        self.walk(
            site_id,
            job_id,
            ("check_answered", {"check": "tube", "outcome": "off", "could_not": None}),
            ("reading_taken", {"check": "suction", "quantity": "suction_in_wc", "value": 0.31, "state": "cold"}),
            ("check_answered", {"check": "suction", "outcome": "weak", "could_not": None}),
            *([("cause_named", {"cause": cause})] if cause else []),
            ("repair_made", {"action": "seat_tube", "words": "with a new clip"}),
            ("proof_run", {"passed": passed, "minutes": 20, "restarts": 2, "looks_done": ["joints"]}),
            ("job_closed", {"state": "proven" if passed else "not_proven"}),
        )
        return job_id

    def say(self, who: EventMaker, kind: str, body: dict[str, Any], **over: Any) -> dict[str, Any]:
        """One event, a minute after the one before, a hot run after its own; arriving at once unless told otherwise."""
        self.at += timedelta(minutes=body["minutes"] if kind == "proof_run" else 1)
        arrives_at = over.pop("arrives_at", self.at)
        wall = self.at.isoformat().replace("+00:00", "Z")
        who.lamport = max(who.lamport, self.lamport)  # everybody here had pulled
        event = who.make(kind, body, **{"at_wall": wall, "clock_offset": 0, **over})
        self.lamport = who.lamport
        device = self.session.get(Device, who.device_id)
        assert device is not None
        outcome = store_events(self.session, [event], device, now=arrives_at, trusted=True)
        assert outcome["results"][0]["status"] == "stored", outcome
        return event

    def days_later(self, days: float) -> None:
        self.at += timedelta(days=days)

    def another_technician(self, name: str) -> EventMaker:
        person: Person = PersonFactory(name=name)
        device: Device = PhoneFactory(person_id=person.id)
        return EventMaker(person.id, device.id)
