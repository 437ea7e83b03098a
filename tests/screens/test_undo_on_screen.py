"""The last entry and its Undo: always named, asked about where something hangs on it, with a way back."""

import pytest

from tests.screens.conftest import PHONE, OpenStage
from tests.screens.hand import JOB, Hand
from tests.screens.test_a_small_phone import SMALL
from tests.screens.test_danger_on_screen import find
from tests.screens.test_every_state_looks_right import faults

OTHER_JOB = "00000000-0000-7000-8000-000000000120"
SENT = "() => fake.syncNow()"
NEST = "Terminal and screen: Nest or debris"


@pytest.fixture
def nest(hand: Hand) -> Hand:
    """A nest was found ten minutes ago, as far as the screen knows, and is sent; then another job was looked at."""
    found(hand)
    come_back(hand)
    return hand


def found(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.go("check/terminal")
    hand.tap('[data-answer="nest_or_debris"]')
    hand.until("() => fake.view.value.danger.length === 1")


def come_back(hand: Hand) -> None:
    hand.go(f"/job/{OTHER_JOB}/home")
    hand.page.wait_for_selector("[data-start]")
    hand.tap("[data-start]")
    hand.page.evaluate(SENT)
    hand.go("record")
    hand.page.wait_for_selector(".saved")


def strip(hand: Hand) -> str:
    hand.settle()
    return " ".join(hand.page.locator(".saved").inner_text().split())


def test_coming_back_to_a_job_the_strip_names_the_last_entry_and_when_it_was_made(nest: Hand) -> None:
    assert strip(nest).startswith("Saved on this phone ")
    assert NEST in strip(nest)
    assert "restart" not in strip(nest)
    assert nest.page.evaluate("/[0-9]{2}:[0-9]{2}/.test(document.querySelector('.saved').textContent)")


def test_what_another_window_wrote_since_is_what_is_named(hand: Hand) -> None:
    hand.begin()
    hand.answer("no_smell")
    hand.page.wait_for_timeout(5)
    find(hand, "terminal", "nest_or_debris")
    assert NEST in strip(hand)
    hand.tap("[data-undo]")
    assert hand.last_event("withdrawn") is None


def test_one_tap_takes_back_nothing_that_is_unsafe(nest: Hand) -> None:
    nest.tap("[data-undo]")
    assert nest.last_event("withdrawn") is None
    assert "“Nest or debris” then no longer counts, and its warning goes." in strip(nest)
    assert faults(nest) == []
    nest.tap("[data-leave-it]")
    assert nest.page.locator("[data-take-it-back]").count() == 0
    assert nest.page.locator("[data-unsafe]").count() == 1


def test_an_unsafe_entry_is_asked_about_at_once_too(hand: Hand) -> None:
    found(hand)
    hand.tap("[data-undo]")
    assert hand.last_event("withdrawn") is None
    hand.tap("[data-take-it-back]")
    assert hand.last_event("withdrawn") is not None


def test_a_stop_is_asked_about(hand: Hand) -> None:
    hand.begin()
    find(hand, "co_room", None, 90)
    hand.go("walk")
    hand.page.wait_for_selector(".stop-card")
    hand.tap("[data-undo]")
    assert hand.last_event("withdrawn") is None
    hand.tap("[data-take-it-back]")
    assert hand.view("record.readings") == []


def test_what_was_sent_before_this_screen_was_opened_is_asked_about(hand: Hand) -> None:
    hand.begin()
    hand.answer("no_smell")
    come_back(hand)
    assert "Smell of gas: No smell" in strip(hand)
    hand.tap("[data-undo]")
    assert hand.last_event("withdrawn") is None
    assert "“No smell” is sent already" in strip(hand)
    hand.tap("[data-take-it-back]")
    assert hand.view("record.checks") == []


def test_an_ordinary_entry_goes_with_one_tap_while_it_waits_to_be_sent(hand: Hand) -> None:
    hand.begin()
    hand.answer("no_smell")
    hand.go(f"/job/{OTHER_JOB}/home")
    hand.go("walk")
    hand.tap("[data-undo]")
    assert hand.last_event("withdrawn") is not None


def test_leaving_it_off_is_noted_is_asked_about(hand: Hand) -> None:
    hand.begin()
    hand.page.evaluate(
        "(job) => fake.act(job, [{kind: 'left_off', body:"
        " {what_words: 'the heater', why_words: 'nest', told_words: 'the customer'}}])",
        JOB,
    )
    hand.go("record")
    hand.tap("[data-undo]")
    assert hand.last_event("withdrawn") is None
    assert "nothing says any more that it was left off" in strip(hand)


@pytest.mark.parametrize("size", [SMALL, PHONE], ids=lambda size: f"{size['width']}x{size['height']}")
@pytest.mark.parametrize("look", ["dark", "light"])
def test_undo_is_apart_from_the_way_of_the_warning_over_it(
    size: dict[str, int], look: str, open_stage: OpenStage
) -> None:
    hand = open_stage(size=size, look=look)
    found(hand)
    come_back(hand)
    way, undo = (hand.page.locator(one).first.bounding_box() for one in ("[data-unsafe] a", "[data-undo]"))
    assert way is not None
    assert undo is not None
    assert undo["x"] + undo["width"] < way["x"]
    hand.tap("[data-undo]")
    pair = [box for one in hand.page.locator(".saved .pair .button").all() if (box := one.bounding_box())]
    assert [box["height"] >= 64 for box in pair] == [True, True]
    assert faults(hand) == []


def test_the_line_read_aloud_is_of_no_other_job(nest: Hand) -> None:
    assert nest.page.locator("#announcer").inner_text() == ""


def test_what_was_unsafe_and_taken_back_stays_in_sight_until_it_is_answered_again(nest: Hand) -> None:
    nest.tap("[data-undo]")
    nest.tap("[data-take-it-back]")
    nest.page.wait_for_selector("[data-unsafe]", state="detached")
    assert f"taken back: {NEST}" in strip(nest)
    assert NEST in nest.page.locator("#announcer").inner_text()
    line = nest.page.locator(".line:has(s)", has_text="Nest or debris")
    assert "taken back" in line.inner_text()
    nest.go("checks")
    words = " ".join(nest.page.locator("[data-taken-back-strip]").inner_text().split())
    assert f"{NEST}. Taken back " in words
    assert faults(nest) == []
    nest.tap("[data-taken-back-strip] a")
    assert nest.asked() == "terminal"
    nest.tap('[data-answer="clear"]')
    nest.until("() => fake.view.value.record.checks.some((one) => one.check === 'terminal')")
    assert nest.page.locator("[data-taken-back-strip]").count() == 0


def test_an_ordinary_answer_that_was_taken_back_is_no_warning(hand: Hand) -> None:
    hand.begin()
    hand.answer("no_smell")
    hand.tap("[data-undo]")
    assert hand.page.locator("[data-taken-back-strip]").count() == 0
