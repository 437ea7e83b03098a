"""What was agreed before anything was apart, the proof that fits the cause, a heater left off or put back."""

import re
from typing import Any

import pytest

from tests.screens.conftest import OpenStage
from tests.screens.hand import JOB, Hand
from tests.screens.test_every_state_looks_right import faults
from tests.sites.stories import HELD

ACT = "([job, drafts]) => fake.act(job, drafts)"
EARLIER = (
    "([job, drafts]) => { fake.write(job, drafts, '00000000-0000-7000-8000-0000000000a2', '2026-11-09T09:00:00Z'); }"
)
IN_SIGHT = """(element) => {
  const box = element.getBoundingClientRect();
  return element.contains(document.elementFromPoint(box.x + 4, box.bottom - 4));
}"""
EARLIER_JOB = JOB[:-1] + "5"
EVERY_LOOK_A_MS_LATER = "() => { let t = Date.now(); Date.now = () => (t += 1); }"
STROKE = re.compile(
    r"(M[0-9]{1,3} [0-9]{1,3}(L[0-9]{1,3} [0-9]{1,3})*)+"
)  # what the office takes: webapp/sync/fields.py


def act(hand: Hand, *drafts: tuple[str, dict[str, Any]]) -> None:
    hand.page.evaluate(ACT, [JOB, [{"kind": kind, "body": body} for kind, body in drafts]])
    hand.settle()


def held_run(hand: Hand) -> None:
    """One that takes its minutes: what stands before it was noted a day ago."""
    hand.page.evaluate("fake.written().forEach((e) => { e.at_wall = '2026-11-20T09:00:00Z'; })")
    act(hand, HELD)


def cause_named(hand: Hand) -> None:
    """A tube off, named, with the suction that convicted it and the typed make point."""
    hand.begin()
    hand.pass_gate()
    suction = {
        "check": "suction_at_switch",
        "quantity": "suction_in_wc",
        "value": 0.21,
        "place": "switch",
        "state": "cold",
    }
    act(
        hand,
        ("check_answered", {"check": "sensing_tube", "outcome": "off_or_split", "could_not": None}),
        ("reading_taken", suction),
        ("sheet_number", {"quantity": "make_point_in_wc", "value": 0.36, "where": "part_label"}),
        ("cause_named", {"cause": "tube_off"}),
    )


def sign(hand: Hand, points: int = 30) -> None:
    pad = hand.page.locator("[data-signature]")
    pad.scroll_into_view_if_needed()
    box = pad.bounding_box()
    assert box is not None
    mouse = hand.page.mouse
    mouse.move(box["x"] + 30, box["y"] + 50)
    mouse.down()
    for step in range(1, points):
        mouse.move(box["x"] + 30 + step * 7 % (box["width"] - 40), box["y"] + 40 + 20 * (step % 2))
    mouse.up()
    hand.settle()


def type_figure(hand: Hand, name: str, digits: str) -> None:
    hand.tap(f'[data-figure="{name}"]')
    hand.type_number(digits)
    hand.tap("[data-pad-done]")
    hand.settle()


def test_agreement_and_photos_of_old_damage_are_offered_before_the_first_repair_and_never_after(hand: Hand) -> None:
    cause_named(hand)
    hand.go("repair")
    assert hand.page.locator("[data-agree]").count() == 1
    assert "Photo of damage from before" in hand.words()
    hand.tap('[data-answer="new_tube"]')
    hand.until("() => fake.view.value.record.repairs.length === 1")
    assert hand.page.locator("[data-agree]").count() == 0


def test_what_was_agreed_is_tapped_together_signed_and_kept(hand: Hand) -> None:
    cause_named(hand)
    hand.go("agreed")
    assert hand.page.locator('[data-answer="authorised"]').count() == 0
    hand.page.locator(".offered").nth(0).locator("[data-offer-words]").first.click()
    hand.page.locator(".offered").nth(1).locator("[data-offer-words]").first.click()
    hand.page.fill("#agreed-price", "180 and tax")
    hand.page.fill("#agreed-name", "A. Pell")
    sign(hand)
    hand.tap('[data-answer="authorised"]')
    hand.until("() => fake.view.value.record.agreements.length === 1")
    body = hand.last_body("work_agreed")
    path = body.pop("signature_path")
    assert STROKE.fullmatch(path)
    assert body == {
        "told_words": hand.view("procedure.causes.find((one) => one.id === 'tube_off').words"),
        "scope_words": hand.view("procedure.repairs.find((one) => one.id === 'new_tube').words"),
        "decision": "authorised",
        "price_words": "180 and tax",
        "name_words": "A. Pell",
    }


