"""Numbers: our own pad, what it warns of, what the rules make of them, what stood at this address before."""

from tests.screens.conftest import OpenStage
from tests.screens.hand import Hand


def to_the_gauge(hand: Hand) -> None:
    """Through the gate, the tap named, gas off, plug out: the suction can be read."""
    hand.begin()
    hand.pass_gate()
    for check, outcome in (("tap_type", "suction"), ("gas_off", None), ("plug_out", None)):
        hand.go(f"check/{check}")
        hand.tap(f'[data-answer="{outcome or hand.first_outcome(check)}"]')
        hand.until("(check) => fake.view.value.record.checks.some((one) => one.check === check)", check)
    hand.go("check/suction_at_switch")
    hand.page.wait_for_selector("[data-wanted]")


def type_wanted(hand: Hand, digits: str) -> None:
    if not hand.page.locator(".pad").count():
        hand.tap("[data-wanted]")
    hand.type_number(digits)
    hand.tap("[data-pad-done]")
    hand.settle()


def test_the_pad_has_the_unit_on_it_and_keys_three_to_the_width_72_px_high(hand: Hand) -> None:
    to_the_gauge(hand)
    hand.tap("[data-wanted]")
    assert "in. w.c." in hand.page.locator(".pad-top").inner_text()
    boxes = [key.bounding_box() for key in hand.page.locator(".pad-keys .pad-key").all()]
    assert all(box is not None and box["height"] >= 72 for box in boxes)
    assert len({round(box["x"]) for box in boxes if box}) == 3
    assert hand.page.locator('[data-key="sign"]').count() == 1


def test_one_wanted_figure_opens_the_pad_of_the_next(hand: Hand) -> None:
    to_the_gauge(hand)
    type_wanted(hand, "0.30")
    assert hand.heading() == "Make point on its label"
    assert hand.focused() == "H1"
    hand.tap("[data-pad-cancel]")
    assert hand.page.locator("[data-wanted]").count() == 1


def test_nothing_can_be_answered_before_the_wanted_figures_are_typed(hand: Hand) -> None:
    to_the_gauge(hand)
    assert hand.page.locator("[data-answer]").count() == 0
    assert hand.page.locator("[data-could-not]").count() == 1


def test_the_rule_proposes_and_the_technician_decides(hand: Hand) -> None:
    to_the_gauge(hand)
    type_wanted(hand, "0.38")
    type_wanted(hand, "0.36")
    hand.page.wait_for_selector(".said")
    assert "Less than 15 % over the make point" in hand.page.locator(".said").inner_text()
    assert hand.page.locator("[data-barred]").count() == 0
    hand.tap('[data-answer="enough"]')  # doubtful: the technician may say otherwise
    hand.until("() => fake.view.value.record.checks.some((one) => one.check === 'suction_at_switch')")
    assert hand.last_body("check_answered")["outcome"] == "enough"
    assert hand.last_body("reading_taken")["value"] == 0.38
    assert hand.last_body("sheet_number") == {"quantity": "make_point_in_wc", "value": 0.36, "where": "part_label"}


def test_what_the_figures_exclude_stays_in_sight_takes_no_tap_and_says_why(hand: Hand) -> None:
    to_the_gauge(hand)
    type_wanted(hand, "0.30")
    type_wanted(hand, "0.36")
    hand.page.wait_for_selector(".said")
    barred = hand.page.locator("[data-barred]")
    assert barred.count() == 1
    assert barred.inner_text().splitlines() == ["Enough", "Not with 0.3 in. w.c."]
    barred.click(force=True)
    hand.settle()
    assert hand.last_event("reading_taken")["body"]["quantity"] == "co_room_ppm"  # nothing was saved
    hand.tap('[data-figure="suction_in_wc"]')  # mistyped: it is put right
    hand.type_number("0.50")
    hand.tap("[data-pad-done]")
    hand.until("() => document.querySelector('[data-answer=enough]:not([data-barred])') !== null")


def test_in_a_room_that_must_be_left_nothing_milder_can_be_said(hand: Hand) -> None:
    hand.begin()
    hand.go("check/co_room")
    type_wanted(hand, "200")
    hand.page.wait_for_selector(".said")
    barred = {one.get_attribute("data-answer") for one in hand.page.locator("[data-barred]").all()}
    assert barred == {"acceptable", "raised", "outside", "not_measured"}
    assert hand.page.locator("[data-answer]").first.get_attribute("data-answer") == "leave"
    assert hand.page.get_by_text("Not with 200 ppm").count() == 4
    assert "Mistyped? Tap the figure." in hand.page.locator(".said").inner_text()
    assert hand.page.locator("[data-could-not]").count() == 0  # what reads 200 ppm was measured


