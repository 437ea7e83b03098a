"""Free words that mention gas: a line says so until the question is answered, and nothing else changes."""

from tests.screens.conftest import OpenStage
from tests.screens.hand import JOB, Hand
from tests.screens.test_every_state_looks_right import faults

WRITE = "([job, words]) => fake.act(job, [{kind: 'note', body: {words}}])"
LINE = "The words mention gas: ask."


def noted(hand: Hand, words: str) -> None:
    hand.page.evaluate(WRITE, [JOB, words])
    hand.settle()


def test_a_note_that_mentions_gas_is_flagged_while_it_is_typed(hand: Hand) -> None:
    hand.begin()
    hand.go("note")
    hand.page.fill("#note-words", "the gas valve is new")
    hand.settle()
    assert hand.page.locator("[data-mentions]").count() == 0
    hand.page.fill("#note-words", "the gas valve is new, gas smell behind it")
    hand.page.wait_for_selector("[data-mentions]")
    assert LINE in hand.words()
    hand.page.fill("#note-words", "")
    hand.until("() => document.querySelector('[data-mentions]') === null")


def test_it_stands_over_every_screen_until_the_gate_is_asked_again(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    before = hand.view("advice.next.check")
    noted(hand, "smells gas now")
    for screen in ("walk", "record", "checks"):
        hand.go(screen)
        hand.page.wait_for_selector('[data-unasked="smell_of_gas"]')
        assert LINE in hand.page.locator("[data-unasked]").inner_text()
    assert hand.view("advice.gate.state") == "passed"
    assert hand.view("advice.next.check") == before
    hand.tap("[data-unasked] a")
    hand.page.wait_for_selector('[data-check="smell_of_gas"]')
    assert hand.page.locator("[data-unasked] a").count() == 0
    hand.tap(f'[data-answer="{hand.first_outcome("smell_of_gas")}"]')
    hand.until("() => document.querySelector('[data-unasked]') === null")


def test_at_the_gate_the_callers_words_stand_over_the_question(hand: Hand) -> None:
    hand.begin()
    assert hand.page.locator("[data-unasked]").count() == 0
    noted(hand, "alarm went off, she is dizzy, smells of gas")
    assert hand.page.locator("[data-unasked]").count() == 3
    assert hand.asked() == "smell_of_gas"
    assert hand.page.locator('[data-unasked="smell_of_gas"] a').count() == 0
    assert hand.page.locator('[data-unasked="unwell"] a').count() == 1


def test_three_lines_fit_the_smallest_phone(open_stage: OpenStage) -> None:
    for look in ("dark", "light"):
        hand = open_stage(size={"width": 320, "height": 640}, look=look)
        hand.begin()
        noted(hand, "alarm went off, she is dizzy, smells of gas")
        assert faults(hand) == []
        assert hand.page.evaluate("document.documentElement.scrollWidth") == 320
