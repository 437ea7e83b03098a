"""A phone of 320 by 640 in a wet glove: what must be seen and reached there without scrolling."""

import pytest

from tests.screens.conftest import OpenStage
from tests.screens.hand import JOB, Hand

SMALL = {"width": 320, "height": 640}
SIZES = [SMALL, {"width": 360, "height": 640}, {"width": 390, "height": 844}]
LOWEST_SEEN = """(selector) => {
  const dock = document.querySelector('.dock');
  const cover = dock && getComputedStyle(dock).position === 'sticky' ? dock : document.querySelector('footer');
  const bottoms = [...document.querySelectorAll(selector)].map((one) => one.getBoundingClientRect().bottom);
  return Math.max(0, ...bottoms) - cover.getBoundingClientRect().top;
}"""
IN_SIGHT = """(selector) => [...document.querySelectorAll(selector)].every((one) => {
  const { top, bottom } = one.getBoundingClientRect();
  return top >= 0 && bottom <= document.querySelector('footer').getBoundingClientRect().top;
})"""


@pytest.fixture
def small(open_stage: OpenStage) -> Hand:
    hand = open_stage(size=SMALL)
    hand.begin()
    return hand


def is_in_sight(hand: Hand, selector: str) -> bool:
    assert hand.page.locator(selector).count() > 0
    return bool(hand.page.evaluate(IN_SIGHT, selector))


def test_two_answers_the_word_saved_and_undo_are_in_sight_without_scrolling(small: Hand) -> None:
    small.answer("no_smell")
    for selector in (".saved", "[data-undo]", ".question-words", ".strip[data-kind=caution]", ".answer"):
        assert is_in_sight(small, selector), selector


def test_two_answers_are_in_sight_on_every_check_of_the_walk_that_takes_two(small: Hand) -> None:
    small.pass_gate()
    gate = small.view("procedure.gate")
    seen = []
    for check in small.view("procedure.checks.filter((one) => one.outcomes.length === 2).map((one) => one.id)"):
        small.go(f"check/{check}")
        if check not in gate and small.page.locator(".answer").count() == 2:
            seen.append((check, is_in_sight(small, ".answer")))
    assert len(seen) >= 8
    too_long_a_caution = [check for check, seen_whole in seen if not seen_whole]
    assert len(too_long_a_caution) <= 1, too_long_a_caution


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size['width']}x{size['height']}")
def test_the_caution_of_no_check_is_under_the_answers(size: dict[str, int], open_stage: OpenStage) -> None:
    hand = open_stage(size=size)
    hand.begin()
    hand.pass_gate()
    covered = []
    for check in hand.view("procedure.checks.map((one) => one.id)"):
        hand.go(f"check/{check}")
        if hand.page.evaluate(LOWEST_SEEN, ".question-words, .strip[data-kind=caution]:not([data-blocked])") > 0:
            covered.append(check)
    assert covered == []


def test_larger_text_lets_the_answers_scroll_with_the_rest(open_stage: OpenStage) -> None:
    hand = open_stage(size=SMALL, text_percent=200)
    hand.begin()
    assert hand.page.locator(".answer").count() == 2
    assert hand.page.evaluate("getComputedStyle(document.querySelector('.dock')).position") == "static"


def test_the_number_pad_is_whole_on_the_screen_with_keys_of_72_px(small: Hand) -> None:
    small.pass_gate()
    for figure in ("check/leads_beep", "check/run_length"):
        small.go(figure)
        small.tap("[data-wanted]")
        small.tap('[data-key="3"]')
        assert is_in_sight(small, ".pad-words, .pad-shown, .pad-key, [data-pad-done]"), figure
        heights = [
            box["height"] for key in small.page.locator(".pad-keys .pad-key").all() if (box := key.bounding_box())
        ]
        assert min(heights) >= 72


def test_two_earlier_figures_leave_done_in_sight(small: Hand) -> None:
    small.pass_gate()
    small.go("check/run_length")
    small.tap("[data-wanted]")
    line = '<p class="beside">Earlier here: 30 ft, 13 Nov 2026</p>'
    small.page.locator(".pad-words").evaluate(
        "(words, line) => words.insertAdjacentHTML('afterend', line + line)", line
    )
    assert is_in_sight(small, "[data-pad-done]")


