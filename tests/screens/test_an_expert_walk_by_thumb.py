"""A walk of somebody who knows the heater: gate and code, then nine checks, two readings, one photo; its taps counted.

Model of the time in the app, apart from the work (docs/adr/0120): each tap or swipe 1.1 s, each new screen 1.35 s to
take in (P and M of the keystroke-level model, Card, Moran and Newell 1980, from memory; made for desks, a glove may
be slower), and what the screen itself takes, measured here. The camera counts as two taps more (guess).
"""

import pytest
from playwright.sync_api import Locator

from tests.screens.conftest import PHONE, OpenStage
from tests.screens.hand import Hand
from tests.screens.test_a_small_phone import SMALL, below_at_a_long_street
from tests.screens.test_before_going_down_on_screen import carry_co_meter, home
from tests.screens.test_the_heater_on_screen import MODEL, PNG

TAP_S, SCREEN_S, CAMERA_TAPS = 1.1, 1.35, 2
MOST_S = 180

# From the finger's touch to the last change that it led to, painted.
WATCH = """() => {
  window.thumb = {taps: 0, paint_ms: 0, screens: 0};
  let from = null, to = null, heading = '';
  const close = () => { if (from !== null && to !== null) window.thumb.paint_ms += to - from; from = to = null; };
  const touched = () => { close(); window.thumb.taps += 1; from = performance.now(); };
  addEventListener('pointerdown', touched, {capture: true});
  new MutationObserver(() => requestAnimationFrame(() => {
    to = performance.now();
    const now = document.querySelector('h1')?.textContent ?? '';
    if (now !== heading) { heading = now; window.thumb.screens += 1; }
  })).observe(document.querySelector('#app'), {childList: true, subtree: true, characterData: true});
  window.thumb.end = () => { close(); return {...window.thumb}; };
}"""
# Until it is whole in sight and under nothing that stays while the rest scrolls: the queue line, the answers in their
# dock. A swipe moves the page by a screen's height at most (guess).
SWIPES_AWAY = """(element) => {
  const box = element.getBoundingClientRect();
  const covers = [...document.querySelectorAll('footer, .dock')]
    .filter((one) => !one.contains(element) && getComputedStyle(one).position === 'sticky');
  const lowest = Math.min(...covers.map((one) => one.getBoundingClientRect().top)) + 1;
  return Math.ceil(Math.max(0, box.bottom - lowest, -box.top) / innerHeight);
}"""
SETTLED = """(check) => fake.view.value.record.checks.some((one) => one.check === check)
  || (check === 'control_code' && fake.view.value.record.codes.length > 0)"""
PLAN = [
    ("sensing_tube", None),
    ("terminal", None),
    ("joints", None),
    ("slope", None),
    ("burn_marks", None),
    ("tp_valve", None),
    ("tap_type", "suction"),
    ("gas_off", None),
    ("plug_out", None),
    ("suction_at_switch", "enough"),
]


class Thumb:
    """Taps as a thumb does; a thing that is not in sight costs a swipe first."""

    def __init__(self, hand: Hand) -> None:
        self.hand, self.swipes = hand, 0

    def tap(self, selector: str) -> None:
        self.reach(selector).click()
        self.hand.settle()

    def reach(self, selector: str) -> Locator:
        what: Locator = self.hand.page.locator(selector).first
        what.wait_for()
        self.swipes += what.evaluate(SWIPES_AWAY)
        return what

    def type_number(self, digits: str) -> None:
        for digit in digits:
            self.tap(f'[data-key="{digit}"]')
        self.tap("[data-pad-done]")


def answer_gate(thumb: Thumb) -> None:
    """Six checks: one with a reading, the code tapped along and named by the model's own table."""
    hand = thumb.hand
    while hand.view("advice.gate.state") == "open":
        check = hand.view("advice.gate.next_check")
        if check == "control_code":
            thumb.tap('[data-answer="flashes"]')
            for _ in range(3):
                thumb.tap("[data-blink]")
                hand.page.wait_for_timeout(300)
            thumb.tap("[data-blinks-done]")
            thumb.tap("[data-code-save]")
        else:
            if hand.page.locator("[data-wanted]").count():
                thumb.tap("[data-wanted]")
                thumb.type_number("0")
            thumb.tap(f'[data-answer="{hand.first_outcome(check)}"]')
        hand.until(SETTLED, check)


def answer_check(thumb: Thumb, check: str, outcome: str | None) -> None:
    """Where the walk asks something else: its part on the drawing, and there; from another part past the tab."""
    hand = thumb.hand
    if hand.asked() != check:
        of = hand.view(f"procedure.checks.find((one) => one.id === '{check}').part")
        part = f'.part[data-part="{of}"]'
        if not hand.page.locator(f'.check-line[data-check="{check}"]').count():
            if not hand.page.locator(part).count():
                thumb.tap('.tab[href$="/checks"]')
            thumb.tap(part)
        thumb.tap(f'.check-line[data-check="{check}"]')
    if check == "terminal":
        thumb.reach(".photo").locator("input").set_input_files(PNG)
        hand.until("() => fake.view.value.record.photos.length === 1")
    if check == "suction_at_switch":
        thumb.tap("[data-wanted]")
        thumb.type_number("0.52")
        thumb.tap("[data-offer]")
    thumb.tap(f'[data-answer="{outcome or hand.first_outcome(check)}"]')
    hand.until(SETTLED, check)
    hand.settle()


WALKS = [
    pytest.param(PHONE, False, 59, id="390x844"),
    pytest.param(SMALL, False, 62, id="320x640"),
    pytest.param(SMALL, True, 64, id="320x640, long street, due out"),
]


@pytest.mark.parametrize(("size", "below", "most_taps"), WALKS)
def test_a_whole_expert_walk_by_thumb(size: dict[str, int], below: bool, most_taps: int, open_stage: OpenStage) -> None:
    hand = open_stage(size=size)
    home(hand)
    carry_co_meter(hand)
    hand.go("heater")
    hand.tap(f'[data-answer="{MODEL}"]')
    hand.page.wait_for_selector("[data-sheet]")
    hand.go("home")
    hand.page.evaluate(WATCH)
    thumb = Thumb(hand)
    thumb.tap("[data-start]")
    hand.page.wait_for_selector("[data-check]")
    if below:
        below_at_a_long_street(hand)
        hand.page.evaluate("fake.syncNow()")  # said while there was signal
    answer_gate(thumb)
    in_gate = hand.page.evaluate("window.thumb.taps") + thumb.swipes
    for check, outcome in PLAN:
        answer_check(thumb, check, outcome)
    counted = hand.page.evaluate("window.thumb.end()")
    taps = counted["taps"] + thumb.swipes + 1 + CAMERA_TAPS
    seconds = taps * TAP_S + counted["screens"] * SCREEN_S + counted["paint_ms"] / 1000
    print(
        f"{taps} taps ({in_gate} to the end of the gate, {thumb.swipes} of them swipes), {counted['screens']} screens, "
    )
    print(f"the screen's own time {counted['paint_ms']:.0f} ms, in the app {seconds:.0f} s by the model")
    assert {check for check, _ in PLAN} <= {one["check"] for one in hand.view("record.checks")}
    assert len(hand.view("record.readings")) == 2
    assert hand.view("record.sheet.length") == 1
    assert len(hand.view("record.photos")) == 1
    assert taps <= most_taps
    assert seconds <= MOST_S
