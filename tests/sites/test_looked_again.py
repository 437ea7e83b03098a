"""Which records are looked through for what was unsafe and only looked at again: nearly none, and all that may be."""

from __future__ import annotations

import pytest

from tests.trade.making import answered, event
from webapp.procedures import compiled
from webapp.sites.looked_again import looked_again_lines
from webapp.trade.record import fold_job

PROCEDURE = compiled("power_vent")
FAILED = {"passed": False, "minutes": 12, "restarts": 2, "looks_done": [], "co_room_ppm": 90}
CO = {"check": "co_room", "quantity": "co_room_ppm"}


@pytest.mark.parametrize(
    ("first", "found"),
    [(("reading_taken", CO | {"value": 90}), True), (("proof_run", FAILED), True), (("note", {"words": "90"}), False)],
)
def test_what_was_read_beside_a_hot_run_is_looked_for_too(first, found):
    events = [event(1, *first), event(2, "reading_taken", CO | {"value": 2}), answered(3, "co_room", "acceptable")]
    lines = looked_again_lines(PROCEDURE, fold_job(events))
    assert [line.startswith("CO in the room: 90 ppm") for line in lines] == [True] * found
