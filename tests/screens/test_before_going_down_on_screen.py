"""Before going down: due out, instruments, what the caller said; and what stands over every screen meanwhile."""

from collections.abc import Iterator

import pytest

from tests.screens.conftest import PHONE, OpenStage
from tests.screens.hand import JOB, Hand
from tests.screens.test_every_state_looks_right import faults

OFFICE = "00000000-0000-7000-8000-0000000000a2"
WRITE = "([job, kind, body, person]) => { fake.write(job, [{kind, body}], person, '2026-11-25T07:40:00Z'); }"
ACT = "([job, kind, body]) => fake.act(job, [{kind, body}])"
SMALL = {"width": 320, "height": 640}
WHOLE_IN_SIGHT = """(element) => {
  const [box, dock] = [element.getBoundingClientRect(), document.querySelector('.dock').getBoundingClientRect()];
  return box.top >= 0 && box.bottom <= dock.top + 1;
}"""
MINUTES_AGO = "(minutes) => new Date(Date.now() - minutes * 60000).toISOString()"


def home(hand: Hand) -> None:
    hand.tap(f'[data-job="{JOB}"]')
    hand.page.wait_for_selector("[data-way]")


def not_yet(hand: Hand) -> list[str]:
    """What the line over the way in leads to."""
    hand.settle()
    return hand.page.locator(".not-yet a").all_text_contents()


def call_taken(hand: Hand, **answers: str) -> None:
    """The office noted what the caller said."""
    body = {"smell_of_gas": "no", "co_alarm": "no", "unwell": "no", "water_leak": "no", "lately": [], "said": []}
    hand.page.evaluate(WRITE, [JOB, "call_taken", {**body, **answers}, OFFICE])


def act(hand: Hand, kind: str, body: object) -> None:
    hand.page.evaluate(ACT, [JOB, kind, body])
    hand.settle()


def add_instrument(hand: Hand, kind: str, serial: str, calibrated: str = "") -> None:
    if hand.page.locator("details.more:not([open]) > summary").count():
        hand.tap("details.more > summary")
    hand.tap(f"[data-add={kind}]")
    hand.page.fill("#serial", serial)
    hand.page.fill("#calibrated", calibrated)
    hand.tap("[data-keep]")
    hand.page.wait_for_selector(f"[data-instrument={kind}]")


def carry(hand: Hand, kind: str, serial: str, *done_today: str) -> None:
    """Add an instrument and note it for this job, as the only one."""
    hand.go("kit")
    add_instrument(hand, kind, serial)
    hand.tap(f"[data-instrument={kind}] .answer")
    for what in done_today:
        hand.tap(f"[data-instrument={kind}] [data-today={what}]")
    hand.tap("[data-kit-save]")
    hand.until("() => fake.view.value.record.instruments.length === 1")


def carry_co_meter(hand: Hand) -> None:
    carry(hand, "co_meter", "C-1187", "bump_tested", "zeroed")


def test_an_alarm_of_the_caller_stands_over_everything_else(hand: Hand) -> None:
    call_taken(hand, unwell="yes", co_alarm="unsure")
    home(hand)
    words = hand.words()
    assert words.index("The caller said: somebody unwell.") < words.index("Earlier visits")
    assert "The caller was not sure: CO alarm." in words


def test_since_when_there_is_no_hot_water_is_said_as_a_day(hand: Hand) -> None:
    call_taken(hand, no_hot_water_since="2026-11-24")
    home(hand)
    assert "24 Nov 2026" in hand.words()


def test_a_call_without_alarm_shows_none(hand: Hand) -> None:
    call_taken(hand)
    home(hand)
    assert hand.page.locator("[data-alarm]").count() == 0
    assert "smell of gas, CO alarm" in hand.words()


def test_due_out_takes_two_taps_and_names_whom_the_office_rings(hand: Hand) -> None:
    home(hand)
    hand.tap("[data-way=below]")
    hand.tap('[data-answer="60"]')
    hand.page.wait_for_selector("[data-due-out]")
    assert hand.last_body("due_out")["ring_phone"] == "(555) 555-0142"
    assert "1 h 0 min left" in hand.page.locator("[data-due-out]").inner_text()


