"""The smallest phone: what to do is in sight beside the answers, a stop beside its ways out; the focus goes as seen."""

import pytest

from tests.screens.conftest import OpenStage
from tests.screens.hand import Hand
from tests.screens.test_a_small_phone import SMALL, below_at_a_long_street, is_in_sight
from tests.screens.test_every_state_looks_right import faults

PROCEDURES = ("power_vent", "standing_pilot")
# Above the foot, and above the answers where these stay while the rest scrolls.
UNCOVERED = """(selector) => {
  const tops = [...document.querySelectorAll('footer, .dock')]
    .filter((one) => getComputedStyle(one).position === 'sticky').map((one) => one.getBoundingClientRect().top);
  const one = document.querySelector(selector);
  return one !== null && one.getBoundingClientRect().bottom <= Math.min(...tops) + 1;
}"""
# Where each thing that takes the focus stands, in the order in which it takes it; the answers in their dock stand last.
FOCUS_TOPS = """() => [...document.querySelectorAll('main :is(a[href], button, input, [tabindex="0"])')]
  .filter((one) => one.checkVisibility())
  .map((one) => [one.closest('.dock') && getComputedStyle(one.closest('.dock')).position === 'sticky' ? 1e6 : 0, one])
  .map(([last, one]) => last + Math.round((one.closest('label') ?? one).getBoundingClientRect().top + scrollY))"""
WHOLE = (
    "(one) => one.getBoundingClientRect().bottom <= document.querySelector('footer').getBoundingClientRect().top + 1"
)
WAYS_OUT = "[data-came-out], [data-out-folded], [data-i-am-out]"
CUT = "(selector) => { const one = document.querySelector(selector); return one.scrollWidth - one.clientWidth; }"
ALLOWED = "() => { const { view } = fake; view.value = {...view.value, advice: {...view.value.advice, blocked: []}}; }"


@pytest.fixture(params=PROCEDURES)
def stage_procedure(request: pytest.FixtureRequest) -> str:
    found: str = request.param
    return found


@pytest.fixture
def small(open_stage: OpenStage) -> Hand:
    hand = open_stage(size=SMALL)
    hand.begin()
    hand.pass_gate()
    below_at_a_long_street(hand)
    return hand


def open_all(hand: Hand) -> list[str]:
    """Every check but the code's, as if nothing had to stand first."""
    hand.page.evaluate(ALLOWED)
    return [str(check["id"]) for check in hand.view("procedure.checks") if check["from_event"] is None]


def test_the_first_step_is_in_sight_with_the_answers(small: Hand) -> None:
    """Of 54 and 39 checks. Where it is not, question, caution, what was recorded and a clock leave no room."""
    hidden = []
    for check in open_all(small):
        small.go(f"check/{check}")
        if not small.page.evaluate(UNCOVERED, ".how li"):
            hidden.append(check)
    assert len(hidden) <= 4, hidden


def test_steps_that_are_covered_are_told_of_and_one_tap_away(small: Hand) -> None:
    small.go("check/tp_valve")
    cue = small.page.locator(".more-below")
    assert cue.inner_text() == "Steps below"
    assert not small.page.evaluate(UNCOVERED, ".normal")
    small.page.locator(".more-below").evaluate("(one) => one.click()")  # a driver's tap may scroll first, and hide it
    small.until("() => document.querySelector('.more-below').hidden")
    assert small.page.evaluate(UNCOVERED, ".normal")


def test_the_focus_goes_down_the_page_as_it_is_seen(small: Hand) -> None:
    leaps = {}
    for check in open_all(small):
        small.go(f"check/{check}")
        tops = small.page.evaluate(FOCUS_TOPS)
        if tops != sorted(tops):
            leaps[check] = tops
    assert leaps == {}


def stops_of(hand: Hand) -> list[tuple[str, str]]:
    return [
        (str(check["id"]), str(outcome["id"]))
        for check in hand.view("procedure.checks")
        for outcome in check["outcomes"]
        if outcome["stop_words"]
    ]


