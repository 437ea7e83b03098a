"""The standing-pilot heater on the screens that were made for another: it came in as data alone."""

import pytest

from tests.screens.conftest import OpenStage
from tests.screens.hand import Hand
from tests.screens.test_a_small_phone import LOWEST_SEEN


@pytest.fixture
def stage_procedure() -> str:
    return "standing_pilot"


BEFORE_ANY_FLAME = (
    "burn_marks", "intake_screen", "door_seal", "cutoff_tripped", "vent_and_hood", "tp_valve", "lighting_label",
    "source_kind", "gas_cleared", "as_found",
)  # fmt: skip


def test_every_sketch_of_it_is_drawn_and_has_words(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    assert hand.checks_without_sketch() == []


def test_its_own_drawing_has_every_part_and_each_is_large_enough_for_a_thumb(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.go("checks")
    parts = hand.page.locator(".part")
    drawn = {part.get_attribute("data-part"): part.bounding_box() for part in parts.all()}
    assert set(drawn) == {check["part"] for check in hand.view("procedure.checks")}
    assert not [name for name, box in drawn.items() if box is None or box["width"] < 44 or box["height"] < 44]


def test_nothing_is_lit_before_the_looks_and_the_screen_says_which(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.go("check/relight_watch")
    assert hand.page.locator("[data-answer]").count() == 0
    for words in ("Flame-arrestor screen looked at and open", "Waited for gas to clear", "Lighting label"):
        assert words in hand.words()


def test_a_high_closed_reading_with_a_dropped_pilot_is_said_to_be_the_fault(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.answer_to(*BEFORE_ANY_FLAME)
    hand.answer_to("relight_watch", relight_watch="wont_hold")
    hand.answer_to("gas_cleared")
    hand.until("() => !fake.view.value.advice.blocked.some((one) => one.check === 'couple_closed')")
    hand.go("check/couple_closed")
    hand.tap("[data-wanted]")
    assert "mV" in hand.page.locator(".pad-top").inner_text()
    hand.type_number("18.7")
    hand.tap("[data-pad-done]")
    hand.page.wait_for_selector(".said")
    assert "Not the couple" in hand.page.locator(".said").inner_text()
    hand.tap('[data-answer="high_but_drops"]')
    hand.until("() => fake.view.value.record.checks.some((one) => one.check === 'couple_closed')")
    assert hand.last_body("reading_taken")["value"] == 18.7


def test_a_wait_that_a_check_states_has_a_clock_that_goes_on_elsewhere_and_answers_nothing(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.go("check/gas_cleared")
    hand.tap("[data-start-timer]")
    clock = hand.page.locator("[data-timer]")
    assert "Wait for gas to clear, 5 min · 5 min left" in clock.inner_text()
    assert hand.page.locator("[data-start-timer]").count() == 0
    waited = hand.page.locator('[data-answer="waited"]')
    assert "5 min left by your clock" in waited.inner_text()
    barred = hand.page.locator("[data-barred]").evaluate_all("(all) => all.map((one) => one.dataset.answer)")
    assert barred == ["waited"]  # whoever smells it, or sees the pilot burn, says so at once
    hand.page.evaluate(
        "fake.keepOwn({timers: fake.own.value.timers.map("
        "(one) => ({...one, due_wall: new Date(Date.now() - 130000).toISOString()}))})"
    )
    hand.go("walk")
    assert "overdue 2 min" in clock.inner_text()
    hand.go("check/gas_cleared")
    assert hand.page.locator("[data-barred]").count() == 0
    assert not [one for one in hand.view("record.checks") if one["check"] == "gas_cleared"]


def test_a_wait_without_a_clock_is_held_against_when_the_pilot_was_noted_out(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.answer_to("as_found", as_found="out_knob_on")
    hand.go("check/gas_cleared")
    barred = hand.page.locator("[data-barred]")
    assert barred.evaluate_all("(all) => all.map((one) => one.dataset.answer)") == ["waited"]
    assert "5 min left since you noted how it was found" in barred.inner_text()
    hand.wait_minutes(5)
    hand.go("walk")
    hand.go("check/gas_cleared")
    assert barred.count() == 0


def test_a_check_that_states_no_wait_or_may_not_be_done_yet_has_no_clock(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    for check in ("burn_marks", "draft_smoke"):
        hand.go(f"check/{check}")
        hand.page.wait_for_selector(f'[data-check="{check}"]')
        assert hand.page.locator("[data-start-timer]").count() == 0


def test_the_hot_run_asks_for_no_suction_where_there_is_no_blower(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.go("proof")
    assert hand.page.locator('[data-figure="minutes"]').count() == 1
    assert hand.page.locator('[data-figure="suction_hot_in_wc"]').count() == 0
    assert "Smoke drawn in at the draft hood after five minutes" in hand.words()


def test_the_clock_of_a_wait_asked_again_is_not_under_the_answers(open_stage: OpenStage) -> None:
    hand = open_stage(size={"width": 390, "height": 844})
    hand.begin()
    hand.pass_gate()
    hand.go("check/gas_cleared")
    hand.tap('[data-answer="waited"]')
    hand.until("() => fake.view.value.record.checks.some((one) => one.check === 'gas_cleared')")
    hand.go("check/gas_cleared")
    assert hand.page.locator("[data-start-timer]").count() == 1
    assert hand.page.evaluate(LOWEST_SEEN, "[data-start-timer]") <= 0
