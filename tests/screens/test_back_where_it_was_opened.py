"""A check that was opened from the drawing, the list or the record leads back there, answered or not."""

import pytest

from tests.screens.hand import Hand


@pytest.fixture
def walked(hand: Hand) -> Hand:
    hand.begin()
    hand.pass_gate()
    return hand


def screen_of(hand: Hand) -> str:
    return str(hand.page.evaluate("location.hash")).split("/", 3)[3]


def answered(hand: Hand, check: str) -> None:
    hand.tap(f'[data-answer="{hand.first_outcome(check)}"]')
    hand.until("(check) => fake.view.value.record.checks.some((one) => one.check === check)", check)
    hand.settle()


def test_after_an_answer_one_is_at_the_part_that_was_tapped(walked: Hand) -> None:
    walked.go("checks")
    walked.tap('.part[data-part="vent_run"]')
    line = walked.page.locator(".check-line").first
    check = str(line.get_attribute("data-check"))
    line.click()
    answered(walked, check)
    assert screen_of(walked) == "checks/vent_run"
    assert "open" not in walked.page.locator(f'[data-check="{check}"]').inner_text().split()
    assert walked.page.locator(".part").count() > 0


def test_back_leads_there_too_without_an_answer(walked: Hand) -> None:
    walked.go("checks/vent_run")
    walked.page.locator(".check-line").first.click()
    walked.tap(".back")
    walked.settle()
    assert screen_of(walked) == "checks/vent_run"


def test_an_answer_given_again_from_the_record_leads_back_to_the_record(walked: Hand) -> None:
    walked.go("record")
    walked.page.locator(".again").first.click()
    walked.page.locator("[data-could-not]").click()
    walked.tap('[data-answer="no_access"]')
    walked.until("() => location.hash.endsWith('/record')")


def test_a_stop_is_said_first_wherever_it_was_found(walked: Hand) -> None:
    walked.go("checks")
    walked.tap('.check-line[data-check="smell_of_gas"]')
    walked.tap('[data-answer="smell"]')
    walked.until("() => location.hash.endsWith('/walk')")
    walked.page.wait_for_selector(".stop-card")


@pytest.mark.parametrize(("check", "opened"), [("joints", "[data-could-not]"), ("run_length", "[data-wanted]")])
def test_back_from_the_reasons_and_from_the_pad_leads_to_the_question(walked: Hand, check: str, opened: str) -> None:
    walked.go(f"check/{check}")
    walked.tap(opened)
    assert walked.page.locator(f"{opened}, [data-answer=sound]").count() == 0
    walked.tap(".back")
    assert screen_of(walked) == f"check/{check}"
    assert walked.page.locator(opened).count() == 1
