"""All SQL of the job sheet: who was there, and with what licence."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session

from webapp.models import Person, Role
from webapp.sites.clock import date_words


@dataclass(frozen=True)
class Licence:
    """A person as the sheet names them."""

    name: str
    technician: bool
    licence: str
    expires_on: str

    @property
    def words(self) -> str:
        """Name, licence, and until when; nothing is claimed that nobody typed."""
        until = f", valid until {date_words(self.expires_on)}" if self.licence and self.expires_on else ""
        return (
            f"{self.name}, licence {self.licence}{until}" if self.licence else f"{self.name} (no licence recorded here)"
        )


def get_licences(session: Session, person_ids: Collection[str]) -> dict[str, Licence]:
    """Names and licences by person id; who is not known here is absent."""
    found = select(Person.id, Person.name, Person.role, Person.licence_words, Person.licence_expires_on)
    return {
        row.id: Licence(row.name, row.role == Role.TECHNICIAN, row.licence_words or "", row.licence_expires_on or "")
        for row in session.execute(found.where(Person.id.in_(person_ids)))
    }
