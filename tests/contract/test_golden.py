"""Every kind and schema ever shipped is accepted for ever: the golden files go through the schemas and the store."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from sqlalchemy.orm import Session

from tests.contract.conftest import Hand
from tests.golden_events import FILES, as_far_as_worked_out
from webapp.models import EventRow, Job
from webapp.sync.canonical import event_of


def test_there_are_golden_files() -> None:
    assert len(FILES) >= 37


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_golden_event_is_stored_and_comes_out_as_it_was(desk: Hand, session: Session, path: Path) -> None:
    golden = json.loads(path.read_text(encoding="utf-8"))
    outcome = desk.store(*golden["events"], trusted=True)
    assert [result["status"] for result in outcome["results"]] == ["stored"] * len(golden["events"])
    for event in golden["events"]:
        assert event_of(session.get_one(EventRow, event["id"])) == event
    job_id = golden["expect"].get("job_id")
    if job_id is not None:
        record = session.get_one(Job, job_id).record
        assert record is not None
        assert as_far_as_worked_out(record, golden["expect"]) == golden["expect"]