def test_in_a_room_that_must_be_left_the_engine_is_not_waited_for(hand: Hand) -> None:
    hand.page.evaluate("() => { fake.ask = () => Promise.reject(new Error('away')); }")
    hand.begin()
    hand.go("check/co_room")
    type_wanted(hand, "200")
    hand.page.wait_for_selector(".said")
    assert hand.page.locator("[data-barred]").count() == 4
    type_over(hand, "69")
    barred = [one.get_attribute("data-answer") for one in hand.page.locator("[data-barred]").all()]
    assert barred == ["acceptable", "not_measured"]
    type_over(hand, "12")
    assert hand.page.locator("[data-barred]").count() == 0


def test_an_unsafe_figure_is_saved_before_it_is_answered(hand: Hand) -> None:
    """Whoever goes out first, as it says, may not come back to the answer."""
    hand.begin()
    hand.go("check/co_room")
    type_wanted(hand, "200")
    hand.until("() => fake.view.value.record.readings.length === 1")
    assert hand.view("record.readings.map((one) => one.value)") == [200]
    assert "Saved on this phone." in hand.page.locator(".said").inner_text()
    hand.go("home")
    hand.go("check/co_room")
    hand.until("() => document.querySelector('.said')?.innerText.includes('Saved on this phone.')")
    before = hand.page.evaluate("fake.written().length")
    hand.tap('[data-answer="leave"]')
    hand.page.wait_for_selector(".stop-card")
    assert hand.page.evaluate("fake.written().length") == before + 1  # the answer alone
    assert hand.view("record.readings.map((one) => one.value)") == [200]


def test_an_unsafe_figure_that_was_mistyped_is_typed_over(hand: Hand) -> None:
    hand.begin()
    hand.go("check/co_room")
    type_wanted(hand, "200")
    hand.until("() => fake.view.value.record.readings.length === 1")
    hand.tap("[data-typed-figure]")
    hand.type_number("2")
    hand.tap("[data-pad-done]")
    hand.until("() => document.querySelector('.said')?.innerText.includes('Saved with the answer.')")
    hand.tap('[data-answer="acceptable"]')
    hand.until("() => fake.view.value.record.readings[0].value === 2")
    assert hand.view("record.readings.length") == 1


def type_over(hand: Hand, digits: str) -> None:
    hand.page.locator("[data-figure]").first.click()
    hand.type_number(digits)
    hand.tap("[data-pad-done]")
    hand.page.wait_for_selector(".said")


def test_figures_and_answer_are_saved_in_one_act_and_undone_in_one(hand: Hand) -> None:
    to_the_gauge(hand)
    type_wanted(hand, "0.30")
    type_wanted(hand, "0.36")
    assert hand.view("record.readings.length") == 1  # the gate's CO reading alone
    hand.tap('[data-answer="short"]')
    hand.until("() => fake.view.value.record.readings.length === 2")
    hand.tap("[data-undo]")
    hand.until("() => fake.view.value.record.readings.length === 1")
    assert hand.view("record.sheet") == []


def test_a_figure_out_of_range_is_warned_of_and_kept_as_typed(hand: Hand) -> None:
    to_the_gauge(hand)
    hand.tap("[data-wanted]")
    hand.type_number("8")
    assert "Outside −6 to 6 in. w.c." in hand.page.locator(".pad").inner_text()
    hand.page.get_by_text("Keep as typed").click()
    type_wanted(hand, "0.36")
    hand.tap("[data-answer] >> nth=0")
    hand.until("() => fake.view.value.record.readings.length === 2")
    assert hand.last_body("reading_taken")["value"] == 8


def test_an_unusual_figure_is_told_what_is_usual_in_one_sentence(hand: Hand) -> None:
    to_the_gauge(hand)
    hand.tap("[data-wanted]")
    hand.tap('[data-key="3"]')
    assert "Usual is 0.1 to 2 in. w.c.\n" in hand.page.locator(".pad").inner_text() + "\n"


