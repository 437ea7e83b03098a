"""What was never so is taken back from the record, whenever it was noted, and stays there struck through."""

import pytest

from tests.screens.conftest import OpenStage
from tests.screens.hand import JOB, Hand
from tests.screens.test_every_state_looks_right import faults

NOTED = """([job]) => fake.act(job, [
  {kind: 'repair_made', body: {action: 'new_tube'}},
  {kind: 'part_used', body: {part_words: 'sensing tube, Gummischlauchverbindungsstück', count: 2, direction: 'fitted'}},
  {kind: 'proof_run', schema: 2, body: {passed: true, minutes: 12, restarts: 2, looks_done: []}},
  {kind: 'note', body: {words: 'the other heater was looked at'}},
])"""
RESTART = """async () => {
  fake.restore(fake.written(), []);
  location.hash = '#/jobs';
}"""
KINDS = ["Repair", "Fitted", "Hot run", "Note"]


@pytest.fixture
def noted(hand: Hand) -> Hand:
    hand.begin()
    hand.pass_gate()
    hand.page.evaluate(NOTED, [JOB])
    hand.page.evaluate("(job) => fake.act(job, [{kind: 'hunch', body: {cause: 'terminal_blocked'}}])", JOB)
    hand.go("record")
    return hand


def take_back(hand: Hand, what: str) -> None:
    hand.tap(f'[data-take-back][aria-label^="Take back: {what}"]')
    hand.tap("[data-take-it-back]")
    hand.page.wait_for_selector(f'.line:has([data-taken-back]):has-text("{what}")')


@pytest.mark.parametrize("what", KINDS)
def test_what_is_no_longer_the_last_entry_is_taken_back_and_stays_on_the_record(what: str, noted: Hand) -> None:
    take_back(noted, what)
    line = noted.page.locator(f'.line:has(s):has-text("{what}")')
    assert line.count() == 1
    assert line.locator("[data-taken-back]").inner_text().startswith("taken back ")
    assert noted.page.locator("[data-take-back]").count() == len(KINDS) - 1
    assert noted.last_event("withdrawn")["body"] == {}
    kept = [len(noted.view(f"record.{name}")) for name in ("repairs", "parts", "proofs", "notes")]
    assert sorted(kept) == [0, 1, 1, 1]


def test_it_asks_once_and_a_tap_beside_leaves_it(noted: Hand) -> None:
    button = noted.page.locator('[data-take-back][aria-label^="Take back: Hot run"]')
    button.click()
    assert button.get_attribute("aria-expanded") == "true"
    assert faults(noted) == []
    noted.tap("text=Keep it")
    assert noted.page.locator("[data-take-it-back]").count() == 0
    assert noted.last_event("withdrawn") is None


def test_a_hot_run_that_is_taken_back_proves_nothing(noted: Hand) -> None:
    take_back(noted, "Hot run")
    noted.go("close")
    noted.page.wait_for_selector("[data-refused]", state="attached")
    assert "proven" in noted.page.locator("[data-refused]").first.get_attribute("data-refused").split()


def test_it_is_taken_back_after_a_restart_too(noted: Hand) -> None:
    noted.page.evaluate(RESTART)
    noted.settle()
    noted.go("record")
    noted.page.wait_for_selector("[data-take-back]")
    take_back(noted, "Repair")
    assert noted.view("record.repairs") == []


def test_another_persons_line_and_a_closed_job_s_cannot_be_taken_back(noted: Hand) -> None:
    noted.page.evaluate(
        "async (job) => { fake.write(job, [{kind: 'note', body: {words: 'by the other'}}],"
        " '00000000-0000-7000-8000-0000000000a2', new Date().toISOString()); await fake.openJob(job); }",
        JOB,
    )
    assert noted.page.locator('[data-take-back][aria-label*="by the other"]').count() == 0
    noted.page.evaluate("(job) => fake.act(job, [{kind: 'job_closed', body: {state: 'handed_over', words: 'x'}}])", JOB)
    noted.go("record")
    noted.page.wait_for_selector(".line")
    assert noted.page.locator("[data-take-back]").count() == 0


@pytest.mark.parametrize("look", ["dark", "light"])
def test_the_question_fits_the_smallest_phone(look: str, open_stage: OpenStage) -> None:
    hand = open_stage(size={"width": 320, "height": 640}, look=look)
    hand.begin()
    hand.page.evaluate(NOTED, [JOB])
    hand.go("record")
    take_back(hand, "Fitted")
    hand.tap('[data-take-back][aria-label^="Take back: Repair"]')
    assert faults(hand) == []
    assert all((box := one.bounding_box()) and box["height"] >= 64 for one in hand.page.locator(".pair .button").all())
