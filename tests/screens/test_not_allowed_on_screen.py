"""Whoever may not work on live parts walks as far as they may: the rest is handed over by name, and is no result."""

from tests.screens.hand import JOB, Hand

NOT_ALLOWED = """([job, checks]) => fake.act(job, checks.map((check) =>
  ({ kind: 'check_answered', schema: 2, body: { check, outcome: null, could_not: 'not_allowed' } })))"""


def walk_without_the_rest(hand: Hand) -> list[str]:
    """Pass the gate, and leave everything else to somebody allowed."""
    hand.begin()
    hand.pass_gate()
    gate = hand.view("procedure.gate")
    rest = [str(one["id"]) for one in hand.view("procedure.checks") if one["id"] not in gate and not one["from_event"]]
    hand.page.evaluate(NOT_ALLOWED, [JOB, rest])
    hand.until("(many) => fake.view.value.record.checks.length > many", len(rest))
    hand.go("walk")
    return rest


def test_the_end_names_what_is_left_to_others_and_hands_it_over(hand: Hand) -> None:
    rest = walk_without_the_rest(hand)
    assert hand.heading() == "This is as far as you may go"
    title = hand.view(f"procedure.checks.find((one) => one.id === '{rest[0]}').title")
    assert title in hand.page.locator("[data-left-to-others]").inner_text()
    hand.tap("text=Hand it over")
    hand.page.wait_for_selector('[data-answer="handed_over"]')
    assert hand.page.locator("[data-answer]").count() == 1
    hand.tap('[data-answer="handed_over"]')
    assert "to whom" in hand.page.locator('[role="alert"]').inner_text()
    hand.page.fill("#close-words", "Ugo, on Friday")
    hand.tap('[data-answer="handed_over"]')
    hand.until("() => fake.view.value.record.closed?.state === 'handed_over'")


def test_what_could_be_done_after_all_is_left_to_nobody(hand: Hand) -> None:
    walk_without_the_rest(hand)
    before = hand.page.locator("[data-left-to-others]").inner_text()
    hand.go("check/tp_valve")
    hand.tap(f'[data-answer="{hand.first_outcome("tp_valve")}"]')
    hand.go("walk")
    title = hand.view("procedure.checks.find((one) => one.id === 'tp_valve').title")
    assert title in before
    assert title not in hand.page.locator("[data-left-to-others]").inner_text()
