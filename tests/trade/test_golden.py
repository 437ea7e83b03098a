"""Every kind and schema ever shipped folds to the record that was worked out by hand. These files are never edited."""

from __future__ import annotations

import json

import pytest

from tests.golden_events import FILES, as_far_as_worked_out
from webapp.trade.bodies import SHAPES
from webapp.trade.record import fold_job


@pytest.mark.parametrize("path", FILES, ids=lambda path: path.stem)
def test_a_golden_event_folds_to_what_was_worked_out_by_hand(path, both):
    golden = json.loads(path.read_text(encoding="utf-8"))
    record = both("fold_job", {"events": golden["events"]})["ok"]
    assert as_far_as_worked_out(record, golden["expect"]) == golden["expect"]
    assert record["unknown"] == []
    assert record["unreadable"] == []
    assert fold_job(golden["events"]) == record


def test_every_kind_and_schema_has_its_golden_file():
    assert {path.stem for path in FILES} == {f"{kind}.{schema}" for kind, schema in SHAPES}