def test_whoever_closes_at_the_heater_is_waited_for_and_whoever_is_out_says_so(hand: Hand) -> None:
    hand.begin()
    hand.go("close")
    hand.page.wait_for_selector('[data-answer="declined"]')
    assert hand.page.locator("[data-out]").count() == 0  # nobody waits for whoever agreed no time
    act(hand, "due_out", {"due_out_wall": hand.page.evaluate(MINUTES_AGO, -60)})
    hand.go("close")
    hand.page.fill("#close-words", "no")
    hand.tap('[data-answer="declined"]')
    hand.until("() => fake.view.value.card.state === 'closed'")
    event = hand.last_event("job_closed")
    assert (event["schema"], event["body"]) == (2, {"state": "declined", "words": "no", "out": False})
    assert hand.page.locator("[data-came-out]").count() == 1
    hand.go("/jobs")
    assert "due out" in hand.page.locator(f'[data-job="{JOB}"]').inner_text()
    hand.go("home")
    hand.tap("[data-came-out]")
    hand.until("() => fake.view.value.record.below === null")


def test_whoever_says_so_while_closing_is_out(hand: Hand) -> None:
    hand.begin()
    act(hand, "due_out", {"due_out_wall": hand.page.evaluate(MINUTES_AGO, -60)})
    hand.go("close")
    hand.page.fill("#close-words", "no")
    hand.tap("[data-i-am-out]")
    hand.tap('[data-answer="declined"]')
    hand.until("() => fake.view.value.card.state === 'closed'")
    assert hand.last_body("job_closed")["out"] is True
    assert hand.view("record.below") is None
    assert hand.page.locator("[data-due-out]").count() == 0


def test_whose_number_the_office_will_ring_is_said_and_another_one_is_there_the_next_time(hand: Hand) -> None:
    home(hand)
    hand.tap("[data-way=below]")
    assert hand.page.locator("[data-ring]").all_text_contents() == ["The customer's: (555) 555-0142"]
    hand.page.fill("#ring", "(555) 555-0177")
    hand.tap('[data-answer="60"]')
    assert hand.last_body("due_out")["ring_phone"] == "(555) 555-0177"
    hand.tap("[data-way=below]")
    hand.tap("[data-ring] >> text=As last time: (555) 555-0177")
    assert hand.page.input_value("#ring") == "(555) 555-0177"
    hand.tap("[data-ring] >> nth=0")
    hand.tap('[data-answer="30"]')
    assert hand.last_body("due_out")["ring_phone"] == "(555) 555-0142"


def test_a_time_that_was_not_sent_is_watched_by_nobody_and_says_so(hand: Hand) -> None:
    home(hand)
    act(hand, "due_out", {"due_out_wall": hand.page.evaluate(MINUTES_AGO, -60)})
    strip, line = hand.page.locator("[data-due-out]"), hand.page.locator("[data-way=below]")
    assert "Not sent: the office does not know." in strip.inner_text()
    assert "Not sent: the office does not know." in line.inner_text()
    hand.page.evaluate("fake.syncNow()")
    act(hand, "note", {"words": "waits, but came after it"})
    assert "Not sent" not in strip.inner_text() + line.inner_text()


def test_an_own_time_is_tapped_in_quarters_of_an_hour(hand: Hand) -> None:
    home(hand)
    hand.tap("[data-way=below]")
    hand.tap("text=−15")
    hand.tap('[data-answer="own"]')
    hand.page.wait_for_selector("[data-due-out]")
    assert "1 h 45 min left" in hand.page.locator("[data-due-out]").inner_text()


def test_overdue_stands_on_every_screen_of_the_job_until_one_is_out(hand: Hand) -> None:
    home(hand)
    act(hand, "due_out", {"due_out_wall": hand.page.evaluate(MINUTES_AGO, 6)})
    hand.tap("[data-start]")
    for screen in ("walk", "record", "checks", "note"):
        hand.go(screen)
        assert "overdue 6 min" in hand.page.locator("[data-due-out]").inner_text()
    hand.tap("[data-came-out]")
    hand.until("() => fake.view.value.record.below === null")
    assert hand.page.locator("[data-due-out]").count() == 0


def test_another_ones_time_below_is_theirs_to_end_and_hides_nobodys_own(hand: Hand) -> None:
    theirs = {"due_out_wall": hand.page.evaluate(MINUTES_AGO, -90)}
    hand.page.evaluate(WRITE, [JOB, "due_out", theirs, "00000000-0000-7000-8000-0000000000b7"])
    home(hand)
    assert "not agreed" in hand.page.locator("[data-way=below]").inner_text()
    assert not_yet(hand) == ["due out", "instruments"]
    hand.go("walk")
    assert hand.page.locator("[data-due-out]").count() == 0
    act(hand, "due_out", {"due_out_wall": hand.page.evaluate(MINUTES_AGO, 6)})
    assert "overdue" in hand.page.locator("[data-due-out]").inner_text()
    hand.tap("[data-came-out]")
    hand.until("() => fake.view.value.record.below_now.length === 1")
    assert hand.page.locator("[data-due-out]").count() == 0


