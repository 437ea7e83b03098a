"""What is found unsafe is said with the very next advice, and for as long as it stands."""

from __future__ import annotations

import pytest

from tests.trade.making import answered, event
from webapp.procedures import compiled, list_procedures


def unsafe(call, procedure, *events):
    opened = event(1, "job_opened", {"procedure_hash": procedure["hash"]})
    return call("step", {"procedure": procedure, "events": [opened, *events]})["ok"]["advice"]["unsafe"]


@pytest.mark.parametrize("name", list_procedures())
def test_each_outcome_marked_unsafe_is_named_at_once_and_no_other(name, both):
    procedure = compiled(name)
    marked = 0
    for check in procedure["checks"]:
        if check["from_event"]:
            continue
        for outcome in check["outcomes"]:
            said = unsafe(both, procedure, answered(2, check["id"], outcome["id"]))
            if outcome.get("unsafe"):
                marked += 1
                assert said == [f"{check['title']}: {outcome['words']}"]
            else:
                assert said == [], (check["id"], outcome["id"])
    assert marked >= 15


def test_it_goes_when_the_check_is_answered_anew_and_stays_through_another_arrival(both):
    procedure = compiled("power_vent")
    parted = answered(2, "joints", "parted")
    line = ["Joints and pipe: Parted, cracked or unglued"]
    assert unsafe(both, procedure, parted, event(3, "arrived", {})) == line
    both_found = unsafe(both, procedure, parted, answered(3, "terminal", "iced"))
    assert both_found == ["Terminal and screen: Iced or snowed in", *line]  # in the procedure's order
    assert unsafe(both, procedure, parted, answered(3, "joints", "sound", replaces=["e002"])) == []