def test_every_stop_is_whole_in_sight_with_the_way_out_and_the_foot_tells_of_answering_anew(small: Hand) -> None:
    stops = stops_of(small)
    assert len(stops) >= 7
    for check, outcome in stops:
        answer = {"check": check, "outcome": outcome, "could_not": None}
        small.page.evaluate("(body) => fake.act(fake.view.value.card.job_id, [{kind: 'check_answered', body}])", answer)
        small.go("walk")
        small.page.wait_for_selector(".stop-card")
        assert small.page.evaluate(UNCOVERED, ".stop-words"), outcome
        assert small.page.locator(".dock .button").count() == 3
        assert is_in_sight(small, ".stop-card h1, [data-after-stop]"), outcome
        assert small.page.evaluate(UNCOVERED, "[data-stop-tell]"), (
            outcome
        )  # whom to ring, with the door behind one's back
        covered = [one for one in small.page.locator(".dock .button").all() if not one.evaluate(WHOLE)]
        told = small.page.locator(".more-below")
        assert told.inner_text() == f"{len(covered)} more below" if covered else told.is_hidden(), outcome
        small.page.evaluate("fake.undoLast(fake.view.value.card.job_id)")
        small.go("record")


@pytest.mark.parametrize("look", ["dark", "light"])
def test_with_the_largest_text_the_foot_tells_of_the_ways_out_of_a_stop(look: str, open_stage: OpenStage) -> None:
    hand = open_stage(size=SMALL, text_percent=200, look=look)
    hand.begin()
    hand.answer("smell")
    assert hand.page.locator(".more-below").inner_text() == "3 more below"
    assert faults(hand, deep=False) == []
    hand.page.evaluate("scrollTo(0, 0)")
    hand.tap(".more-below")
    hand.until("() => document.querySelector('.more-below').hidden")


def go_on_to_the_rooms_co(hand: Hand) -> None:
    for _ in range(6):
        if hand.asked() == "co_room":
            break
        hand.answer(hand.first_outcome(str(hand.asked())))


def test_an_unsafe_figure_stands_alone_with_the_way_out(open_stage: OpenStage) -> None:
    hand = open_stage(size=SMALL)
    hand.begin()
    go_on_to_the_rooms_co(hand)
    below_at_a_long_street(hand)
    hand.go("check/co_room")
    hand.tap("[data-wanted]")
    hand.type_number("200")
    hand.tap("[data-pad-done]")
    hand.page.wait_for_selector("[data-out-now]")
    assert is_in_sight(hand, '[data-out-now], [data-answer="leave"], [data-typed-figure], [data-out-folded]')
    assert hand.page.locator(".saved").count() == 0  # a green word over it would be of something else


def test_in_the_walk_a_figure_that_stops_it_shows_the_stop_at_once(open_stage: OpenStage) -> None:
    hand = open_stage(size=SMALL)
    hand.begin()
    go_on_to_the_rooms_co(hand)
    hand.tap("[data-wanted]")
    hand.type_number("200")
    hand.tap("[data-pad-done]")
    hand.page.wait_for_selector(".stop-card")
    assert is_in_sight(hand, ".stop-card h1, .stop-words, .dock .button")
    assert "CO in the room: 200 ppm" in hand.page.locator(".saved").inner_text()
    assert hand.page.locator("main > .soft").inner_text() == "CO in the room: 200 ppm"
    hand.tap("[data-undo]")
    hand.tap("[data-take-it-back]")
    hand.page.wait_for_selector("[data-wanted]")
    assert hand.view("record.readings") == []


def test_the_foot_takes_two_lines_at_most(small: Hand) -> None:
    small.page.evaluate(
        "fake.queue.value = {...fake.queue.value, waiting: 212, trouble: 'offline',"
        " waiting_since: new Date(Date.now() - 3 * 86400000).toISOString()}"
    )
    for screen in ("check/burn_marks", "check/terminal", "record"):
        small.go(screen)
        line_px = small.page.evaluate("parseFloat(getComputedStyle(document.querySelector('.queue-line')).lineHeight)")
        assert small.page.evaluate("document.querySelector('footer').offsetHeight") <= 2 * line_px + 8
    assert faults(small) == []


