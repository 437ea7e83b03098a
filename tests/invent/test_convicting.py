"""The invented technicians mostly read a part before they change it; the numbers speak the truth, not their guess."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, datetime

import pytest

from webapp.invent.convicting import CHECKS, READS_SHARE
from webapp.invent.order import WalkOrder
from webapp.invent.service import shipped_procedures
from webapp.invent.story import Story
from webapp.trade.conviction import WATCHED_REPAIRS, changed_unread
from webapp.trade.record import fold_job

JOBS = 400
PROCEDURES = shipped_procedures()


@pytest.fixture(scope="module")
def changed() -> Counter[tuple[bool, str]]:
    """Watched parts that were changed, by whether the cause was named rightly and what speaks against the change."""
    order = WalkOrder()
    until = datetime(2026, 11, 25, tzinfo=UTC)
    story = Story(
        seed=1, jobs=JOBS, until=until, procedures=PROCEDURES, order=order.next_check, first=order.first_cause
    )
    found: Counter[tuple[bool, str]] = Counter()
    for visit, written in story.visits():
        record = fold_job([event for batch in written.batches for event in batch.events])
        if any(one["action"] in WATCHED_REPAIRS for one in record["repairs"]):
            unread = changed_unread(record)
            found[visit.right, unread[0]["why"] if unread else "convicted"] += 1
    return found


def test_most_parts_are_read_before_they_are_changed_and_some_are_not(changed: Counter[tuple[bool, str]]) -> None:
    parts = changed.total()
    not_read = changed[True, "not_read"] + changed[False, "not_read"]
    assert parts > 80
    assert 0.05 < not_read / parts < 1 - READS_SHARE + 0.1


def test_a_part_that_was_named_rightly_is_mostly_convicted_and_one_named_wrongly_mostly_not(
    changed: Counter[tuple[bool, str]],
) -> None:
    rightly = sum(count for (right, _why), count in changed.items() if right)
    wrongly = changed.total() - rightly
    assert changed[True, "convicted"] / rightly > 0.6
    assert changed[False, "convicted"] / wrongly < 0.4


def test_every_watched_part_has_checks_that_the_procedures_know() -> None:
    known = {check["id"] for procedure in PROCEDURES.values() for check in procedure["checks"]}
    assert set(CHECKS) == set(WATCHED_REPAIRS)
    assert {name for names in CHECKS.values() for name in names} <= known