def test_elbows_are_counted_in_whole_numbers_and_without_the_word_count(small: Hand) -> None:
    small.pass_gate()
    small.go("check/run_length")
    small.tap("[data-wanted]")
    for figure in ("2", "30", "3"):
        small.type_number(figure)
        if figure != "3":
            small.tap("[data-pad-done]")
    assert small.page.locator('[data-key="."]').count() == 0
    assert small.page.locator(".pad-shown").inner_text().split() == ["3"]


def test_what_the_figures_say_stands_before_where_it_is_written(small: Hand) -> None:
    for _ in range(5):
        if small.asked() == "co_room":
            break
        small.answer(small.first_outcome(str(small.asked())))
    small.tap("[data-wanted]")
    small.type_number("2")
    small.tap("[data-pad-done]")
    small.page.wait_for_selector(".said")
    loud = small.page.locator(".said strong").inner_text()
    assert loud.count(".") == 1
    assert "appendix" not in loud
    assert "appendix" in small.page.locator(".said").inner_text()


def test_a_question_of_the_gate_cannot_be_put_off_as_not_fitted(small: Hand) -> None:
    small.tap("[data-could-not]")
    assert small.page.locator('[data-answer="not_fitted"], [data-answer="not_allowed"]').count() == 0
    assert small.page.locator('[data-answer="no_access"]').count() == 1


def test_the_first_checks_say_that_the_counts_are_the_most_that_is_left(small: Hand) -> None:
    small.pass_gate()
    words = "At most the counts above are left: the walk ends once enough is known."
    assert words in small.words()
    for _ in range(3):
        small.answer(small.first_outcome(str(small.asked())))
    assert words not in small.words()


def test_what_went_wrong_is_in_sight_though_the_answer_was_far_down(small: Hand) -> None:
    small.pass_gate()
    small.go("check/terminal")
    small.page.evaluate("fake.failNext = new CoreError('disk_full', 'full')")
    small.page.locator("[data-answer]").last.click()
    small.page.wait_for_selector("#fault")
    assert small.page.evaluate("scrollY") > 0
    assert is_in_sight(small, "#fault")
    assert small.page.locator("#fault").inner_text().startswith("All that says “saved” is safe.")


LONG_STREET = "127 Saint Osk's Lamplighter Passage North, rear house"
NEVER_COVERED = ".question-words, .strip[data-kind=caution]:not([data-blocked]), [data-start-timer]"


def below_at_a_long_street(hand: Hand) -> None:
    """As on a real visit: a street of two lines, and the time to be out again over every screen."""
    due = "new Date(Date.now() + 3600000).toISOString()"
    hand.page.evaluate(f"(job) => fake.act(job, [{{kind: 'due_out', body: {{due_out_wall: {due}}}}}])", JOB)
    hand.page.evaluate(
        "(street) => { const { view } = fake; view.value = { ...view.value, card: { ...view.value.card, street } }; }",
        LONG_STREET,
    )
    hand.settle()


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size['width']}x{size['height']}")
@pytest.mark.parametrize("typed", ["120", "999"], ids=["usual", "out of range"])
def test_done_is_in_sight_on_a_real_visit(size: dict[str, int], typed: str, open_stage: OpenStage) -> None:
    hand = open_stage(size=size)
    hand.begin()
    hand.pass_gate()
    below_at_a_long_street(hand)
    hand.go("check/set_point")
    hand.page.locator("[data-figure]").first.click()
    hand.type_number(typed)
    assert is_in_sight(hand, ".pad-shown, .pad-key, [data-pad-done]")


def test_nothing_that_must_be_seen_or_tapped_is_under_the_answers_on_a_real_visit(open_stage: OpenStage) -> None:
    hand = open_stage(size={"width": 390, "height": 844})
    hand.begin()
    hand.pass_gate()
    below_at_a_long_street(hand)
    covered = []
    for check in hand.view("procedure.checks.map((one) => one.id)"):
        hand.go(f"check/{check}")
        if hand.page.evaluate(LOWEST_SEEN, NEVER_COVERED) > 0:
            covered.append(check)
    assert covered == []