def test_of_two_heaters_of_a_kind_the_line_asks_which_it_is(hand: Hand) -> None:
    line = hand.page.locator("[data-way=heater]")
    for number, name in ((1, "Left one"), (2, "Right one")):
        body = {
            "appliance_id": f"00000000-0000-7000-8000-00000000090{number}",
            "kind": "power_vent",
            "maker_words": name,
        }
        hand.page.evaluate(
            "([job, body]) => fake.act(job, [{kind: 'appliance_described', schema: 2, job: null, body}])", [JOB, body]
        )
    hand.until("() => fake.view.value.facts.heaters.length === 2")
    home(hand)
    assert "which of 2 is it?" in line.inner_text()
    assert line.get_attribute("data-done") == "false"
    act(hand, "appliance_described", body)
    assert "Right one" in line.inner_text()
    assert line.get_attribute("data-done") == "true"


def test_whoever_began_too_early_still_reads_what_is_not_noted(hand: Hand) -> None:
    home(hand)
    hand.tap("[data-start]")
    hand.page.wait_for_selector("[data-check]")
    hand.go("home")
    assert not_yet(hand) == ["due out", "instruments"]


def test_the_page_of_a_job_says_what_kind_of_heater_it_is_for(hand: Hand) -> None:
    home(hand)
    assert "Ockham Falls · Power-vented tank heater" in hand.words()


def test_a_job_that_is_closed_and_not_at_its_end_stands_on_top_of_the_list(hand: Hand) -> None:
    home(hand)
    act(hand, "left_off", {"what_words": "The heater", "why_words": "CO", "told_words": "The customer"})
    act(hand, "job_closed", {"state": "left_off"})
    hand.go("/jobs")
    first = hand.page.locator(".card").first
    assert first.get_attribute("data-job") == JOB
    assert "office not told" in first.inner_text()


def test_the_list_says_of_a_call_that_a_heater_stands_off_there(hand: Hand) -> None:
    hand.page.evaluate("fake.jobs.value = fake.jobs.value.map((one, n) => ({...one, stands_off: n === 0}))")
    hand.settle()
    assert "a heater stands off" in hand.page.locator(".card").first.inner_text()
    assert hand.page.locator("text=a heater stands off").count() == 1


def test_nothing_before_the_walk_is_compulsory(hand: Hand) -> None:
    home(hand)
    assert not_yet(hand) == ["due out", "instruments"]
    hand.tap("[data-start]")
    hand.page.wait_for_selector("[data-check]")


@pytest.mark.parametrize("size", [PHONE, SMALL])
def test_what_is_not_noted_yet_is_led_to_from_within_the_thumb_s_reach(
    size: dict[str, int], open_stage: OpenStage
) -> None:
    hand = open_stage(size=size)
    home(hand)
    hand.tap(".not-yet a >> text=due out")
    hand.tap('[data-answer="60"]')
    hand.page.wait_for_selector("main[data-screen=home]")
    assert not_yet(hand) == ["instruments"]
    hand.tap(".not-yet a")
    assert hand.heading() == "What do you carry?"


def test_of_two_heaters_which_one_it_is_can_be_said_from_there_too(hand: Hand) -> None:
    for number in (1, 2):
        body = {"appliance_id": f"00000000-0000-7000-8000-00000000090{number}", "kind": "power_vent"}
        hand.page.evaluate(
            "([job, body]) => fake.act(job, [{kind: 'appliance_described', schema: 2, job: null, body}])", [JOB, body]
        )
    home(hand)
    assert not_yet(hand) == ["due out", "instruments", "which heater"]
    hand.tap(".not-yet a >> text=which heater")
    assert "Which of these is it?" in hand.words()


