from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest

from tests.factories import NOW
from tests.people.conftest import Desk, cheap_hashes, desk, people
from tests.sync.conftest import enrol, other_phone, phone
from webapp.extensions import Database
from webapp.models import ModelSheetVersion
from webapp.models.ids import new_id

__all__ = ["Desk", "cheap_hashes", "desk", "enrol", "other_phone", "people", "phone"]

EMPTY: dict[str, Any] = {"limits": [], "codes": [], "vent": [], "words": None}


class Shelf:
    """Puts versions of sheets straight into the store."""

    def __init__(self, database: Database) -> None:
        self.database = database
        self.count = 0

    def put(self, maker: str = "Vossquill", model: str = "Ember 50", **over: Any) -> str:
        self.count += 1
        values: dict[str, Any] = {
            "id": new_id(), "model_sheet_id": new_id(), "procedure_name": "power_vent", "maker_words": maker,
            "model_words": model, "model_key": f"{maker}{model}".lower(), "body": EMPTY, "person_id": new_id(),
            "saved_at": NOW + timedelta(minutes=self.count), "is_current": True, "withdrawn": False,
        }  # fmt: skip
        version = ModelSheetVersion(**(values | over))
        with self.database.session() as session:
            session.add(version)
            session.commit()
        return version.model_sheet_id


@pytest.fixture
def shelf(database: Database) -> Shelf:
    return Shelf(database)