def test_every_answer_of_the_walk_s_first_check_is_in_sight_on_a_real_visit(open_stage: OpenStage) -> None:
    hand = open_stage(size={"width": 390, "height": 844})
    hand.begin()
    hand.pass_gate()
    below_at_a_long_street(hand)
    assert hand.page.locator(".answer").count() == 4
    assert is_in_sight(hand, ".answer")


HIDDEN_ANSWERS = """() => {
  const lowest = document.querySelector('footer').getBoundingClientRect().top + 1;
  return [...document.querySelectorAll('.answer')].filter((one) => one.getBoundingClientRect().bottom > lowest).length;
}"""
HIDDEN_TAPS = HIDDEN_ANSWERS.replace("'.answer'", "'.answer, [data-could-not]'")
TOLD = "document.querySelector('.more-below:not([hidden])')?.textContent ?? ''"


@pytest.mark.parametrize("size", SIZES, ids=lambda size: f"{size['width']}x{size['height']}")
def test_every_answer_of_every_check_is_in_sight_on_a_real_visit_or_told_of(
    size: dict[str, int], open_stage: OpenStage
) -> None:
    hand = open_stage(size=size)
    hand.begin()
    hand.pass_gate()
    below_at_a_long_street(hand)
    partly = {}
    for check in hand.view("procedure.checks.map((one) => one.id)"):
        hand.go(f"check/{check}")
        assert is_in_sight(hand, ".question-words"), check
        if hidden := hand.page.evaluate(HIDDEN_ANSWERS):
            partly[check] = hidden
            assert hand.page.evaluate(TOLD) == f"{hand.page.evaluate(HIDDEN_TAPS)} more below", check
    answers = hand.view("procedure.checks.map((one) => [one.id, one.outcomes.length])")
    most = {check for check, many in answers if many > 6} if size["height"] == 640 else set()
    assert set(partly) <= most, partly


def test_the_foot_says_how_many_answers_are_further_down_and_leads_there(small: Hand) -> None:
    small.pass_gate()
    below_at_a_long_street(small)
    small.go("check/terminal")
    cue = small.page.locator(".more-below")
    assert cue.inner_text() == f"{small.page.evaluate(HIDDEN_TAPS)} more below"
    box = cue.bounding_box()
    assert box is not None
    assert box["height"] >= 44
    small.page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
    small.until("() => document.querySelector('.more-below').textContent === 'Steps below'")
    assert small.page.evaluate(HIDDEN_ANSWERS) == 0
    small.page.evaluate("scrollTo(0, 0)")
    small.until("() => document.querySelector('.more-below').textContent.endsWith('more below')")


def test_bad_answers_are_among_those_in_sight_where_not_all_of_them_are(small: Hand) -> None:
    small.pass_gate()
    below_at_a_long_street(small)
    small.go("check/terminal")
    lowest = small.page.evaluate("document.querySelector('footer').getBoundingClientRect().top")
    seen = [
        one.locator(".verdict").get_attribute("data-verdict")
        for one in small.page.locator(".answer").all()
        if (box := one.bounding_box()) and box["y"] + box["height"] <= lowest
    ]
    assert seen.count("bad") >= 2


def test_the_time_to_be_out_is_always_said_and_its_strip_comes_back_once_it_is_over(small: Hand) -> None:
    small.pass_gate()
    below_at_a_long_street(small)
    small.go("check/terminal")
    assert small.page.locator("[data-due-out]").is_hidden()
    assert is_in_sight(small, ".out-by")
    assert "out " in small.page.locator(".out-by").inner_text()
    over = "new Date(Date.now() - 60000).toISOString()"
    small.page.evaluate(f"(job) => fake.act(job, [{{kind: 'due_out', body: {{due_out_wall: {over}}}}}])", JOB)
    small.settle()
    assert is_in_sight(small, "[data-due-out], [data-came-out]")


def test_what_is_read_further_down_stays_there_while_the_clock_ticks(small: Hand) -> None:
    small.pass_gate()
    small.go("check/terminal")
    small.page.locator("[data-answer]").last.scroll_into_view_if_needed()
    before = small.page.evaluate("scrollY")
    assert before > 0
    small.page.evaluate("fake.queue.value = {...fake.queue.value, waiting: 3}")
    small.settle()
    assert small.page.evaluate("scrollY") == before


