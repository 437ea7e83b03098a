"""Two technicians at one address: what one found unsafe is on the other one's phone until it is looked at again."""

import re
from typing import Any

import pytest

from tests.screens.conftest import PHONE, OpenStage
from tests.screens.hand import JOB, Hand
from tests.screens.test_a_small_phone import SMALL, is_in_sight
from tests.screens.test_every_state_looks_right import faults

THEIR_JOB = JOB[:-1] + "8"
COMES_DOWN = """async ([job, theirs, drafts]) => {
  fake.write(theirs, drafts, '00000000-0000-7000-8000-0000000000a2', new Date().toISOString());
  await fake.openJob(job);
}"""
WALK = ("walk", "check/joints", "checks", "suspects", "record", "cause", "repair", "proof", "close")


def answered(check: str, outcome: str) -> dict[str, Any]:
    return {"kind": "check_answered", "body": {"check": check, "outcome": outcome, "could_not": None}}


def room_co(ppm: int) -> dict[str, Any]:
    body = {"check": "co_room", "quantity": "co_room_ppm", "value": ppm, "place": "room"}
    return {"kind": "reading_taken", "body": body}


def they_find(hand: Hand, *drafts: dict[str, Any]) -> None:
    """The other technician has begun a visit of his own there, and what he found has come down."""
    begun = {"kind": "job_opened", "body": {"procedure_hash": hand.view("procedure.hash")}}
    hand.page.evaluate(COMES_DOWN, [JOB, THEIR_JOB, [begun, *drafts]])
    hand.settle()


def ninety_ppm(hand: Hand) -> None:
    they_find(hand, room_co(90), answered("co_room", "leave"))


def nest(hand: Hand) -> None:
    they_find(hand, answered("terminal", "nest_or_debris"))


def passed(hand: Hand) -> Hand:
    hand.begin()
    hand.pass_gate()
    return hand


def looked_over(hand: Hand) -> Hand:
    """The gate passed, and all seen that must be seen before a burner runs."""
    gate = hand.view("procedure.gate")
    drafts = [
        answered(need["check"], need["outcomes"][0])
        for need in hand.view("procedure.may_fire")
        if need["check"] not in gate
    ]
    hand.page.evaluate("([job, drafts]) => fake.act(job, drafts)", [JOB, drafts])
    return hand


def test_before_going_down_the_jobs_page_says_it_first_with_who_when_the_number_and_what_to_do(hand: Hand) -> None:
    hand.tap(f'[data-job="{JOB}"]')
    hand.page.wait_for_selector("[data-start]")
    ninety_ppm(hand)
    words = hand.page.locator("[data-found-elsewhere]").inner_text()
    assert re.match(
        r"Found on another visit today \d\d:\d\d, Teodor Amsel: CO in the room: Leave now, 90 ppm\. "
        r"It has not been put right\. Everybody out now\.",
        words,
    )
    assert is_in_sight(hand, "[data-found-elsewhere]")
    assert faults(hand) == []


def test_what_stopped_it_stops_this_walk_until_the_room_is_read_again(hand: Hand) -> None:
    passed(hand)
    ninety_ppm(hand)
    hand.go("walk")
    assert hand.heading() == "Stop"
    words = hand.words()
    assert "Everybody out now." in words
    assert "Teodor Amsel: CO in the room: Leave now, 90 ppm. It has not been put right." in words
    assert faults(hand) == []
    for screen in WALK[1:]:
        hand.go(screen)
        assert "CO in the room: Leave now, 90 ppm" in hand.page.locator("[data-elsewhere]").inner_text(), screen
    assert hand.page.locator("[data-answer]").evaluate_all("(all) => all.map((one) => one.dataset.answer)") == [
        "left_off"
    ]
    hand.tap("text=What to do now")
    hand.tap("text=It is safe now: look again")
    hand.tap("[data-wanted]")
    hand.type_number("3")
    hand.tap("[data-pad-done]")
    hand.tap('[data-answer="acceptable"]')
    hand.until("() => fake.view.value.elsewhere.length === 0")
    assert hand.page.locator("[data-elsewhere]").count() == 0
    assert hand.view("advice.gate.state") == "passed"


