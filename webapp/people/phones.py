"""What the people's page shows."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field

from sqlalchemy.orm import Session

from webapp.models import Device, Person
from webapp.people import queries
from webapp.people.licences import licence_warning


@dataclass
class PhoneLine:
    """One phone: `missing` counts the numbers below its highest that never arrived."""

    device: Device
    missing: int


@dataclass
class PersonLine:
    """One person with their phones, the newest first."""

    person: Person
    phones: list[PhoneLine] = field(default_factory=list)

    @property
    def licence_warning(self) -> str:
        """That their licence has run out, or soon will."""
        return licence_warning(self.person)


def list_people(session: Session) -> list[PersonLine]:
    """Everybody, by name."""
    phones = list(session.scalars(queries.select_phones()))
    counts = queries.count_events(session, [phone.id for phone in phones])
    lines: dict[str, list[PhoneLine]] = defaultdict(list)
    for phone in phones:
        lines[phone.person_id].append(PhoneLine(phone, max(0, phone.last_dev_seq - counts.get(phone.id, 0))))
    return [PersonLine(person, lines[person.id]) for person in session.scalars(queries.select_people())]


def line_of(session: Session, person: Person) -> PersonLine:
    """One person with their phones."""
    return next(line for line in list_people(session) if line.person.id == person.id)
