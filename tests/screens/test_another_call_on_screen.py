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
    hand.page.evaluate(COMES_DOWN, [JOB, THEIR_JOB, [{"kind": "call_taken", "body": ALARM}]])
    hand.settle()
    words = hand.page.locator(STRIP).inner_text()
    assert words.startswith("Another call from this address ")
    assert HEARD in words
    assert "CO meter on before the door." in words
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