def test_what_is_unsafe_stands_over_the_walk_is_asked_anew_and_keeps_the_job_open(hand: Hand) -> None:
    looked_over(passed(hand))
    hand.go("close")
    assert hand.page.locator('[data-answer="not_seen_today"]').count() == 1
    nest(hand)
    hand.go("walk")
    for screen in WALK:
        hand.go(screen)
        words = hand.page.locator("[data-elsewhere]").inner_text()
        said = r"Another visit: unsafe\. Terminal and screen: Nest or debris \(\d\d:\d\d, Teodor Amsel\)\."
        assert re.match(said, words), screen
    shown = hand.page.locator("[data-answer]").evaluate_all("(all) => all.map((one) => one.dataset.answer)")
    assert shown == ["handed_over", "left_off"]
    refused = hand.page.locator("[data-refused]", has_text="Found on another visit").first
    assert "Fault not seen today" in refused.inner_text()
    refused.locator("a").first.click()
    hand.tap('[data-answer="clear"]')
    hand.until("() => fake.view.value.elsewhere.length === 0")
    hand.go("close")
    assert hand.page.locator('[data-answer="not_seen_today"]').count() == 1


def test_the_way_to_the_check_is_not_offered_where_one_stands_at_it(hand: Hand) -> None:
    passed(hand)
    nest(hand)
    hand.go("checks")
    hand.tap("[data-elsewhere] a")
    assert hand.asked() == "terminal"
    assert hand.page.locator("[data-elsewhere] a").count() == 0


def test_what_it_found_is_a_reason_to_leave_the_heater_off(hand: Hand) -> None:
    passed(hand)
    ninety_ppm(hand)
    hand.go("left-off")
    hand.page.locator("fieldset", has_text="Why").get_by_text("(another visit)").click()
    assert hand.page.input_value("#left-why") == "CO in the room: Leave now 90 ppm (another visit)"


def test_it_is_gone_when_the_other_visit_is_closed(hand: Hand) -> None:
    passed(hand)
    nest(hand)
    they_find(hand, {"kind": "job_closed", "body": {"state": "left_off"}})
    hand.go("checks")
    assert hand.page.locator("[data-elsewhere]").count() == 0


def test_while_the_rules_are_away_no_running_heater_is_closed_either(hand: Hand) -> None:
    passed(hand)
    nest(hand)
    hand.page.evaluate("([job]) => { fake.engineAway = true; return fake.openJob(job); }", [JOB])
    hand.page.route(
        "**/call/close_states", lambda route: route.fulfill(json={"error": {"code": "lost", "message": ""}})
    )
    hand.go("close")
    hand.until("() => document.querySelector('[data-refused]') !== null")
    shown = hand.page.locator("[data-answer]").evaluate_all("(all) => all.map((one) => one.dataset.answer)")
    assert shown == ["handed_over", "left_off"]
    hand.page.unroute("**/call/close_states")


@pytest.mark.parametrize("size", [SMALL, PHONE], ids=lambda size: f"{size['width']}x{size['height']}")
def test_it_pushes_no_question_out_of_sight(size: dict[str, int], open_stage: OpenStage) -> None:
    hand = passed(open_stage(size=size, look="light"))
    nest(hand)
    for check in ("walk", "check/terminal", "check/joints"):
        hand.go(check)
        assert is_in_sight(hand, "[data-elsewhere], .question-words"), check
    assert faults(hand) == []
    hand.go("home")
    assert faults(hand) == []


def test_who_found_what_stops_it_is_whole_in_sight_on_the_smallest_phone(open_stage: OpenStage) -> None:
    hand = passed(open_stage(size=SMALL))
    ninety_ppm(hand)
    hand.go("walk")
    dock, who = (hand.page.locator(one).bounding_box() for one in (".dock[data-stick]", ".stop-card > p"))
    assert dock is not None
    assert who is not None
    assert who["y"] + who["height"] <= dock["y"]
