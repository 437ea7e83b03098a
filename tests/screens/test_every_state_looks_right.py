"""States that content alone does not bring about: empty, loading, in trouble, full, long words, big text, both looks.

On each: axe finds nothing, every target is 44 px, nothing goes sideways, one heading of the first rank.
"""

from collections.abc import Callable
from pathlib import Path

import pytest

from e2e.axe import axe_violations
from tests.screens.conftest import OpenStage
from tests.screens.hand import Hand

TOO_SMALL = (Path(__file__).parents[2] / "e2e" / "small_targets.js").read_text("utf-8")
TOO_WIDE = "document.scrollingElement.scrollWidth - document.scrollingElement.clientWidth"
SCREENS = [
    "home",
    "walk",
    "checks",
    "checks/terminal",
    "check/suction_at_switch",
    "suspects",
    "hunch",
    "record",
    "cause",
]
SCREENS += ["below", "kit", "heater", "chain", "agreed", "office-told", "put-back", "words"]
SCREENS += ["repair", "proof", "close", "left-off", "note", "check/no_such_check", "/phone", "/nowhere"]
LOOKS = [
    pytest.param({"size": {"width": 390, "height": 844}, "look": "dark"}, id="lamp 390"),
    pytest.param({"size": {"width": 320, "height": 640}, "look": "light"}, id="daylight 320"),
    pytest.param(
        {"size": {"width": 320, "height": 640}, "look": "dark", "text_percent": 200}, id="text at 200 % on 320"
    ),
]


def faults(hand: Hand, *, deep: bool = True) -> list[object]:
    """What is wrong with the screen as it stands."""
    over_px = hand.page.evaluate(TOO_WIDE)
    headings = hand.page.locator("h1").count()
    found: list[object] = [f"{over_px} px too wide"] if over_px > 0 else []
    found += [f"{headings} first headings"] if headings != 1 else []
    found += [f"too small: {words}" for words in hand.page.evaluate(TOO_SMALL)]
    return found + (axe_violations(hand.page) if deep else [])


@pytest.mark.parametrize("look", LOOKS)
def test_every_screen_of_a_job(look: dict[str, object], open_stage: OpenStage) -> None:
    hand = open_stage(**look)
    hand.begin()
    hand.pass_gate()
    wrong = {}
    for screen in SCREENS:
        hand.go(screen)
        if found := faults(hand):
            wrong[screen] = found
    assert wrong == {}


def empty(hand: Hand) -> None:
    hand.page.evaluate("fake.jobs.value = []")


def signed_out(hand: Hand) -> None:
    hand.page.evaluate("fake.person.value = null")


def not_ready(hand: Hand) -> None:
    hand.page.evaluate(
        "fake.readiness.value = {ready: false, steps: fake.readiness.value.steps.map((s) => ({...s, done: false}))}"
    )


def update_waits(hand: Hand) -> None:
    hand.page.evaluate("fake.updateWaiting.value = true")


def in_trouble(hand: Hand) -> None:
    hand.page.evaluate(
        "fake.queue.value = {...fake.queue.value, waiting: 212, parked: 3, photos_waiting: 9, trouble: 'revoked'}"
    )
    hand.go("/phone")
    hand.tap("[data-sign-out]")


def unknown_job(hand: Hand) -> None:
    hand.go("/job/no-such-job/walk")


def engine_away(hand: Hand) -> None:
    hand.begin()
    hand.page.evaluate("fake.engineAway = true")
    hand.tap("[data-answer] >> nth=0")


def stopped(hand: Hand) -> None:
    hand.begin()
    hand.answer("smell")


def could_not(hand: Hand) -> None:
    hand.begin()
    hand.tap("[data-could-not]")


def disk_full(hand: Hand) -> None:
    hand.begin()
    hand.page.evaluate("fake.failNext = new CoreError('disk_full', 'full')")
    hand.tap("[data-answer] >> nth=0")


def number_pad_in_doubt(hand: Hand) -> None:
    hand.begin()
    hand.go("check/co_room")
    hand.tap("[data-wanted]")
    hand.type_number("123456")


def code_in_letters(hand: Hand) -> None:
    hand.begin()
    hand.go("check/control_code")
    hand.tap('[data-answer="text"]')


STATES = [
    empty,
    signed_out,
    not_ready,
    update_waits,
    in_trouble,
    unknown_job,
    engine_away,
    stopped,
    could_not,
    disk_full,
]
STATES += [number_pad_in_doubt, code_in_letters]


@pytest.mark.parametrize("state", STATES, ids=lambda state: state.__name__)
def test_every_state(state: Callable[[Hand], None], open_stage: OpenStage) -> None:
    for look in ({"look": "dark"}, {"look": "light", "size": {"width": 320, "height": 640}}):
        hand = open_stage(**look)
        state(hand)
        hand.settle()
        assert faults(hand) == [], look


def test_a_street_of_forty_letters_and_a_word_of_forty_fit_on_the_smallest_phone(open_stage: OpenStage) -> None:
    hand = open_stage(size={"width": 320, "height": 640})
    assert faults(hand) == []
    hand.tap(".card >> nth=1")
    hand.page.wait_for_selector("[data-start]")
    assert faults(hand) == []
    hand.tap("[data-start]")
    hand.page.wait_for_selector("[data-check]")
    assert faults(hand) == []


def test_a_store_that_will_not_open_is_said_and_never_a_blank_page(open_stage: OpenStage) -> None:
    hand = open_stage()
    hand.page.goto(hand.page.url.split("#")[0] + "?store-shut")
    hand.page.wait_for_selector("text=could not open its store")
    assert "still there" in hand.words()
    assert faults(hand) == []


def test_nothing_moves_for_those_who_asked_for_stillness(open_stage: OpenStage) -> None:
    hand = open_stage(reduced=True)
    moving = hand.page.evaluate(
        """[...document.querySelectorAll('*')]
            .filter((e) => parseFloat(getComputedStyle(e).transitionDuration) > 0).length"""
    )
    assert moving == 0


def test_the_page_may_be_zoomed_and_says_its_language(hand: Hand) -> None:
    content = hand.page.get_attribute("meta[name=viewport]", "content") or ""
    assert "user-scalable" not in content
    assert "maximum-scale" not in content
    assert hand.page.get_attribute("html", "lang") == "en"


def test_figures_stand_in_columns(hand: Hand) -> None:
    assert hand.page.evaluate("getComputedStyle(document.body).fontVariantNumeric") == "tabular-nums"


def test_our_own_type_is_what_is_shown(hand: Hand) -> None:
    assert hand.page.evaluate(
        "document.fonts.ready.then(() => document.fonts.check('17px \"Atkinson Hyperlegible Next\"'))"
    )
