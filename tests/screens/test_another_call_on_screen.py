"""Another call from the address that alarms is on the phone of whoever is booked there for something else."""

from __future__ import annotations

import pytest
from playwright.sync_api import ViewportSize

from tests.screens.conftest import PHONE, OpenStage
from tests.screens.hand import JOB
from tests.screens.test_a_small_phone import SMALL, is_in_sight
from tests.screens.test_another_visit_on_screen import COMES_DOWN, THEIR_JOB
from tests.screens.test_every_state_looks_right import faults

ALARM = {"smell_of_gas": "yes", "co_alarm": "unsure", "unwell": "yes", "water_leak": "no", "lately": [], "said": []}
BOOKED = {"complaint": "no_hot_water", "complaint_words": "My mother fainted, it stinks", "phone": "555-0161"}
CALLED = [{"kind": "job_booked", "schema": 2, "body": BOOKED}, {"kind": "call_taken", "body": ALARM}]
HEARD = "smell of gas, CO alarm (not sure), somebody unwell."
STRIP = "[data-other-call]"


@pytest.mark.parametrize("size", [PHONE, SMALL])
def test_it_is_on_the_job_s_page_and_over_the_walk_until_this_visit_has_looked_into_each(
    open_stage: OpenStage, size: ViewportSize
) -> None:
    hand = open_stage(size=size)
    hand.tap(f'[data-job="{JOB}"]')
    hand.page.wait_for_selector("[data-start]")
    assert hand.page.locator(STRIP).count() == 0
    hand.page.evaluate(COMES_DOWN, [JOB, THEIR_JOB, CALLED])
    hand.settle()
    words = hand.page.locator(STRIP).inner_text()
    assert words.startswith("Another call from this address ")
    assert HEARD in words
    assert "CO meter on before the door." in words
    assert "My mother fainted, it stinks" in words
    assert hand.page.locator(f"{STRIP} a[href='tel:5550161']").count() == 1
    assert is_in_sight(hand, STRIP)
    assert faults(hand) == []
    hand.tap("[data-start]")
    hand.page.wait_for_selector("[data-check]")
    assert HEARD in hand.page.locator(STRIP).inner_text()
    assert faults(hand) == []
    hand.pass_gate()
    assert hand.page.locator(STRIP).count() == 0
    hand.go("record")
    assert hand.page.locator(STRIP).count() == 0
    hand.page.evaluate(COMES_DOWN, [JOB, THEIR_JOB, CALLED[1:]])
    hand.settle()
    hand.tap(f"{STRIP} .visit-way")
    assert hand.asked() == "smell_of_gas"
    assert hand.page.locator(f"{STRIP} .visit-way").count() == 0
    hand.answer_to("smell_of_gas")
    hand.tap(f"{STRIP} .visit-way")
    assert hand.asked() == "co_room"
    assert faults(hand) == []
