"""A heater that an earlier visit left off: the walk's own screens say so, in a line, until it is put back."""

import re
from typing import Any

import pytest

from tests.screens.conftest import PHONE, OpenStage
from tests.screens.hand import JOB, Hand
from tests.screens.test_a_small_phone import SMALL, below_at_a_long_street, is_in_sight
from tests.screens.test_agreed_proven_put_back_on_screen import EARLIER, EARLIER_JOB, act, held_run
from tests.screens.test_every_state_looks_right import faults

LEFT = {"what_words": "The heater", "why_words": "CO in the room", "told_words": "The customer"}
LONG_WHY = "Warmwasserbereitungsanlagenstörungsmeldung, the vent parted at the second elbow and soot on the jacket"


def second_visit(hand: Hand, **left: Any) -> None:
    hand.tap(f'[data-job="{JOB}"]')
    hand.page.wait_for_selector("[data-start]")
    hand.page.evaluate(EARLIER, [EARLIER_JOB, [{"kind": "left_off", "body": {**LEFT, **left}}]])
    hand.tap("[data-start]")
    hand.page.wait_for_selector("[data-check]")


def test_every_screen_of_the_walk_says_so_and_leads_to_putting_it_back(hand: Hand) -> None:
    second_visit(hand)
    assert hand.page.locator("[data-stands-off]").inner_text().split("\n") == [
        "Left off 9 Nov: CO in the room",
        "Put back?",
    ]
    hand.pass_gate()
    for screen in ("walk", "check/joints", "checks", "suspects", "record", "cause", "repair", "proof"):
        hand.go(screen)
        assert hand.page.locator("[data-stands-off]").count() == 1, screen
    for screen in ("home", "close"):  # these say it at length
        hand.go(screen)
        assert hand.page.locator("[data-stands-off]").count() == 0, screen
        assert "Left off on 9 Nov 2026: The heater. Why: CO in the room." in hand.words()
    hand.go("walk")
    hand.tap("[data-stands-off] a")
    assert "Left off on 9 Nov 2026: The heater. Why: CO in the room" in hand.words()
    assert hand.page.locator("[data-stands-off]").count() == 0


def test_it_goes_once_it_is_put_back_and_the_walk_goes_on_where_it_was(hand: Hand) -> None:
    second_visit(hand)
    hand.pass_gate()
    held_run(hand)
    hand.tap("[data-stands-off] a")
    assert "Terminal seen and clear" in hand.page.locator("[data-not-shown]").inner_text()  # a run past the looks
    hand.look_at_what_may_fire()
    hand.page.wait_for_selector("[data-asks-who]")
    hand.page.fill("#put-back", "new burner door, hot run held")
    assert hand.page.locator("[data-put-back-save]").is_disabled()  # no cause, no repair: what made it safe?
    assert hand.page.locator("[data-asks-who] a").count() == 2
    hand.page.fill("#put-back-who", "Ada Pipe, licence 4711")
    hand.tap("[data-put-back-save]")
    hand.until("() => fake.view.value.record.put_back[0]?.counts")
    hand.page.wait_for_selector("main[data-screen=walk]")
    assert hand.page.locator("[data-stands-off]").count() == 0
    event = hand.last_event("put_back")
    assert event["schema"] == 3
    assert event["body"]["words"] == "Ada Pipe, licence 4711: new burner door, hot run held"
    assert event["body"]["who_words"] == "Ada Pipe, licence 4711"


def test_what_this_visit_left_off_is_said_too(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    act(hand, ("left_off", LEFT))
    hand.go("checks")
    words = hand.page.locator("[data-stands-off] span").inner_text()
    assert re.fullmatch(r"Left off today \d\d:\d\d: CO in the room", words)


def test_a_closed_job_says_what_it_left_off_and_tells_its_way_back_to_the_jobs_page(hand: Hand) -> None:
    hand.begin()
    act(hand, ("left_off", LEFT), ("job_closed", {"state": "left_off"}))
    hand.go("record")
    assert hand.page.locator("[data-stands-off]").count() == 1
    assert hand.page.locator("[data-stands-off] a").count() == 0
    hand.tap("[data-not-told] a")
    hand.tap(".back")
    assert hand.page.locator("main").get_attribute("data-screen") == "home"


def test_the_close_offers_to_put_it_back_as_the_next_thing_once_the_hot_run_held(hand: Hand) -> None:
    second_visit(hand)
    hand.go("close")
    assert hand.page.locator("[data-put-back] a").get_attribute("data-lamp") is None
    run = {"passed": True, "minutes": 12, "restarts": 2, "looks_done": []}
    act(hand, ("cause_named", {"cause": "tube_off"}), ("repair_made", {"action": "new_tube"}), ("proof_run", run))
    assert hand.page.locator("[data-put-back] a").get_attribute("data-lamp") is not None


def test_of_two_one_is_named_and_the_other_counted(hand: Hand) -> None:
    second_visit(hand)
    act(hand, ("left_off", {**LEFT, "why_words": "soot"}))
    hand.go("checks")
    assert hand.page.locator("[data-stands-off] span").inner_text().endswith(": soot, and 1 more")


@pytest.mark.parametrize("size", [SMALL, PHONE], ids=lambda size: f"{size['width']}x{size['height']}")
def test_it_pushes_no_answer_out_of_sight_however_long_its_words(size: dict[str, int], open_stage: OpenStage) -> None:
    hand = open_stage(size=size, look="light")
    second_visit(hand, why_words=LONG_WHY)
    assert is_in_sight(hand, ".question-words, .question > .strip, .answer")
    hand.pass_gate()
    below_at_a_long_street(hand)
    hidden = []
    for check in hand.view("procedure.checks.map((one) => one.id)"):
        hand.go(f"check/{check}")
        assert is_in_sight(hand, "[data-stands-off], .question-words"), check
        if hand.page.locator(".answer").count() and not is_in_sight(hand, ".answer"):
            hidden.append(check)
    assert set(hidden) <= ({"terminal", "watch_cycle"} if size == SMALL else set())
    hand.go("record")
    assert faults(hand) == []


def test_while_something_unsafe_stands_it_is_short_and_offers_nothing(hand: Hand) -> None:
    second_visit(hand)
    hand.pass_gate()
    hand.answer_to("joints", joints="parted")
    hand.page.wait_for_selector("[data-unsafe]")
    assert hand.page.locator("[data-stands-off]").inner_text().strip() == "Left off 9 Nov"
    hand.answer_to("joints")
    hand.until("() => document.querySelector('[data-stands-off] a') !== null")
