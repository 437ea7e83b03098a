"""The gate, the questions and what follows an answer."""

import pytest

from e2e.thumb import tap_along
from tests.screens.conftest import PHONE, OpenStage
from tests.screens.hand import Hand


def test_the_gate_asks_one_question_and_offers_no_way_round_it(hand: Hand) -> None:
    hand.begin()
    assert hand.page.locator("[data-check]").count() == 1
    assert hand.page.locator(".tab").count() == 0
    assert "Safety first, 1 of" in hand.words()


def test_the_gate_by_thumb_writes_what_the_other_tests_begin_with(open_stage: OpenStage) -> None:
    by_thumb, at_once = open_stage(), open_stage()
    by_thumb.begin()
    by_thumb.tap_through_gate()
    at_once.begin()
    at_once.pass_gate()
    assert by_thumb.view("advice.gate.state") == "passed"
    written = [
        hand.page.evaluate("fake.written().map((e) => [e.kind, e.schema, e.body])") for hand in (by_thumb, at_once)
    ]
    assert written[0] == written[1]
    assert by_thumb.asked() == at_once.asked()


def test_a_gas_smell_stops_the_walk_and_says_what_to_do(hand: Hand) -> None:
    hand.begin()
    hand.answer("smell")
    assert hand.heading() == "Stop"
    assert "Everybody out now." in hand.words()
    assert hand.page.locator("[data-answer]").count() == 0
    assert hand.page.locator(".tab").count() == 0


def test_a_stop_by_a_wrong_tap_can_be_answered_again(hand: Hand) -> None:
    hand.begin()
    hand.answer("smell")
    hand.tap('[data-anew="wrong"]')
    hand.page.wait_for_selector('[data-answer="no_smell"]')
    hand.tap('[data-answer="no_smell"]')
    hand.page.wait_for_selector('[data-check="symptoms"]')


