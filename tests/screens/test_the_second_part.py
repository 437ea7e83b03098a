"""The screens that come after the first paint: what is said when they do not come."""

from tests.screens.conftest import OpenStage
from tests.screens.hand import Hand
from tests.screens.test_every_state_looks_right import faults


def away(open_stage: OpenStage) -> Hand:
    """A phone on which the second part does not open."""
    hand = open_stage(size={"width": 320, "height": 640})
    hand.page.goto(hand.page.url.split("#")[0] + "?late-away")
    hand.page.wait_for_selector("html[data-mounted]")
    return hand


def test_without_it_the_screen_says_what_is_safe_and_then_what_to_do(open_stage: OpenStage) -> None:
    hand = away(open_stage)
    hand.begin()
    hand.go("record")
    hand.page.wait_for_selector("text=This screen did not open")
    words = hand.words()
    assert words.index("Everything you saved is on this phone") < words.index("Start Undercroft again")
    assert faults(hand) == []


def test_without_it_the_list_and_the_walk_s_questions_go_on(open_stage: OpenStage) -> None:
    hand = away(open_stage)
    hand.begin()
    hand.answer("no_smell")
    hand.go("record")
    hand.page.get_by_role("link", name="Go on with the walk").click()
    hand.page.wait_for_selector("[data-answer]")
    assert hand.asked() == "symptoms"