def test_the_parts_that_a_hunch_may_be_of_are_all_in_sight_and_every_family_has_its_words(small: Hand) -> None:
    small.pass_gate()
    small.go("hunch")
    assert is_in_sight(small, ".family summary")
    words = small.page.locator(".family summary").all_text_contents()
    assert [one for one in words if one[0].islower()] == []


def test_a_row_of_the_closing_looks_is_64_px_high_for_a_wet_glove(small: Hand) -> None:
    small.pass_gate()
    small.go("proof")
    small.page.wait_for_selector(".look")
    heights = [box["height"] for one in small.page.locator(".look:visible").all() if (box := one.bounding_box())]
    assert min(heights) >= 64


def test_leave_it_and_done_are_in_sight_whatever_stands_over_the_keys(small: Hand) -> None:
    """A street of two lines, overdue, a clock that ran out, two earlier figures and a figure out of range."""
    small.pass_gate()
    below_at_a_long_street(small)
    over = "new Date(Date.now() - 60000).toISOString()"
    small.page.evaluate(f"(job) => fake.act(job, [{{kind: 'due_out', body: {{due_out_wall: {over}}}}}])", JOB)
    small.page.evaluate(
        f"(job) => fake.keepOwn({{timers: [{{job_id: job, words: 'Hot run, 10 min', due_wall: {over}}}]}})", JOB
    )
    small.go("check/co_room")
    small.page.click("[data-figure], [data-wanted]")
    small.type_number("99999")
    line = '<p class="beside">Earlier here: 30 ppm, 13 Nov 2026, with the other meter</p>'
    small.page.locator(".pad-words").evaluate(
        "(words, line) => words.insertAdjacentHTML('afterend', line + line)", line
    )
    small.settle()
    assert small.page.locator(".pad [role=alert]").count() == 1
    assert is_in_sight(small, "[data-pad-cancel], [data-pad-done]")
    assert is_in_sight(small, "[data-due-out]")


def test_every_answer_to_a_figure_is_in_sight_once_an_ordinary_one_of_co_is_typed(small: Hand) -> None:
    below_at_a_long_street(small)
    for _ in range(6):
        if small.asked() == "co_room":
            break
        small.answer(small.first_outcome(str(small.asked())))
    small.page.click("[data-wanted]")
    small.type_number("2")
    small.page.click("[data-pad-done]")
    small.page.wait_for_selector(".said")
    small.settle()
    assert is_in_sight(
        small, ".question-words, .strip[data-kind=caution], .said, .answer:not([data-answer=not_measured])"
    )
    assert small.page.locator(".more-below").inner_text() == "2 more below"  # not measured, could not check


def test_the_parts_of_a_hunch_fit_with_the_largest_text(open_stage: OpenStage) -> None:
    hand = open_stage(size=SMALL, text_percent=200)
    hand.begin()
    hand.go("hunch")
    hand.page.locator(".family summary").first.click()
    hand.settle()
    assert hand.page.evaluate("document.scrollingElement.scrollWidth - innerWidth") <= 0


def test_the_second_tap_of_a_double_tap_answers_no_question_that_nobody_saw(small: Hand) -> None:
    box = small.page.locator('[data-answer="no_smell"]').bounding_box()
    assert box is not None
    small.page.evaluate("Object.defineProperty(Event.prototype, 'timeStamp', { get: () => window.tapped_ms })")

    def touch_at(tapped_ms: int) -> None:
        small.page.evaluate("(ms) => { window.tapped_ms = ms; }", tapped_ms)
        small.page.touchscreen.tap(box["x"] + box["width"] / 2, box["y"] + box["height"] / 2)
        small.until("fake.view.value.record.checks.length > 0")
        small.settle()

    touch_at(10_000_000)
    touch_at(10_000_290)
    assert small.page.locator("[data-check]").get_attribute("data-check") == "symptoms"
    assert small.view("record.checks.length") == 1
    touch_at(10_000_500)
    small.until("fake.view.value.record.checks.length === 2")
