"""The trade's words within reach of a thumb: tapped where they stand, explained over the foot of the screen, listed."""

import pytest

from service_worker.build.glossary import glossary
from service_worker.build.places import HERE
from tests.screens.conftest import OpenStage
from tests.screens.hand import Hand
from tests.screens.test_every_state_looks_right import faults

SMALL = {"width": 320, "height": 640}
BY_TERM = {entry["term"]: entry for entry in glossary(HERE)}
# Whatever can be tapped is hit all over: no word reaches into it.
TAPPED = "main button, main input, main summary, main a:not(.term)"
REACHED_INTO = """(tapped) => [...document.querySelectorAll(tapped)].filter((one) => {
  if (!one.checkVisibility()) return false;
  one.scrollIntoView({ block: 'center' });
  const { left, top, width, height } = one.getBoundingClientRect();
  return [0.1, 0.5, 0.9].some((x) => [0.05, 0.5, 0.95].some((y) =>
    document.elementFromPoint(left + x * width, top + y * height)?.closest('.term')));
}).length"""
TWICE = """() => {
  const terms = [...document.querySelectorAll('.term')].map((one) => one.dataset.term);
  return terms.length - new Set(terms).size;
}"""
OPEN = "document.querySelector('dialog[open]') !== null"
FOCUS_INSIDE = "document.querySelector('dialog[open]').contains(document.activeElement)"


@pytest.fixture
def at_limit(hand: Hand) -> Hand:
    """In front of the check of the limit."""
    hand.begin()
    hand.pass_gate()
    hand.go("check/limit_continuity")
    return hand


def is_open(hand: Hand) -> bool:
    return bool(hand.page.evaluate(OPEN))


def test_a_word_that_is_tapped_says_what_it_means_and_closes_again(at_limit: Hand) -> None:
    at_limit.page.tap('[data-term="Spade"]')
    assert BY_TERM["Spade"]["words"] in at_limit.page.locator("dialog").inner_text()
    at_limit.page.tap("[data-word-close]")
    at_limit.settle()
    assert at_limit.page.locator("dialog").count() == 0


@pytest.mark.parametrize("key", ["Enter", "Space"])
def test_by_the_keyboard_the_focus_goes_in_stays_in_and_comes_back(key: str, at_limit: Hand) -> None:
    at_limit.page.locator('[data-term="Limit"]').focus()
    at_limit.page.keyboard.press(key)
    assert at_limit.page.evaluate(FOCUS_INSIDE)
    for _ in range(3):
        at_limit.page.keyboard.press("Tab")
        assert at_limit.page.evaluate(f"document.activeElement === document.body || {FOCUS_INSIDE}")
    at_limit.page.keyboard.press("Escape")
    assert not is_open(at_limit)
    assert at_limit.page.evaluate("document.activeElement.dataset.term") == "Limit"


def test_a_tap_beside_the_sheet_closes_it_and_going_back_takes_it_along(at_limit: Hand) -> None:
    at_limit.page.tap('[data-term="Limit"]')
    at_limit.page.touchscreen.tap(200, 40)
    assert not is_open(at_limit)
    at_limit.page.tap('[data-term="Limit"]')
    at_limit.go("record")
    assert not is_open(at_limit)


def test_a_reader_of_the_screen_hears_the_word_and_what_it_means(at_limit: Hand) -> None:
    at_limit.page.tap('[data-term="Limit"]')
    sheet = at_limit.page.get_by_role("dialog", name="Limit")
    assert sheet.count() == 1
    assert "Opening is its job" in at_limit.page.locator(f"#{sheet.get_attribute('aria-describedby')}").inner_text()
    assert sheet.get_by_role("button", name="Close").count() == 1


def test_every_word_is_marked_once_on_a_screen_and_reaches_into_nothing_that_is_tapped(open_stage: OpenStage) -> None:
    hand = open_stage(size=SMALL)
    hand.begin()
    hand.pass_gate()
    terms = 0
    wrong = {}
    for check in hand.view("procedure.checks.map((one) => one.id)"):
        hand.go(f"check/{check}")
        terms += hand.page.locator(".term").count()
        inside = hand.page.locator("button .term, label .term, a .term").count()
        if (found := [hand.page.evaluate(TWICE), inside, hand.page.evaluate(REACHED_INTO, TAPPED)]) != [0, 0, 0]:
            wrong[check] = found
    assert wrong == {}
    assert terms > 60


def test_what_is_half_typed_stays_while_a_word_is_read(at_limit: Hand) -> None:
    at_limit.go("check/co_room")
    at_limit.tap("[data-wanted]")
    at_limit.type_number("12")
    at_limit.page.tap('[data-term="ppm"]')
    at_limit.page.tap("[data-word-close]")
    assert at_limit.page.locator("[data-typed]").inner_text() == "12"


@pytest.mark.parametrize("look", ["dark", "light"])
def test_the_sheet_is_whole_with_text_at_200_percent_on_the_smallest_phone(look: str, open_stage: OpenStage) -> None:
    hand = open_stage(size=SMALL, look=look, text_percent=200)
    hand.begin()
    hand.go("check/tp_valve")
    hand.page.tap('[data-term="T&P valve"]')
    box = hand.page.locator("[data-word-close]").bounding_box()
    assert box is not None
    assert box["height"] >= 64
    assert box["y"] + box["height"] <= SMALL["height"]
    assert faults(hand) == []


def test_every_check_says_why_it_is_asked(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    for check in hand.view("procedure.checks"):
        hand.go(f"check/{check['id']}")
        assert f"Why: {check['why']}" in hand.words(), check["id"]
        assert hand.words().count(check["why"]) == 1, check["id"]


def test_all_words_are_listed_from_the_jobs_page_and_found_by_a_few_letters(hand: Hand) -> None:
    hand.begin()
    hand.go("home")
    hand.page.get_by_role("link", name="Words of the trade").click()
    hand.page.wait_for_selector("[data-word]")
    assert hand.page.locator("[data-word]").count() == len(BY_TERM)
    hand.page.fill("#word-sought", "energy cut")
    found = [words.split("\n\n") for words in hand.page.locator("[data-word]").all_inner_texts()]
    assert found == [["ECO", "Also: energy cut-off", BY_TERM["ECO"]["words"]]]
    hand.page.fill("#word-sought", "zzz")
    assert "No such word" in hand.words()
    assert faults(hand) == []


def test_the_list_is_reached_from_all_checks_too(hand: Hand) -> None:
    hand.begin()
    hand.go("checks")
    hand.page.get_by_role("link", name="Words of the trade").click()
    hand.page.wait_for_selector("[data-word]")
    hand.page.get_by_role("link", name="Back").click()
    hand.page.wait_for_selector("h1:has-text('14 Tannery Row')")


def test_without_the_second_part_the_texts_are_plain_and_whole(open_stage: OpenStage) -> None:
    hand = open_stage()
    hand.page.goto(hand.page.url.split("#")[0] + "?late-away")
    hand.page.wait_for_selector("html[data-mounted]")
    hand.begin()
    assert "Detector at 20 % LEL or more" in hand.words()
    assert hand.page.locator(".term").count() == 0


def test_the_suspects_names_can_be_tapped_too(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.go("suspects")
    hand.page.tap('.suspect [data-term="Terminal"]')
    assert BY_TERM["Terminal"]["words"] in hand.page.locator("dialog").inner_text()
