"""A figure that was typed and not answered yet: nothing of it is lost, and the pad is whole under a warning."""

import pytest

from tests.screens.conftest import PHONE, OpenStage
from tests.screens.hand import Hand
from tests.screens.test_a_small_phone import SMALL
from tests.screens.test_danger_on_screen import find
from tests.screens.test_every_state_looks_right import faults
from tests.screens.test_figures_on_screen import to_the_gauge

KEYS = """() => {
  const cover = document.querySelector('.pad > .pair').getBoundingClientRect().top;
  const keys = [...document.querySelectorAll('.pad-keys .pad-key')].map((one) => one.getBoundingClientRect());
  const least = Math.min(...keys.map((one) => one.height));
  return { covered: keys.filter((one) => one.bottom > cover).length, least };
}"""
REPAIR = "fake.act(fake.view.value.card.job_id, [{kind: 'repair_made', body: {action: 'new_tube'}}])"
HIDE = """() => {
  Object.defineProperty(document, 'hidden', { configurable: true, get: () => true });
  document.dispatchEvent(new Event('visibilitychange'));
  delete document.hidden;
}"""


@pytest.fixture
def typed(hand: Hand) -> Hand:
    type_two(hand)
    return hand


def type_two(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.page.evaluate(REPAIR)
    hand.go("check/co_room")
    hand.tap("[data-wanted]")
    hand.type_number("1")
    hand.tap("[data-pad-done]")
    hand.page.wait_for_selector(".said")


def room_co(hand: Hand) -> list[float]:
    return [one["value"] for one in hand.view("record.readings") if one["quantity"] == "co_room_ppm"]


def test_a_figure_is_saved_when_one_leaves_before_the_answer(typed: Hand) -> None:
    assert room_co(typed) == [2]
    typed.tap(".back")
    typed.until("() => fake.view.value.record.readings.length === 2")
    assert room_co(typed) == [2, 1]
    typed.go("record")
    assert "CO in the room: 1 ppm" in typed.page.locator(".saved").inner_text()
    typed.go("check/co_room")
    words = " ".join(typed.page.locator(".recorded").inner_text().split())
    assert "1 ppm Rosa Lindqvist, " in words
    assert "Not answered yet" in words
    said = typed.page.locator(".said").inner_text()
    assert "By your figures" in said
    assert "Saved on this phone." in said
    assert faults(typed) == []
    typed.tap('[data-answer="acceptable"]')
    typed.go("record")
    assert room_co(typed) == [2, 1]


def test_a_figure_that_stops_comes_back_with_what_it_bars(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    find(hand, "co_room", None, 90)
    hand.go("check/co_room")
    hand.page.wait_for_selector("[data-out-now]")
    assert hand.page.locator('[data-barred][data-answer="acceptable"]').count() == 1
    hand.page.evaluate(REPAIR)
    hand.until("() => document.querySelector('[data-wanted]') !== null")  # read before it, it says nothing of after it
    hand.go("record")
    hand.go("check/co_room")
    assert hand.page.locator("[data-wanted]").count() == 1


SLOW = """() => {
  const act = fake.act.bind(fake);
  fake.act = (...all) => new Promise((done) => setTimeout(done, 300)).then(() => act(...all));
}"""


def test_whoever_goes_back_while_the_answer_is_on_its_way_saves_its_figure_once(typed: Hand) -> None:
    typed.page.evaluate(SLOW)
    typed.page.click('[data-answer="acceptable"]')
    typed.page.evaluate("history.back()")
    typed.until("() => fake.view.value.record.readings.length > 1")
    typed.go("check/co_room")
    assert "Not answered yet" not in typed.words()
    assert room_co(typed) == [2, 1]


def test_what_is_left_without_an_answer_takes_the_place_of_no_figure(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    find(hand, "co_room", None, 90)
    hand.go("check/co_room")
    hand.tap("[data-typed-figure]")
    hand.type_number("3")
    hand.tap("[data-pad-done]")
    hand.page.wait_for_selector(".said")
    hand.go("record")
    hand.until("() => fake.view.value.record.readings.some((one) => one.value === 3)")
    assert 90 in room_co(hand)


def test_it_is_saved_when_the_phone_is_put_away_and_only_once(typed: Hand) -> None:
    typed.page.evaluate(HIDE)
    typed.until("() => fake.view.value.record.readings.length === 2")
    assert "Saved on this phone." in typed.page.locator(".said").inner_text()
    typed.page.evaluate(HIDE)
    typed.tap('[data-answer="acceptable"]')
    typed.go("record")
    assert room_co(typed) == [2, 1]


def half_typed(hand: Hand) -> None:
    """The first of two figures, and half of the second."""
    to_the_gauge(hand)
    hand.tap("[data-wanted]")
    hand.type_number("0.9")
    hand.tap("[data-pad-done]")
    hand.type_number("0.3")


def start_anew(hand: Hand) -> None:
    """The page is started again: the record as it was, the job opened from the list."""
    hand.page.evaluate("dispatchEvent(new Event('pagehide'))")
    events = hand.page.evaluate("fake.written()")
    hand.reload()
    hand.page.evaluate("(written) => fake.restore(written, [])", events)
    hand.go("/jobs")


def suction(hand: Hand) -> list[float]:
    return [one["value"] for one in hand.view("record.readings") if one["quantity"] == "suction_in_wc"]


def test_the_first_of_two_figures_waits_for_the_second_over_a_look_elsewhere(hand: Hand) -> None:
    half_typed(hand)
    hand.go("record")
    hand.until("() => fake.view.value.record.readings.some((one) => one.value === 0.9)")
    hand.go("check/suction_at_switch")
    assert hand.page.locator("[data-typed]").inner_text() == "0.3"
    hand.tap("[data-pad-done]")
    hand.page.wait_for_selector(".said")
    hand.tap('[data-answer="enough"]')
    hand.until("() => fake.view.value.record.checks.some((one) => one.check === 'suction_at_switch')")
    assert suction(hand) == [0.9]


def test_after_a_new_start_the_figures_stand_and_only_an_answer_saves_them(hand: Hand) -> None:
    half_typed(hand)
    start_anew(hand)
    hand.go("check/suction_at_switch")
    hand.until("() => document.querySelector('[data-typed]')?.textContent === '0.3'")
    assert "before the restart" in hand.page.locator("[data-unsaved]").inner_text()
    assert faults(hand) == []
    hand.tap("[data-pad-cancel]")
    assert "Not answered yet" in hand.page.locator("[data-unsaved]").inner_text()
    assert faults(hand) == []
    hand.go("home")
    assert suction(hand) == []
    hand.tap("[data-unsaved-forms] a")
    hand.until("() => document.querySelector('[data-wanted]') !== null")
    hand.tap("[data-wanted]")
    hand.type_number("0.3")
    hand.tap("[data-pad-done]")
    hand.tap('[data-answer="enough"]')
    hand.until("() => fake.view.value.record.checks.some((one) => one.check === 'suction_at_switch')")
    assert suction(hand) == [0.9]
    hand.go("home")
    assert hand.page.locator("[data-unsaved-forms]").count() == 0


def test_with_its_answer_it_is_saved_once(typed: Hand) -> None:
    typed.tap('[data-answer="acceptable"]')
    typed.go("record")
    typed.go("checks")
    assert room_co(typed) == [2, 1]


def test_one_person_before_and_after_a_repair_is_not_called_two(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    find(hand, "terminal", "nest_or_debris")
    hand.page.evaluate(REPAIR)
    find(hand, "terminal", "clear")
    hand.go("check/terminal")
    words = hand.page.locator(".recorded").inner_text()
    assert "Before the repair, and after it. Both stay." in words
    assert "Two people" not in words


@pytest.mark.parametrize(
    ("size", "look", "text_percent"), [(SMALL, "dark", 100), (SMALL, "light", 100), (PHONE, "dark", 200)]
)
def test_every_key_of_the_pad_is_in_reach_under_a_warning(
    size: dict[str, int], look: str, text_percent: int, open_stage: OpenStage
) -> None:
    hand = open_stage(size=size, look=look, text_percent=text_percent)
    hand.begin()
    hand.pass_gate()
    find(hand, "co_room", "raised", 24)
    hand.go("check/co_room")
    hand.tap("[data-wanted]")
    assert hand.page.locator("[data-unsafe]").is_visible()
    keys = hand.page.evaluate(KEYS)
    assert keys["covered"] == 0
    assert keys["least"] >= 48
    assert faults(hand) == []


def test_a_phone_with_room_keeps_its_keys_and_the_way_of_the_warning(open_stage: OpenStage) -> None:
    hand = open_stage(size=PHONE)
    hand.begin()
    hand.pass_gate()
    find(hand, "co_room", "raised", 24)
    hand.go("check/co_room")
    hand.tap("[data-wanted]")
    assert hand.page.evaluate(KEYS) == {"covered": 0, "least": 72}
    assert hand.page.locator("[data-unsafe] a").is_visible()


def test_the_way_in_leaves_the_jobs_page_in_sight_with_the_largest_text(open_stage: OpenStage) -> None:
    hand = open_stage(size=PHONE, text_percent=200)
    hand.begin()
    hand.go("home")
    dock = hand.page.locator(".dock").bounding_box()
    assert dock is not None
    assert dock["height"] <= 844 / 3
    assert faults(hand) == []
