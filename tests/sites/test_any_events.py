"""Whatever phones send, the dispatcher gets a page."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from flask import Flask, render_template_string
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.sites.stories import PROCEDURE
from webapp.models import Job
from webapp.sites.in_service import Elsewhere
from webapp.sites.logbook import read_visit
from webapp.sites.procedure_words import ProcedureWords
from webapp.sites.timeline import Arrived
from webapp.trade.bodies import SHAPES
from webapp.trade.record import fold_job

NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
WALLS = ("2026-11-25T08:19:09.123Z", "0001-01-01T00:00:00Z", "9999-12-31T23:59:59Z", "not a time")
PAGE = (
    '{% from "office/_logbook.html" import chain, findings, timeline, warnings %}'
    "{{ warnings(visit) }}{{ chain(visit) }}{{ findings(visit) }}{{ timeline(visit.lines) }}"
)
FIELDS = (
    "check",
    "outcome",
    "could_not",
    "quantity",
    "value",
    "words",
    "cause",
    "action",
    "state",
    "passed",
    "minutes",
)
VALUES = (None, "tube", "off", "seated", "limit", "no_tool", "proven", "suction_in_wc", "", 0.31, 3, True, [], ["a"])


@st.composite
def events(draw: st.DrawFn) -> dict[str, Any]:
    """One event of any kind, with a body that may or may not be one of that kind."""
    kind, schema = draw(st.sampled_from([*SHAPES, ("kind_of_tomorrow", 1), ("note", 99)]))
    number = draw(st.integers(0, 30))
    names = [field[0] for field in SHAPES.get((kind, schema), [])] or list(FIELDS)
    return {
        "id": f"e{number:03}", "site_id": "s", "job_id": "j", "person_id": draw(st.sampled_from("ab")),
        "device_id": "d", "dev_seq": number, "lamport": number, "at_wall": draw(st.sampled_from(WALLS)),
        "clock_offset": draw(st.sampled_from([None, 0, 32_400_000, -(10**13)])), "kind": kind, "schema": schema,
        "replaces": [f"e{draw(st.integers(0, 30)):03}"] if draw(st.booleans()) else [],
        "body": {name: draw(st.sampled_from(VALUES)) for name in names if draw(st.booleans())},
    }  # fmt: skip


@given(st.lists(events(), max_size=12), st.booleans())
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_events_make_a_visit_that_can_be_shown(app: Flask, told: list[Any], known: bool) -> None:
    arrived = [Arrived(event, NOW) for event in told]
    job = Job(id="j", site_id="s", state="closed", booked_at=NOW, last_received_at=NOW, cause="tube_off")
    words = ProcedureWords(PROCEDURE if known else None)
    visit = read_visit(
        job, arrived, words=words, names={"a": "Ann"}, stored_photos=set(), next_job=job, now=NOW,
        elsewhere=Elsewhere(), put_back_here=[], standing=[],
    )  # fmt: skip
    record = fold_job(told)
    assert len(visit.lines) == len({event["id"] for event in told}) - _told_twice(told)
    assert bool(visit.uncounted) == bool(record["unknown"] or record["unreadable"])
    with app.test_request_context("/"):
        assert "timeline" in render_template_string(PAGE, visit=visit)


def _told_twice(told: list[Any]) -> int:
    """Ids that came with two contents: neither counts."""
    by_id: dict[str, list[Any]] = {}
    for event in told:
        by_id.setdefault(event["id"], []).append(event)
    return sum(any(one != same[0] for one in same) for same in by_id.values())