@pytest.mark.parametrize("opened", ["begun", "not begun"])
def test_after_one_thing_is_noted_one_is_where_one_was(opened: str, hand: Hand) -> None:
    home(hand)
    if opened == "begun":
        hand.tap("[data-start]")
        hand.page.wait_for_selector("[data-check]")
        hand.go("home")
    hand.page.locator("[data-way=below]").scroll_into_view_if_needed()
    was = hand.page.evaluate("scrollY")
    assert was > 100
    hand.tap("[data-way=below]")
    assert hand.page.evaluate("scrollY") == 0
    hand.tap('[data-answer="60"]')
    hand.page.wait_for_selector("main[data-screen=home]")
    line = hand.page.locator("[data-way=below]")
    assert "60 min left" in line.inner_text() or "1 h 0 min left" in line.inner_text()
    assert line.evaluate(WHOLE_IN_SIGHT)
    hand.tap("[data-way=kit]")
    hand.page.go_back()
    hand.settle()
    assert hand.page.locator("[data-way=kit]").evaluate(WHOLE_IN_SIGHT)


def test_a_job_that_is_opened_anew_starts_at_its_top(hand: Hand) -> None:
    home(hand)
    hand.page.locator("[data-way=heater]").scroll_into_view_if_needed()
    hand.tap("[data-way=heater]")
    hand.go("/jobs")
    hand.go("home")
    assert hand.page.evaluate("scrollY") == 0


def test_what_was_promised_stands_in_the_list_and_on_the_job_s_page(hand: Hand) -> None:
    hand.page.evaluate("fake.jobs.value = fake.jobs.value.map((one) => ({...one, due_wall: '2026-11-24T11:00:00'}));")
    hand.settle()
    assert "Promised for 24 Nov 2026, 11:00" in hand.page.locator(".card").first.inner_text()


def test_an_earlier_call_that_nobody_went_for_is_no_visit(hand: Hand) -> None:
    hand.page.evaluate("fake.jobs.value = fake.jobs.value.map((one) => ({...one, visits_before: 0, calls_before: 1}))")
    hand.settle()
    assert "1 earlier call for which nobody has been there" in hand.words()
    hand.page.evaluate(
        WRITE,
        [
            JOB[:-1] + "5",
            "job_booked",
            {
                "complaint": "locks_out",
                "complaint_words": "smells",
                "technician_id": OFFICE,
                "procedure_name": "power_vent",
            },
            OFFICE,
        ],
    )
    home(hand)
    visit = hand.page.locator(".visit").first.inner_text()
    assert "Nobody has been there for this call." in visit
    assert "Did it hold" not in visit


def test_a_reading_names_the_instrument_that_fits_it(hand: Hand) -> None:
    home(hand)
    carry_co_meter(hand)
    assert hand.last_body("instrument_carried")["bump_tested"] is True
    hand.tap("[data-start]")
    hand.page.wait_for_selector("[data-check]")
    hand.tap_through_gate()
    assert hand.last_body("reading_taken")["instrument_words"] == "CO meter, C-1187"


def test_the_same_as_last_time_keeps_the_tests_of_today_and_asks_those_of_yesterday_again(hand: Hand) -> None:
    home(hand)
    carry_co_meter(hand)
    other = hand.page.evaluate("fake.jobs.value[2].job_id")
    hand.go(f"/job/{other}/kit")
    hand.tap("[data-same]")
    assert hand.page.locator('[data-today][aria-pressed="true"]').count() == 2
    hand.page.evaluate(
        "fake.keepOwn({instruments: fake.own.value.instruments.map("
        "(one) => ({...one, last: {...one.last, day: 'Tue Nov 24 2026'}}))})"
    )
    hand.tap("[data-same]")
    assert hand.page.locator('[data-today][aria-pressed="false"]').count() == 2


def test_what_is_missing_with_the_instruments_is_said_plainly(hand: Hand) -> None:
    home(hand)
    carry(hand, "manometer", "M-22")
    hand.go("kit")
    assert "No CO meter is noted" in hand.words()
    assert "Manometer: not noted: zeroed, both ports open" in hand.words()


@pytest.fixture
def west(hand: Hand) -> Iterator[Hand]:
    """Where a day begins after Greenwich's."""
    clock = hand.page.context.new_cdp_session(hand.page)
    clock.send("Emulation.setTimezoneOverride", {"timezoneId": "America/Chicago"})
    yield hand
    clock.detach()