def test_without_a_cause_what_was_found_is_told_in_the_words_of_the_customers_sheet(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.answer_to("terminal", "tp_valve", terminal="screen_clogged", tp_valve="missing_or_plugged")
    answer = {"check": "co_room", "outcome": "raised", "could_not": None}
    hand.page.evaluate("([job, body]) => fake.act(job, [{ kind: 'check_answered', body }])", [JOB, answer])
    hand.go("agreed")
    told = hand.page.locator(".offered").first.locator("[data-offer-words]").all_inner_texts()
    assert "End of the vent outside: its screen is clogged" in told
    assert "The room held more carbon monoxide than it should" in told
    assert not [words for words in told if "Raised" in words or "screen:" in words]


def test_without_a_cause_the_usual_can_be_tapped_taken_out_again_and_edited(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.go("agreed")
    told, scope = (hand.page.locator(".offered").nth(place).locator("[data-offer-words]") for place in (0, 1))
    for chip in (told.nth(0), told.nth(1), told.nth(0), scope.nth(0)):
        chip.click()
        hand.settle()
    hand.page.fill("#agreed-told", hand.page.input_value("#agreed-told") + ": as on the sheet")
    hand.tap('[data-answer="authorised"]')
    hand.until("() => fake.view.value.record.agreements.length === 1")
    body = hand.last_body("work_agreed")
    assert body["told_words"] == "What it costs: as on the sheet"
    assert body["scope_words"] == "Look further, then ask again"
    assert "price_words" not in body
    hand.page.wait_for_selector("main[data-screen=walk]")


@pytest.mark.parametrize(
    ("scope", "screen"),
    [
        ("Order the part and come back", "close"),
        ("Make it safe and leave it off", "left-off"),
        ("a new tube; Order the part and come back", "repair"),
    ],
)
def test_what_was_agreed_leads_to_it(scope: str, screen: str, hand: Hand) -> None:
    cause_named(hand)
    hand.go("agreed")
    hand.page.fill("#agreed-told", "the tube is split")
    hand.page.fill("#agreed-scope", scope)
    hand.tap('[data-answer="authorised"]')
    hand.page.wait_for_selector(f"main[data-screen={screen}]")
    if screen == "close":
        offered = hand.page.locator("[data-answer]").evaluate_all("(all) => all.map((e) => e.dataset.answer)")
        assert offered == ["waiting_part"]


def test_of_an_unsafe_heater_it_can_be_told_with_one_tap_that_it_stays_off(hand: Hand) -> None:
    cause_named(hand)
    act(hand, ("check_answered", {"check": "joints", "outcome": "parted", "could_not": None}))
    hand.go("agreed")
    hand.page.locator("[data-offer-words]", has_text="It stays off until it is put right").click()
    assert hand.page.input_value("#agreed-told") == "It stays off until it is put right"


def test_a_repair_that_is_noted_is_not_offered_first_again(hand: Hand) -> None:
    cause_named(hand)
    hand.go("repair")
    hand.tap('[data-answer="new_tube"]')
    hand.until("() => fake.view.value.record.repairs.length === 1")
    assert hand.page.locator('[data-answer="new_tube"]').count() == 0
    hand.tap("text=Other repairs")
    assert hand.page.locator('[data-answer="new_tube"]').count() == 1


@pytest.mark.parametrize("size", [{"width": 390, "height": 844}, {"width": 320, "height": 640}])
def test_a_part_comes_right_after_its_repair_and_nothing_covers_its_save(
    size: dict[str, int], open_stage: OpenStage
) -> None:
    hand = open_stage(size=size)
    cause_named(hand)
    act(hand, ("repair_made", {"action": "new_tube"}))
    hand.go("repair")
    tops = [hand.page.locator(one).first.bounding_box() for one in ("[data-part]", "[data-answer]")]
    assert tops[0] is not None
    assert tops[1] is not None
    assert tops[0]["y"] < tops[1]["y"]
    hand.tap("[data-part]")
    assert hand.page.locator("text=Record the hot run").count() == 0
    hand.page.locator("[data-offer-words]").first.click()
    save = hand.page.locator("[data-part-save]")
    box, foot = save.bounding_box(), hand.page.locator("footer").bounding_box()
    assert box is not None
    assert foot is not None
    assert box["y"] + box["height"] <= foot["y"] + 1
    hand.tap("[data-part-save]")
    hand.until("() => fake.view.value.record.parts.length === 1")
    assert hand.heading() == "Anything else done?"
    assert "Fitted: 1 × Sensing tube and tap" in hand.words()  # where something was found


def test_at_twice_the_text_size_no_dock_takes_the_screen_and_nothing_is_too_wide(open_stage: OpenStage) -> None:
    hand = open_stage(size={"width": 320, "height": 640}, text_percent=200)
    hand.tap(f'[data-job="{JOB}"]')
    assert hand.page.locator("h1").evaluate(IN_SIGHT)
    hand.go("/jobs")
    cause_named(hand)
    act(hand, ("repair_made", {"action": "new_tube"}))
    hand.go("repair")
    hand.tap("[data-part]")
    assert faults(hand) == []


def test_work_that_is_declined_leads_to_closing_so(hand: Hand) -> None:
    cause_named(hand)
    hand.go("agreed")
    hand.page.fill("#agreed-told", "the tube is split")
    hand.page.fill("#agreed-scope", "a new tube")
    hand.tap('[data-answer="declined"]')
    hand.page.wait_for_selector("main[data-screen=close]")
    assert hand.heading() == "How does the job stand?"
    assert "signature_path" not in hand.last_body("work_agreed")


def test_a_customer_who_is_not_there_is_written_down_in_words(hand: Hand) -> None:
    cause_named(hand)
    hand.go("agreed")
    hand.tap("[data-nobody]")
    hand.page.fill("#nobody-words", "asked the landlord by phone")
    hand.tap("[data-nobody-save]")
    hand.until("() => fake.view.value.record.notes.length === 1")
    assert hand.last_body("note")["words"] == "Customer not there: asked the landlord by phone"
    assert hand.view("record.agreements") == []


def test_the_proof_asks_for_the_same_figure_as_before_and_says_what_is_missing(hand: Hand) -> None:
    cause_named(hand)
    act(hand, ("repair_made", {"action": "new_tube"}))
    hand.go("proof")
    hand.page.wait_for_selector('[data-figure="after_value"]')
    assert "0.21" in hand.page.locator('[data-figure="before_value"]').inner_text()
    type_figure(hand, "minutes", "5")
    type_figure(hand, "restarts", "2")
    hand.page.wait_for_selector("[data-missing]")
    assert "10 minutes of running" in hand.page.locator("[data-missing]").inner_text()


def test_after_a_figure_of_the_hot_run_one_is_where_it_stands(open_stage: OpenStage) -> None:
    hand = open_stage(size={"width": 320, "height": 640})
    cause_named(hand)
    act(hand, ("repair_made", {"action": "new_tube"}))
    hand.go("proof")
    figures = hand.page.locator("[data-figure]")
    last = figures.nth(figures.count() - 1)
    name = last.get_attribute("data-figure")
    assert name is not None
    type_figure(hand, name, "3")
    assert last.evaluate(IN_SIGHT)
    last.click()
    hand.tap("text=Leave it")
    assert last.evaluate(IN_SIGHT)


@pytest.mark.parametrize(("ppm", "first"), [("40", "Tell everybody here."), ("200", "Everybody out now")])
def test_with_co_in_the_room_no_run_has_held_and_the_heater_is_left_off(
    ppm: str, first: str, open_stage: OpenStage
) -> None:
    hand = open_stage(size={"width": 320, "height": 640})
    cause_named(hand)
    act(hand, ("repair_made", {"action": "new_tube"}))
    hand.go("proof")
    type_figure(hand, "co_room_ppm", ppm)
    told = hand.page.locator("[data-out-now]")
    assert first in told.inner_text()
    assert told.locator("strong").evaluate(IN_SIGHT)
    assert hand.page.locator("[data-co-off]").evaluate(IN_SIGHT)
    for name, digits in (("minutes", "10"), ("restarts", "2"), ("after_value", "0.45")):
        type_figure(hand, name, digits)
    held = hand.page.locator('[data-answer="passed"]')
    assert f"Not with {ppm} ppm in the room" in held.inner_text()
    hand.page.fill("#proof-words", "ok")
    held.click(force=True)
    hand.settle()
    assert hand.view("record.proofs") == []
    hand.tap("[data-co-off]")
    hand.page.wait_for_selector("main[data-screen=left-off]")
    noted = hand.last_body("reading_taken")
    assert (noted["check"], noted["quantity"], noted["value"]) == ("co_room", "co_room_ppm", float(ppm))
    assert f"CO in the room {ppm} ppm" in hand.words()


def test_with_little_co_in_the_room_a_run_may_have_held(hand: Hand) -> None:
    cause_named(hand)
    act(hand, ("repair_made", {"action": "new_tube"}))
    hand.go("proof")
    for name, digits in (("co_room_ppm", "2"), ("minutes", "10"), ("restarts", "2"), ("after_value", "0.45")):
        type_figure(hand, name, digits)
    assert hand.page.locator("[data-out-now]").count() == 0
    assert hand.page.locator('[data-answer="passed"][data-barred]').count() == 0


def test_held_against_the_figures_wants_a_word_of_why(hand: Hand) -> None:
    cause_named(hand)
    act(hand, ("repair_made", {"action": "new_tube"}))
    hand.go("proof")
    hand.page.wait_for_selector('[data-figure="after_value"]')
    for name, digits in (("minutes", "12"), ("restarts", "2"), ("after_value", "0.30")):
        type_figure(hand, name, digits)
    hand.page.wait_for_selector(".said")
    assert "under the typed figure" in hand.page.locator(".said").inner_text()
    hand.tap('[data-answer="passed"]')
    hand.page.wait_for_selector('[role="alert"]')
    assert hand.view("record.proofs") == []
    hand.page.fill("#proof-words", "gauge drifts, the run is steady")
    hand.tap('[data-answer="passed"]')
    hand.until("() => fake.view.value.record.proofs.length === 1")
    run = hand.last_body("proof_run")
    assert (run["quantity"], run["before_value"], run["after_value"]) == ("suction_in_wc", 0.21, 0.30)


def test_a_run_noted_at_once_after_the_repair_is_remarked_on_the_way_out_and_in_the_record(hand: Hand) -> None:
    cause_named(hand)
    act(hand, ("repair_made", {"action": "new_tube"}))
    hand.go("proof")
    for name, digits in (("minutes", "10"), ("restarts", "2"), ("after_value", "0.45")):
        type_figure(hand, name, digits)
    hand.tap('[data-answer="passed"]')
    hand.page.wait_for_selector("[data-too-soon]")
    words = "Noted less than a minute after the repair: 10 minutes cannot have passed."
    assert f"{words} Run it the whole time, or say why" in hand.page.locator("[data-too-soon]").inner_text()
    act(hand, ("note", {"words": "a note of something else"}))
    hand.go("record")
    assert words in hand.words()
    hand.go("close")
    hand.page.wait_for_selector("[data-too-soon]")  # a word of something else is no answer to it


def test_a_clock_runs_beside_the_hot_run_and_shows_when_it_is_over(hand: Hand) -> None:
    cause_named(hand)
    act(hand, ("repair_made", {"action": "new_tube"}))
    hand.go("proof")
    hand.page.evaluate(EVERY_LOOK_A_MS_LATER)
    hand.tap("[data-start-timer]")
    hand.page.wait_for_selector("[data-timer]")
    assert "Hot run, 10 min · 10 min left" in hand.page.locator("[data-timer]").inner_text()
    hand.page.evaluate(
        "fake.keepOwn({timers: fake.own.value.timers.map("
        "(one) => ({...one, due_wall: new Date(Date.now() - 200000).toISOString()}))})"
    )
    hand.go("record")
    assert "overdue 3 min" in hand.page.locator("[data-timer]").inner_text()
    hand.tap("[data-timer] button")
    hand.settle()
    assert hand.page.locator("[data-timer]").count() == 0


def test_a_heater_left_off_earlier_is_said_first_and_can_be_put_back(hand: Hand) -> None:
    hand.tap(f'[data-job="{JOB}"]')
    hand.page.wait_for_selector("[data-start]")
    left = {"kind": "left_off", "body": {"what_words": "The heater", "why_words": "CO", "told_words": "The customer"}}
    hand.page.evaluate(EARLIER, [EARLIER_JOB, [left]])
    hand.page.evaluate(ACT, [JOB, [{"kind": "note", "body": {"words": "x"}}]])
    hand.page.wait_for_selector("[data-left-off]")
    assert "Left off on 9 Nov 2026: The heater. Why: CO." in hand.words()
    hand.tap("[data-start]")
    hand.page.wait_for_selector("[data-check]")
    hand.go("home")
    hand.tap("[data-left-off] a")
    hand.page.fill("#put-back", "ok")
    assert hand.page.locator("[data-put-back-save]").is_disabled()  # nobody has looked at anything yet
    assert "the hot run" in hand.page.locator("[data-not-shown]").inner_text()


def come_again(hand: Hand, what_words: str = "The heater") -> None:
    """A second visit, gate passed with a clean reading, to where an earlier one left off this."""
    hand.tap(f'[data-job="{JOB}"]')
    hand.page.wait_for_selector("[data-start]")
    left = {"kind": "left_off", "body": {"what_words": what_words, "why_words": "CO", "told_words": "The customer"}}
    hand.page.evaluate(EARLIER, [EARLIER_JOB, [left]])
    hand.tap("[data-start]")
    hand.page.wait_for_selector("[data-check]")
    hand.pass_gate()


def found_running(hand: Hand) -> None:
    """Somebody had switched the heater on."""
    come_again(hand)
    hand.go("put-back")
    hand.tap("[data-found]")
    hand.page.fill("#put-back", "ok")
    hand.tap("[data-put-back-save]")
    hand.until("() => fake.view.value.record.put_back.length === 1")


def test_found_in_service_it_is_said_at_once_to_be_shut_off_and_stands_off_everywhere(hand: Hand) -> None:
    found_running(hand)
    assert hand.last_body("put_back")["words"] == "Found in service: ok"
    assert len(hand.last_body("put_back")["left_off_ids"]) == 1
    hand.page.wait_for_selector("main[data-screen=put-back] [data-runs-unshown]")
    assert "Shut it off again and tag it now" in hand.page.locator("main [data-runs-unshown]").inner_text()
    assert "the hot run" in hand.page.locator("[data-not-shown]").inner_text()
    assert faults(hand) == []
    hand.go("record")
    assert "Said to be in service, shown by nobody to be safe" in hand.words()
    assert hand.page.locator(".visit-strip[data-runs-unshown]").is_visible()
    hand.go("home")
    assert "Left off on 9 Nov 2026: The heater. Why: CO." in hand.page.locator("[data-left-off]").inner_text()
    assert "stands off" not in hand.page.locator("[data-left-off]").inner_text()
    hand.go("close")
    hand.page.wait_for_selector('[data-answer="left_off"]')
    assert hand.page.locator('[data-answer="not_seen_today"]').count() == 0
    assert "shut it off and tag it before you go" in hand.page.locator('[data-answer="waiting_part"]').inner_text()
    hand.go("walk")
    hand.tap(".visit-strip[data-runs-unshown] a")
    hand.page.wait_for_selector("main[data-screen=left-off]")
    act(hand, ("left_off", {"what_words": "The heater", "why_words": "CO", "told_words": "The customer"}))
    hand.go("walk")
    assert hand.page.locator("[data-runs-unshown]").count() == 0


def test_what_this_visit_left_off_was_not_in_service_already_when_it_came(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    act(hand, ("left_off", {"what_words": "The heater", "why_words": "nest", "told_words": "The customer"}))
    hand.go("put-back")
    hand.page.wait_for_selector("[data-not-shown]")
    assert hand.page.locator("[data-found]").count() == 0


def test_where_nothing_is_known_to_stand_off_it_is_said_as_an_older_reader_understands_it(hand: Hand) -> None:
    hand.begin()
    hand.pass_gate()
    hand.go("put-back")
    hand.tap("[data-found]")
    hand.page.fill("#put-back", "tag found on it, made safe, CO 0 ppm")
    hand.tap("[data-put-back-save]")
    hand.until("() => fake.view.value.record.put_back.length === 1")
    event = hand.last_event("put_back")
    assert (event["schema"], event["body"]) == (1, {"words": "Found in service: tag found on it, made safe, CO 0 ppm"})


def test_of_two_heaters_left_off_the_one_that_is_marked_is_put_back_and_the_other_stays_in_sight(hand: Hand) -> None:
    come_again(hand, "The old one")
    act(hand, ("left_off", {"what_words": "The new one", "why_words": "soot", "told_words": "The customer"}))
    hand.go("put-back")
    hand.page.wait_for_selector("[data-which]")
    hand.tap("[data-found]")
    assert hand.page.locator("[data-which]").count() == 0  # only the other visit's can have been found so
    hand.look_at_what_may_fire()
    held_run(hand)
    hand.page.wait_for_selector("[data-which]")
    hand.page.fill("#put-back", "new burner door")
    hand.page.fill("#put-back-who", "the gas company")
    assert hand.page.locator("[data-put-back-save]").is_disabled()
    hand.tap("[data-which]:has-text('The old one')")
    hand.tap("[data-put-back-save]")
    hand.until("() => fake.view.value.record.put_back.length === 1")
    assert hand.view("record.heater_off") is True
    hand.go("put-back")
    assert "Left off here: The new one, soot" in hand.words()
    assert hand.page.locator("[data-which]").count() == 0
    assert faults(hand) == []


def test_a_heater_left_off_at_an_earlier_visit_is_neither_fired_nor_closed_as_running(hand: Hand) -> None:
    come_again(hand)
    hand.go("check/watch_cycle")
    assert hand.page.locator("[data-answer]").count() == 0
    hand.tap("[data-blocked] a:has-text('What the heater was left off for known')")
    hand.page.wait_for_selector("main[data-screen=cause]")
    hand.go("close")
    hand.page.wait_for_selector('[data-answer="left_off"]')
    assert hand.page.locator('[data-answer="not_seen_today"]').count() == 0
    hand.tap("details.more > summary")
    hand.page.locator('[data-refused~="not_seen_today"] a', has_text="left off at an earlier visit").click()
    hand.page.wait_for_selector("main[data-screen=put-back]")
    hand.look_at_what_may_fire()
    held_run(hand)
    hand.page.fill("#put-back", "burner cleaned, hot run held")
    hand.page.fill("#put-back-who", "me")
    hand.tap("[data-put-back-save]")
    hand.page.wait_for_selector('[data-answer="not_seen_today"]')
    assert hand.view("advice.off_before") == []


def test_an_unsafe_heater_can_only_be_left_off_and_the_ways_that_are_shut_say_why(hand: Hand) -> None:
    cause_named(hand)
    act(hand, ("check_answered", {"check": "joints", "outcome": "parted", "could_not": None}))
    hand.go("close")
    hand.page.wait_for_selector("[data-answer]")
    assert hand.page.locator("[data-answer]").evaluate_all("(all) => all.map((e) => e.dataset.answer)") == ["left_off"]
    refused = hand.page.locator('[data-refused~="proven"]').inner_text()
    assert "Unsafe now" in refused
    assert "Leave it off and tag it." in refused


def test_every_screen_of_it(open_stage: OpenStage) -> None:
    for look in ({"look": "dark"}, {"look": "light", "size": {"width": 320, "height": 640}}):
        hand = open_stage(**look)
        cause_named(hand)
        wrong = {}
        for screen in ("repair", "agreed", "proof", "close", "put-back"):
            hand.go(screen)
            hand.settle()
            wrong[screen] = faults(hand)
        hand.go("agreed")
        hand.page.fill("#agreed-told", "Warmwasserbereitungsanlagenstörungsmeldung " * 3)
        hand.page.fill("#agreed-scope", "x")
        sign(hand)
        wrong["signed"] = faults(hand)
        hand.tap("[data-nobody]")
        wrong["nobody"] = faults(hand)
        act(hand, ("left_off", {"what_words": "The heater", "why_words": "CO", "told_words": "The customer"}))
        hand.go("close")
        hand.settle()
        wrong["left off"] = faults(hand)
        hand.go("/jobs")
        wrong["list"] = faults(hand)
        assert {screen: found for screen, found in wrong.items() if found} == {}, look