def test_not_trained_or_not_allowed_is_a_reason_and_the_only_one_in_the_newer_shape(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    for check, reason, schema in (("outlet", "not_allowed", 2), ("vapour", "no_access", 1)):
        hand.go(f"check/{check}")
        hand.tap("[data-could-not]")
        hand.tap(f'[data-answer="{reason}"]')
        hand.until("(check) => fake.view.value.record.checks.some((one) => one.check === check)", check)
        assert hand.last_body("check_answered") == {"check": check, "outcome": None, "could_not": reason}
        assert (hand.last_event("check_answered").get("schema") or 1) == schema
    hand.go("record")
    assert "could not check: not trained or not allowed" in hand.words()


def test_a_gate_check_that_could_not_be_done_keeps_the_gate_shut(hand: Hand) -> None:
    hand.begin()
    hand.tap("[data-could-not]")
    hand.tap('[data-answer="refused"]')
    hand.page.wait_for_selector("text=The walk waits for this.")
    assert hand.asked() == "smell_of_gas"


def test_saved_is_said_aloud_after_the_answer_and_the_heading_has_the_focus(hand: Hand) -> None:
    hand.begin()
    hand.answer("no_smell")
    assert "Saved on this phone: Smell of gas: No smell" in hand.page.locator("#announcer").inner_text()
    assert hand.focused() == "H1"


def test_undo_asks_the_same_question_again(hand: Hand) -> None:
    hand.begin()
    hand.answer("no_smell")
    hand.tap("[data-undo]")
    hand.page.wait_for_selector('[data-check="smell_of_gas"]')
    assert hand.view("record.checks") == []
    assert hand.page.locator("[data-undo]").count() == 0


def test_answers_are_equal_in_weight_tall_enough_and_none_is_chosen(hand: Hand) -> None:
    hand.begin()
    boxes = [button.bounding_box() for button in hand.page.locator(".answer").all()]
    assert all(box is not None and box["height"] >= 64 for box in boxes)
    assert len({box["width"] for box in boxes if box}) == 1
    styles = hand.page.evaluate(
        """[...document.querySelectorAll('.answer')].map((e) => getComputedStyle(e))
            .map((style) => style.backgroundColor + style.fontWeight + style.borderColor)"""
    )
    assert len(set(styles)) == 1
    assert hand.page.locator(".answer[aria-pressed], .answer[aria-checked], .answer[autofocus]").count() == 0


def test_a_verdict_is_a_word_and_a_shape_beside_its_colour(hand: Hand) -> None:
    hand.begin()
    verdicts = hand.page.locator(".answer .verdict").all()
    assert [one.inner_text() for one in verdicts] == ["good", "bad"]
    shapes = hand.page.evaluate("""[...document.querySelectorAll('.answer .verdict')].map((e) => {
        const shape = getComputedStyle(e, '::before');
        return shape.borderRadius + shape.clipPath;
    })""")
    assert len(set(shapes)) == 2


def test_the_question_is_set_in_26_to_30_px(hand: Hand) -> None:
    hand.begin()
    size = hand.page.evaluate("parseFloat(getComputedStyle(document.querySelector('.question-words')).fontSize)")
    assert 26 <= size <= 30


def test_no_cause_is_named_on_the_screens_of_the_walk(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    causes = [cause["words"] for cause in hand.view("procedure.causes")]
    for _ in range(4):
        words = hand.words()
        assert [cause for cause in causes if cause in words] == []
        assert "in 100" not in words
        hand.answer(hand.first_outcome(str(hand.asked())))


def test_the_strip_of_senses_says_what_is_left_in_each(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    left = {one["sense"]: one["count"] for one in hand.view("advice.left")}
    shown = hand.page.locator(".senses li").all_inner_texts()
    assert [text.split()[0] for text in shown] == [str(count) for count in left.values()]
    assert hand.page.locator(".senses li[data-now]").count() == 1


def test_back_stands_at_the_same_place_on_every_screen_of_a_job(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    places = set()
    for screen in ("home", "walk", "checks", "suspects", "record", "note", "cause", "check/terminal"):
        hand.go(screen)
        box = hand.page.locator(".back").bounding_box()
        assert box is not None
        places.add((round(box["x"]), round(box["y"])))
    assert len(places) == 1


def test_opening_a_begun_job_goes_where_the_walk_was(hand: Hand) -> None:
    hand.begin()
    hand.answer("no_smell")
    hand.go("/jobs")
    hand.tap(".card >> nth=0")
    hand.page.wait_for_selector('[data-check="symptoms"]')


def test_the_walk_paints_without_the_engine_and_offers_the_list(hand: Hand) -> None:
    hand.begin()
    hand.page.evaluate("fake.engineAway = true")
    hand.tap('[data-answer="no_smell"]')
    hand.page.wait_for_selector("text=Looking for the next check")
    assert "Saved on this phone" in hand.words()
    assert hand.page.get_by_role("link", name="All checks").count() == 1


def test_without_the_engine_too_a_smell_of_gas_is_told_what_to_do(hand: Hand) -> None:
    hand.begin()
    hand.page.evaluate("fake.engineAway = true")
    hand.tap('[data-answer="smell"]')
    hand.page.wait_for_selector("text=Looking for the next check")
    cards = hand.page.locator("[data-gate-cards]").inner_text()
    for tier in hand.view("procedure.gate_cards.tiers"):
        assert f"{tier['words']}. {tier['stop_words']}" in cards


def test_a_full_disk_says_that_it_was_not_saved_and_leaves_the_answers(hand: Hand) -> None:
    hand.begin()
    hand.page.evaluate("fake.failNext = new CoreError('disk_full', 'full')")
    hand.tap('[data-answer="no_smell"]')
    hand.page.wait_for_selector("text=Not saved: this phone is full.")
    assert hand.asked() == "smell_of_gas"
    assert "Smell of gas" not in hand.page.locator(".saved").inner_text()
    hand.answer("no_smell")
    assert hand.asked() == "symptoms"


def test_two_taps_in_a_hurry_are_one_answer(hand: Hand) -> None:
    hand.begin()
    hand.page.evaluate(
        """() => { const b = document.querySelector('[data-answer="no_smell"]'); b.click(); b.click(); }"""
    )
    hand.page.wait_for_selector('[data-check="symptoms"]')
    assert len(hand.view("record.checks")[0]["entries"]) == 1


def test_a_wait_is_drawn_only_when_it_lasts(hand: Hand) -> None:
    hand.begin()
    shut = "document.querySelector('[data-answer]').getAttribute('aria-disabled') === 'true'"
    tap = "fake.act = () => new Promise(() => {}); document.querySelector('[data-answer]').click();"
    assert hand.page.evaluate(f"() => {{ {tap} return {shut}; }}") is False
    hand.until(f"() => {shut}")


def test_the_code_is_counted_and_kept_with_the_words_of_the_label(hand: Hand) -> None:
    hand.page.evaluate("fake.company.value = {...fake.company.value, model_sheets: []}")
    hand.begin()
    hand.go("check/control_code")
    assert "Before you unplug anything." in hand.words()
    hand.tap('[data-answer="flashes"]')
    tap_along(hand.page, 3)
    hand.page.fill("#meaning", "draft not proved")
    hand.tap("[data-code-save]")
    hand.until("fake.view.value.record.codes.length === 1")
    assert hand.last_body("code_read") == {"shown": "flashes", "flashes": 3, "meaning_words": "draft not proved"}


def test_an_answer_on_the_drawing_counts_in_the_walk(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    first = hand.asked()
    hand.go("checks")
    hand.tap('.part[data-part="terminal"]')
    hand.tap('.check-line[data-check="terminal"]')
    hand.page.wait_for_selector('[data-answer="clear"]')
    hand.tap('[data-answer="clear"]')
    hand.page.wait_for_selector('.part[data-part="terminal"]')
    hand.tap('.tab[href$="/walk"]')
    hand.page.wait_for_selector(f'[data-check="{first}"]')
    assert "terminal" in [finding["check"] for finding in hand.view("record.checks")]


def test_every_part_with_a_check_has_its_place_on_the_drawing(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.go("checks")
    drawn = set(hand.page.evaluate("[...document.querySelectorAll('.part')].map((e) => e.dataset.part)"))
    assert drawn == {check["part"] for check in hand.view("procedure.checks")}


def test_every_sketch_of_the_procedure_is_drawn_and_has_words(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    assert hand.checks_without_sketch() == []


def test_a_check_that_must_wait_says_for_what_and_takes_no_answer(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.go("check/watch_cycle")
    assert hand.page.locator("[data-blocked]").count() == 1
    assert hand.page.locator("[data-answer]").count() == 0
    for words in next(one["missing_words"] for one in hand.view("advice.blocked") if one["check"] == "watch_cycle"):
        assert words in hand.words()


def test_what_a_check_waits_for_stands_in_sight_before_how_it_is_done(open_stage: OpenStage) -> None:
    for size in (PHONE, {"width": 320, "height": 640}):
        hand = open_stage(size=size)
        hand.begin()
        hand.pass_gate()
        hand.go("check/restrictor")
        last = "document.querySelector('[data-blocked] li:last-child').getBoundingClientRect().bottom"
        below = "['.looking', 'footer'].map((place) => document.querySelector(place).getBoundingClientRect().top)"
        assert hand.page.evaluate(f"{last} <= Math.min(...{below})"), size


def test_a_correction_takes_the_place_of_ones_own_answer(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.go("check/terminal")
    hand.tap('[data-answer="clear"]')
    hand.until("fake.view.value.record.checks.some((c) => c.check === 'terminal')")
    first = hand.last_event("check_answered")["id"]
    hand.go("record")
    hand.page.locator(".line-in", has_text="Terminal").first.click()
    hand.page.wait_for_selector(".recorded")
    hand.page.locator("[data-answer]").nth(1).click()
    hand.until("(id) => fake.written().at(-1).replaces.includes(id)", first)
    assert len(hand.view("record.checks.find((c) => c.check === 'terminal').entries")) == 1


def test_what_another_person_said_stands_beside_ones_own(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.page.evaluate("""() => fake.write(fake.view.value.card.job_id,
        [{kind: 'check_answered', body: {check: 'terminal', outcome: 'clear', could_not: null}}],
        '00000000-0000-7000-8000-0000000000a2', new Date().toISOString())""")
    hand.go("check/terminal")
    hand.page.locator("[data-answer]").nth(1).click()
    hand.until("fake.view.value.record.checks.find((c) => c.check === 'terminal')?.state === 'contradicted'")
    assert hand.last_event("check_answered")["replaces"] == []
    hand.go("check/terminal")
    assert "Two people saw this differently" in hand.words()
    assert "Teodor Amsel" in hand.words()


@pytest.mark.parametrize("width", [320, 390])
def test_caution_stands_above_the_steps_it_is_about(width: int, open_stage: OpenStage) -> None:
    hand = open_stage(size={"width": width, "height": 844})
    hand.begin()
    caution, how = (
        hand.page.locator(".strip[data-kind=caution]").bounding_box(),
        hand.page.locator(".how").bounding_box(),
    )
    assert caution is not None
    assert how is not None
    assert caution["y"] < how["y"]


def test_the_last_answer_can_be_undone_after_a_restart_too(hand: Hand) -> None:
    hand.begin()
    hand.answer("no_smell")
    events = hand.page.evaluate("[fake.written(), fake.view.value.undoable]")
    hand.reload()  # the address opens the job by itself, and that must not end after what follows
    hand.page.evaluate("([written, undoable]) => fake.restore(written, undoable)", events)
    hand.go("/jobs")
    hand.go("walk")
    hand.page.wait_for_selector('[data-check="symptoms"]')
    hand.tap("[data-undo]")
    hand.tap("[data-take-it-back]")  # it was sent meanwhile
    hand.page.wait_for_selector('[data-check="smell_of_gas"]')


def test_who_comes_back_on_another_day_is_asked_the_gate_anew_and_keeps_the_findings(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.go("check/terminal")
    hand.tap('[data-answer="clear"]')
    hand.until("() => fake.view.value.record.checks.some((one) => one.check === 'terminal')")
    hand.page.evaluate("fake.written().forEach((e) => { e.at_wall = '2026-11-20T09:00:00Z'; })")
    hand.page.evaluate("fake.view.value = null")
    hand.go("/jobs")
    hand.go("walk")
    hand.tap("[data-arrive]")
    hand.page.wait_for_selector('[data-check="smell_of_gas"]')
    assert "terminal" in [finding["check"] for finding in hand.view("record.checks")]


def test_who_never_left_goes_on_where_the_walk_was(hand: Hand) -> None:
    hand.begin()
    hand.answer("no_smell")
    hand.page.evaluate("fake.written().forEach((e) => { e.at_wall = '2026-11-20T09:00:00Z'; })")
    hand.page.evaluate("fake.view.value = null")
    hand.go("/jobs")
    hand.go("walk")
    hand.tap("[data-stayed]")
    hand.page.wait_for_selector('[data-check="symptoms"]')
    hand.answer("nobody")
    assert hand.asked() == "co_meter"


def test_the_heater_s_name_is_whole_beside_a_long_street(hand: Hand) -> None:
    hand.tap(".card >> nth=1")
    hand.tap("[data-start]")
    hand.page.wait_for_selector("[data-check]")
    cut_px = hand.page.evaluate(
        "(({ scrollWidth, clientWidth }) => scrollWidth - clientWidth)(document.querySelector('.where .soft'))"
    )
    assert hand.page.locator(".where .soft").inner_text() == "Power-vented tank heater"
    assert cut_px == 0