def test_with_more_digits_than_any_meter_shows_it_is_not_kept_and_nothing_typed_is_lost(hand: Hand) -> None:
    to_the_gauge(hand)
    hand.tap("[data-wanted]")
    hand.type_number("36")  # the point forgotten
    assert "No meter shows this: 6 in. w.c. is the most." in hand.page.locator(".pad").inner_text()
    assert hand.page.locator("[data-typed]").inner_text() == "36"
    assert hand.page.locator("[data-pad-done]").is_disabled()
    hand.tap('[data-key="rub"]')
    hand.tap('[data-key="rub"]')
    hand.type_number("0.36")
    assert hand.page.locator(".pad [data-kind='bad']").count() == 0
    hand.tap("[data-pad-done]")
    assert hand.heading() == "Make point on its label"


def test_an_earlier_reading_of_this_address_stands_beside_the_new_one(hand: Hand) -> None:
    to_the_gauge(hand)
    hand.tap("[data-wanted]")
    assert "Earlier here: 0.41 in. w.c., cold, 3 Nov 2026" in hand.page.locator(".pad").inner_text()


def test_no_continuity_has_a_key_of_its_own_and_is_no_number(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    for check, digits in (("vent_warmth", ""), ("plug_out", ""), ("leads_beep", "0.3")):
        hand.go(f"check/{check}")
        if digits:
            type_wanted(hand, digits)
        hand.tap(f'[data-answer="{hand.first_outcome(check)}"]')
        hand.until("(check) => fake.view.value.record.checks.some((one) => one.check === check)", check)
    readings = hand.view("record.readings.length")
    hand.go("check/limit_continuity")
    hand.tap('[data-figure="limit_ohm"]')
    hand.tap('[data-key="OL"]')
    hand.page.wait_for_selector(".said")
    assert "Open: it has done its job." in hand.page.locator(".said").inner_text()
    hand.tap('[data-answer="open"]')
    hand.until("() => fake.view.value.record.checks.some((one) => one.check === 'limit_continuity')")
    assert hand.view("record.readings.length") == readings


CHOOSE = (
    "(co_ladder) => { const now = fake.company.value;"
    " fake.company.value = {...now, settings: {...now.settings, co_ladder}}; }"
)
NOT_CHOSEN = "Your company has not chosen CO rules: these are the code appendix's."


def to_room_co(hand: Hand) -> None:
    hand.begin()
    while hand.asked() != "co_room":
        hand.answer(hand.first_outcome(hand.asked() or ""))


def test_no_chosen_co_rules_are_said_beside_the_reading_and_its_result(hand: Hand) -> None:
    hand.page.evaluate(CHOOSE, None)
    to_room_co(hand)
    assert NOT_CHOSEN in hand.words()
    type_wanted(hand, "12")
    hand.page.wait_for_selector(".said")
    assert "No CO rules chosen by your company are known here" in hand.page.locator(".said").inner_text()
    hand.go("proof")
    assert NOT_CHOSEN in hand.words()


def test_chosen_co_rules_need_no_such_words(hand: Hand) -> None:
    hand.page.evaluate(CHOOSE, "protocol_9_36_70")
    to_room_co(hand)
    type_wanted(hand, "12")
    hand.page.wait_for_selector(".said")
    assert "code appendix" not in hand.words()
    hand.go("proof")
    assert "code appendix" not in hand.words()


def test_what_is_unsafe_by_the_figures_is_done_first_and_not_left_to_decide(hand: Hand) -> None:
    hand.begin()
    hand.go("check/co_room")
    type_wanted(hand, "200")
    hand.page.wait_for_selector(".said")
    said = hand.page.locator(".said").inner_text()
    assert "Everybody out now." in hand.page.locator("[data-out-now]").inner_text()
    assert "Do that first, then answer." in said
    assert "You decide" not in said


def test_a_room_that_must_be_left_says_so_where_cautions_stand_and_the_answer_is_in_sight(
    open_stage: OpenStage,
) -> None:
    hand = open_stage(size={"width": 320, "height": 640})
    hand.begin()
    hand.go("check/co_room")
    type_wanted(hand, "200")
    hand.page.wait_for_selector("[data-out-now]")
    assert hand.page.locator("[data-out-now]").inner_text().startswith("Everybody out now. Call emergency services")
    assert "air the room" not in hand.words()
    leave, foot = hand.page.locator('[data-answer="leave"]').bounding_box(), hand.page.locator("footer").bounding_box()
    assert leave is not None
    assert foot is not None
    assert leave["y"] + leave["height"] <= foot["y"]


def test_what_is_not_unsafe_is_the_technicians_to_decide(hand: Hand) -> None:
    hand.begin()
    hand.go("check/co_room")
    type_wanted(hand, "2")
    hand.page.wait_for_selector(".said")
    assert hand.page.locator(".said").inner_text().endswith("You decide. Saved with the answer.")
