"""What is unsafe is said on every screen from the moment it is answered, with the way to leave the heater off."""

from tests.screens.conftest import OpenStage
from tests.screens.hand import JOB, Hand
from tests.screens.test_every_state_looks_right import faults


def find_parted(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.answer_to("joints", joints="parted")
    hand.page.wait_for_selector("[data-unsafe]")


def test_an_unsafe_answer_is_no_green_line_alone(hand: Hand) -> None:
    find_parted(hand)
    for screen in ("walk", "record", "checks", "check/slope"):
        hand.go(screen)
        words = hand.page.locator("[data-unsafe]").inner_text()
        assert "Unsafe. Joints and pipe: Parted, cracked or unglued" in words
        assert "The burner stays off until it is put right." in words
    hand.tap("[data-unsafe] a")
    hand.page.wait_for_selector('main[data-screen="left-off"]')
    assert hand.page.locator("[data-unsafe] a").count() == 0


def test_what_was_found_is_the_first_reason_to_leave_it_off(hand: Hand) -> None:
    find_parted(hand)
    hand.go("left-off")
    hand.page.locator("fieldset", has_text="Why").locator("button").first.click()
    assert hand.page.input_value("#left-why") == "Joints and pipe: Parted cracked or unglued"


def test_what_a_leaving_off_still_wants_is_said_at_its_place(hand: Hand) -> None:
    find_parted(hand)
    hand.go("left-off")
    for words in ("The heater", "Vent parted or blocked"):
        hand.page.get_by_role("button", name=words, exact=True).click()
    hand.page.get_by_role("button", name="Save it").click()
    wanted = hand.page.locator("[data-missing]")
    assert wanted.all_inner_texts() == ["Missing: who was told. Tap it, or say it in words."]
    hand.until("() => document.querySelector('[data-missing]').getBoundingClientRect().top >= 0")
    assert hand.last_event("left_off") is None
    hand.page.get_by_role("button", name="Nobody was there", exact=True).click()
    hand.page.get_by_role("button", name="Save it").click()
    hand.page.wait_for_selector('main[data-screen="office-told"]')
    assert hand.last_body("left_off")["told_words"] == "Nobody was there"


def test_the_figure_of_the_room_s_co_goes_with_the_reason(hand: Hand) -> None:
    hand.begin()
    reading = {"check": "co_room", "quantity": "co_room_ppm", "value": 24, "place": "room"}
    hand.page.evaluate("([job, body]) => fake.act(job, [{kind: 'reading_taken', body}])", [JOB, reading])
    hand.go("left-off")
    hand.page.locator("fieldset", has_text="Why").get_by_text("CO in the room 24 ppm").click()
    assert hand.page.input_value("#left-why") == "CO in the room 24 ppm"
    assert "Tell nobody that it may be used." in hand.words()


def test_a_figure_that_was_called_acceptable_is_no_reason(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.go("left-off")
    assert "CO in the room 2 ppm" not in hand.words()


def test_it_goes_once_the_check_is_answered_anew(hand: Hand) -> None:
    find_parted(hand)
    hand.go("check/joints")
    hand.tap('[data-answer="sound"]')
    hand.until("() => document.querySelector('[data-unsafe]') === null")


def test_could_not_check_takes_it_not_back(hand: Hand) -> None:
    find_parted(hand)
    hand.go("check/joints")
    hand.tap("[data-could-not]")
    hand.tap('[data-answer="no_access"]')
    hand.until("() => fake.written().some((one) => one.body.could_not === 'no_access')")
    hand.page.wait_for_selector("[data-unsafe]")
    assert "Unsafe. Joints and pipe: Parted, cracked or unglued" in hand.page.locator("[data-unsafe]").inner_text()
    hand.go("check/joints")
    hand.tap('[data-answer="sound"]')  # seen otherwise
    hand.until("() => document.querySelector('[data-unsafe]') === null")


def test_could_not_check_takes_nothing_back_that_keeps_the_burner_off(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.go("check/co_meter")
    hand.tap('[data-answer="not_with_me"]')  # marked unsafe nowhere, and nothing is fired without it
    hand.until("() => fake.view.value.advice.may_fire.missing.some((one) => one.startsWith('CO meter'))")
    hand.go("check/co_meter")
    hand.tap("[data-could-not]")
    hand.tap('[data-answer="cannot_tell"]')
    hand.until("() => fake.written().some((one) => one.body.could_not === 'cannot_tell')")
    assert "replaces" not in hand.last_event("check_answered") or hand.last_event("check_answered")["replaces"] == []


def test_of_several_the_first_is_named_and_the_rest_counted(hand: Hand) -> None:
    find_parted(hand)
    hand.answer_to("burn_marks", "tp_valve", burn_marks="roll_out", tp_valve="missing_or_plugged")
    hand.until("() => document.querySelector('[data-unsafe]').innerText.includes(', and 2 more')")


def test_the_stop_at_the_gate_says_it_alone(hand: Hand) -> None:
    hand.begin()
    hand.tap('[data-answer="smell"]')
    hand.page.wait_for_selector(".stop-card")
    assert hand.page.locator("[data-unsafe]").count() == 0
    hand.go("record")
    hand.page.wait_for_selector("[data-unsafe]")


def test_a_panel_that_stays_live_stops_the_walk_and_opens_nothing(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.answer_to("plug_out", plug_out="not_dead")
    hand.page.wait_for_selector(".stop-card")
    assert "Hands off: the panel is live with the plug out." in hand.words()
    assert hand.page.locator('a[href$="/left-off"]').count() == 1
    for check in ("wiring", "connectors", "chain_volts", "watch_cycle"):
        hand.go(f"check/{check}")
        hand.page.wait_for_selector("[data-blocked]")
        assert hand.page.locator("[data-stop-stands]").count() == 1
        assert hand.page.locator("[data-answer]").count() == 0
    hand.answer_to("plug_out", plug_out="proved_dead")
    hand.go("check/wiring")
    hand.page.wait_for_selector("[data-answer]")
    assert hand.page.locator("[data-stop-stands], [data-unsafe]").count() == 0


def test_it_fits_the_smallest_phone(open_stage: OpenStage) -> None:
    for look in ("dark", "light"):
        hand = open_stage(size={"width": 320, "height": 640}, look=look)
        find_parted(hand)
        assert faults(hand) == []
        assert hand.page.evaluate("document.documentElement.scrollWidth") == 320