def test_a_heaters_name_is_never_cut(open_stage: OpenStage) -> None:
    for text_percent in (100, 200):
        hand = open_stage(size=SMALL, text_percent=text_percent)
        hand.begin()
        hand.pass_gate()
        for screen in ("checks", "record", "note"):
            hand.go(screen)
            assert hand.page.evaluate(CUT, ".where .soft") <= 0


def test_what_was_typed_stands_beside_the_answers_and_nothing_older_is_called_saved(open_stage: OpenStage) -> None:
    hand = open_stage()
    hand.begin()
    go_on_to_the_rooms_co(hand)
    assert hand.page.locator(".saved").count() == 1
    hand.tap("[data-wanted]")
    hand.type_number("24")
    hand.tap("[data-pad-done]")
    hand.page.wait_for_selector(".said")
    assert hand.page.locator("[data-typed-figure]").inner_text() == "24 ppm"
    assert "Saved with the answer." in hand.page.locator(".said").inner_text()
    assert hand.page.locator(".saved").count() == 0
    hand.tap("[data-typed-figure]")
    hand.type_number("7")
    hand.tap("[data-pad-done]")
    assert hand.page.locator("[data-typed-figure]").inner_text() == "7 ppm"


def test_i_am_out_is_one_tap_away_on_every_check(small: Hand) -> None:
    for check in open_all(small):
        small.go(f"check/{check}")
        shown = [one for one in small.page.locator(WAYS_OUT).all() if one.is_visible()]
        assert len(shown) == 1, check
        box = shown[0].bounding_box()
        assert box is not None
        assert box["height"] >= 44
    shown[0].click()
    small.until("() => fake.view.value.record.came_out.length === 1")
    assert small.page.locator(WAYS_OUT).count() == 0


def test_the_close_has_one_i_am_out(small: Hand) -> None:
    small.go("close")
    small.page.wait_for_selector("[data-out]")
    assert len([one for one in small.page.locator(WAYS_OUT).all() if one.is_visible()]) == 1


@pytest.mark.parametrize("text_percent", [100, 200])
def test_nothing_of_the_folded_head_is_beyond_the_edge_or_broken(text_percent: int, open_stage: OpenStage) -> None:
    hand = open_stage(size=SMALL if text_percent == 200 else {"width": 390, "height": 844}, text_percent=text_percent)
    hand.begin()
    hand.pass_gate()
    below_at_a_long_street(hand)
    hand.page.evaluate("document.querySelector('#app').setAttribute('data-folded', '')")
    wide = "(one) => Math.max(0, one.getBoundingClientRect().right - innerWidth)"
    assert hand.page.locator("[data-out-folded]").evaluate(wide) == 0
    lines = "(all) => all.map((one) => Math.round(one.getBoundingClientRect().height))"
    assert len(set(hand.page.locator(".sense-left:visible").evaluate_all(lines))) <= 1


def test_the_foot_tells_of_what_a_form_still_asks_and_of_its_button(open_stage: OpenStage) -> None:
    hand = open_stage(size=SMALL)
    hand.begin()
    hand.go("left-off")
    cue = hand.page.locator(".more-below")
    assert cue.inner_text() == "4 more below"  # what is off, why, who was told, and the button that saves it
    while cue.is_visible():
        hand.tap(".more-below")
        assert hand.page.evaluate("scrollY") > 0
    assert is_in_sight(hand, ".dock .button")


def test_could_not_check_is_told_of_where_it_alone_is_under_the_edge(small: Hand) -> None:
    untold = []
    for check in open_all(small):
        small.go(f"check/{check}")
        cue = small.page.locator(".more-below")
        if not is_in_sight(small, ".answer, [data-could-not]") and "more below" not in cue.inner_text():
            untold.append(check)
    assert untold == []


def test_the_street_keeps_two_lines_beside_a_time_out_that_was_not_sent(small: Hand) -> None:
    small.go("check/tp_valve")
    street, out = (small.page.locator(where).bounding_box() for where in (".where strong", ".out-by"))
    assert street is not None
    assert out is not None
    assert street["width"] > 320 / 2 - 32
    assert street["height"] < 44 <= out["height"]
