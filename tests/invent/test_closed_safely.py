"""No invented heater is left running with something unsafe: the demo shows what the phone would have let through."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, datetime
from typing import Any

import pytest

from tests.trade.making import event
from webapp.invent.order import WalkOrder
from webapp.invent.scene_acts import DUE_OUT_IN, PHOTO
from webapp.invent.scenes import SCENES
from webapp.invent.service import shipped_procedures
from webapp.invent.story import Story
from webapp.trade.closing import close_states, unsafe_words
from webapp.trade.record import fold_job

JOBS = 500
PROCEDURES = shipped_procedures()


@pytest.fixture(scope="module")
def closed() -> list[tuple[str, Any, Any]]:
    """Each closed visit, as it stood when it was closed: state, procedure, record."""
    order = WalkOrder()
    until = datetime(2026, 11, 25, tzinfo=UTC)
    story = Story(
        seed=11, jobs=JOBS, until=until, procedures=PROCEDURES, order=order.next_check, first=order.first_cause
    )
    found = []
    by_hash = {procedure["hash"]: procedure for procedure in PROCEDURES.values()}
    for _visit, written in story.visits():
        events = [event for batch in written.batches for event in batch.events if event["job_id"]]
        ends = [event["lamport"] for event in events if event["kind"] == "job_closed"]
        if ends:
            record = fold_job([event for event in events if event["lamport"] <= ends[0]])
            found.append((record["closed"]["state"], by_hash[record["opened"]["procedure_hash"]], record))  # type: ignore[index]
    return found


def test_what_was_found_unsafe_was_looked_at_again_or_the_heater_was_left_off(
    closed: list[tuple[str, Any, Any]],
) -> None:
    stands = Counter(
        (state, words)
        for state, procedure, record in closed
        if state != "left_off"
        for words in unsafe_words(procedure, record)
    )
    assert stands == Counter()


def test_unsafe_things_were_found_and_put_right(closed: list[tuple[str, Any, Any]]) -> None:
    """Else the test above would say nothing."""
    put_right = [
        record
        for state, procedure, record in closed
        if state == "proven" and unsafe_words(procedure, record | {"repairs": [], "checks": _as_found(record)})
    ]
    assert len(put_right) > JOBS / 20


def _refused(state: str, procedure: Any, record: Any) -> list[str]:
    offers = [one for one in close_states(procedure, record) if one["state"] == state]
    assert len(offers) == 1
    return [one["why_words"] for one in offers if not one["offered"]]


def test_all_that_was_closed_would_be_offered_so_on_the_phone(closed: list[tuple[str, Any, Any]]) -> None:
    assert [(one[0], words) for one in closed for words in _refused(*one)] == []


def test_no_scene_of_the_demo_ends_as_the_phone_would_not_have_it() -> None:
    procedure: Any = PROCEDURES["power_vent"]
    for scene in SCENES:
        for visit in scene.visits:
            acts = [act for act in visit.acts if act[0] not in (PHOTO, DUE_OUT_IN)]
            record = fold_job(_noted(acts))
            if record["closed"]:
                state = record["closed"]["state"]
                assert _refused(state, procedure, record) == [], (scene.key, visit.days_ago)
                assert record["closed"]["words"] or state in ("proven", "left_off"), "the phone asks for a word"


def _noted(acts: list[Any]) -> list[Any]:
    """As they are played: a hot run takes the minutes that it says."""
    events, minutes = [], 0.0
    for number, (kind, body) in enumerate(acts, start=1):
        minutes += body["minutes"] if kind == "proof_run" else 1
        wall = f"2026-11-25T{8 + int(minutes) // 60:02d}:{int(minutes) % 60:02d}:00.000Z"
        events.append(event(number, kind, body, at_wall=wall))
    return events


def _as_found(record: Any) -> list[Any]:
    """The checks with their first answers alone."""
    return [
        {**check, "entries": check["entries"][:1], "outcome": first, "now_outcome": first}
        for check in record["checks"]
        for first in [check["entries"][0]["outcome"]]
    ]