def test_a_day_of_calibration_is_that_day_wherever_one_is(west: Hand) -> None:
    hand = west
    home(hand)
    hand.go("kit")
    add_instrument(hand, "manometer", "M-22", calibrated="2026-03-03")
    row = hand.page.locator("[data-instrument=manometer]")
    assert "Calibrated 3 Mar 2026; a year is up on 3 Mar 2027" in row.inner_text()
    hand.tap("[data-instrument=manometer] .answer")
    hand.tap("[data-kit-save]")
    hand.until("() => fake.view.value.record.instruments.length === 1")
    assert hand.last_body("instrument_carried")["calibrated_on"] == "2026-03-03"
    hand.go("record")
    assert "Manometer, M-22, calibrated 3 Mar 2026" in hand.words()


def test_each_reading_in_the_record_names_its_instrument(hand: Hand) -> None:
    home(hand)
    carry_co_meter(hand)
    hand.tap("[data-start]")
    hand.page.wait_for_selector("[data-check]")
    hand.tap_through_gate()
    hand.go("record")
    assert "2 ppm. With: CO meter, C-1187" in hand.words()


def test_the_question_about_the_meter_reads_what_was_noted_of_it(hand: Hand) -> None:
    home(hand)
    carry(hand, "co_meter", "C-1187")
    hand.tap("[data-start]")
    hand.page.wait_for_selector("[data-check]")
    hand.go("check/co_meter")
    strip = hand.page.locator("[data-meter]")
    assert "CO meter: not noted: bump-tested today; CO meter: not noted: zeroed outdoors." in strip.inner_text()
    hand.tap("[data-meter-done]")
    strip.wait_for(state="detached")
    assert hand.view("record.instruments.map((one) => [one.bump_tested, one.zeroed])") == [[True, True]]


def test_a_meter_that_is_on_without_a_name_is_not_said_to_be_missing(hand: Hand) -> None:
    home(hand)
    assert "none noted" in hand.page.locator("[data-way=kit]").inner_text()
    hand.tap("[data-start]")
    hand.page.wait_for_selector("[data-check]")
    hand.pass_gate()
    hand.go("home")
    assert "none by name; CO meter on" in hand.page.locator("[data-way=kit]").inner_text()
    carry(hand, "manometer", "M-22")
    hand.go("kit")
    assert "The CO meter that is on has no name here" in hand.words()


def test_a_licence_that_ran_out_is_said_and_stops_nothing(hand: Hand) -> None:
    hand.page.evaluate("fake.company.value = {...fake.company.value, person: {licence_expires_on: '2026-03-31'}}")
    home(hand)
    assert "Your licence ran out on 31 Mar 2026" in hand.words()
    assert hand.page.locator("[data-start]").is_enabled()


def test_a_company_that_chose_no_rule_set_for_co_is_said_to_have_chosen_none(hand: Hand) -> None:
    home(hand)
    assert hand.page.locator("[data-no-ladder]").count() == 0
    hand.page.evaluate("fake.company.value = {...fake.company.value, settings: {co_ladder: null, office_phone: null}}")
    hand.page.wait_for_selector("[data-no-ladder]")


def test_the_office_not_told_stands_everywhere_until_somebody_there_was_spoken_to(hand: Hand) -> None:
    home(hand)
    hand.tap("[data-start]")
    hand.page.wait_for_selector("[data-check]")
    act(hand, "left_off", {"what_words": "The heater", "why_words": "CO", "told_words": "The customer"})
    for screen in ("home", "walk", "record", "close"):
        hand.go(screen)
        assert hand.page.locator("[data-not-told]").count() == 1
    hand.tap("[data-not-told] a")
    hand.page.wait_for_selector('a[href="tel:5555550100"]')
    hand.page.fill("#told-who", "Ines at the desk")
    hand.tap("[data-told]")
    hand.until("() => fake.view.value.record.office_not_told === false")
    assert hand.page.locator("[data-not-told]").count() == 0
    assert hand.last_body("office_told")["who_words"] == "Ines at the desk"


def test_every_screen_of_it(open_stage: OpenStage) -> None:
    for look in ({"look": "dark"}, {"look": "light", "size": {"width": 320, "height": 640}}):
        hand = open_stage(**look)
        call_taken(hand, smell_of_gas="yes")
        home(hand)
        wrong = {"home": faults(hand)}
        for screen in ("below", "kit", "office-told"):
            hand.go(screen)
            wrong[screen] = faults(hand)
        carry_co_meter(hand)
        act(hand, "due_out", {"due_out_wall": hand.page.evaluate(MINUTES_AGO, 6)})
        hand.go("kit")
        wrong["kit noted"] = faults(hand)
        assert {screen: found for screen, found in wrong.items() if found} == {}, look
