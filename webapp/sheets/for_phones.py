"""What every phone keeps of the company: small enough to come down whole, and the same until the office changes it."""

from __future__ import annotations

from typing import Any

from sqlalchemy.orm import Session

from webapp.models import ModelSheetVersion, Person
from webapp.sheets import queries
from webapp.sheets.settings import FOR_PHONES, read_settings


def company_for_phone(session: Session, person: Person) -> dict[str, Any]:
    """Settings, the holder's licence, and the sheets in use. Bounded: the office keeps no more than it may send."""
    chosen = read_settings(session)._asdict()
    return {
        "settings": {name: chosen[name] for name in FOR_PHONES},
        "person": {
            "id": person.id,
            "name": person.name,
            "licence_words": person.licence_words,
            "licence_expires_on": person.licence_expires_on,
        },
        "model_sheets": [_sheet(version) for version in session.scalars(queries.select_sheets_in_use())],
    }


def _sheet(version: ModelSheetVersion) -> dict[str, Any]:
    return {
        "model_sheet_id": version.model_sheet_id,
        "procedure_name": version.procedure_name,
        "maker_words": version.maker_words,
        "model_words": version.model_words,
        **version.body,
    }
