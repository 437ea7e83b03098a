"""A sheet blesses nothing, sums up what was fine, and leaves out what only a technician can use."""

from __future__ import annotations

from typing import Any

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.importing.test_bringing_in import HEADER, take
from tests.jobsheet.test_paper_photos import told_of
from tests.jobsheet.test_sheet import LEFT_OFF, pdf_of
from tests.office.conftest import Desk
from tests.office.test_call_again import ASKED
from tests.sites.stories import HELD, START, Story
from webapp.extensions import Database
from webapp.jobsheet.plain_words import UNTOLD
from webapp.models import EventRow, Job, ProcedureVersion
from webapp.procedures.loader import compiled, list_procedures
from webapp.trade.bodies import REASONS
from webapp.trade.history import REASON_WORDS

WALKED = {
    "sensing_tube": "seated",
    "tp_valve": "sound",
    "burn_marks": "clean",
    "plug_out": "proved_dead",
    "leads_beep": "beep",
    "tap_type": "suction",
    "terminal": "badly_placed",
}
GATE = {
    "smell_of_gas": "no_smell",
    "symptoms": "nobody",
    "scene": "safe",
    "co_meter": "on",
    "co_room": "acceptable",
}


def answers(**outcomes: str) -> list[tuple[str, dict[str, Any]]]:
    return [("check_answered", {"check": c, "outcome": o, "could_not": None}) for c, o in outcomes.items()]


def walked(story: Story, session: Session, *acts: tuple[str, dict[str, Any]], **called: str) -> str:
    """A visit to a power-vented heater, by the procedure as it is shipped."""
    shipped = compiled("power_vent")
    kept = ProcedureVersion(hash=shipped["hash"], name="power_vent", body=shipped, stored_at=START, is_current=False)
    session.merge(kept)
    session.commit()
    site = story.address()
    job = story.book(site, words="Headaches")
    story.say(story.desk, "call_taken", {**ASKED, **called}, site_id=site, job_id=job)
    story.walk(site, job, ("job_opened", {"procedure_hash": shipped["hash"]}), ("arrived", {}), *acts)
    return job


def told(desk: Desk, job: str) -> str:
    """The page; that the PDF says all that it says is held by another test."""
    return desk.read(f"/jobs/{job}/sheet")


@pytest.mark.parametrize(("said", "words"), [("yes", "yes"), ("unsure", "not sure")])
def test_a_caller_who_felt_unwell_is_not_silenced_by_nobody_unwell_on_site(
    desk: Desk, story: Story, session: Session, said: str, words: str
) -> None:
    sheet = told(desk, walked(story, session, *answers(**GATE), unwell=said))
    assert (
        f"Caller and site differ. Anybody unwell: the caller said {words}, on site was noted: Nobody there felt unwell."
        " Both stand." in sheet
    )
    assert sheet.count("Nobody there felt unwell") == 1, "it stands among nothing that is in order"
    assert "Alarm by the caller anybody unwell" in sheet


def test_where_caller_and_site_agree_it_is_told_among_what_was_in_order(
    desk: Desk, story: Story, session: Session
) -> None:
    sheet = told(desk, walked(story, session, *answers(**GATE)))
    assert "differ" not in sheet
    assert "Alarm by the caller" not in sheet
    assert "In order: No gas was smelled. Nobody there felt unwell. The room held no more" in sheet


def test_answers_before_a_visit_stopped_are_no_blessing(desk: Desk, story: Story, session: Session) -> None:
    stopped = {**GATE, "co_room": "leave"}
    sheet = told(desk, walked(story, session, *answers(**stopped), ("left_off", LEFT_OFF)))
    assert (
        "Answered before the visit stopped: No gas was smelled. Nobody there felt unwell. These answers do not" in sheet
    )
    assert "In order" not in sheet
    assert "At the start: The room held so much carbon monoxide that everybody had to leave at once." in sheet
    for of_no_use in ("tested and zeroed", "The place was dry"):
        assert of_no_use not in sheet, of_no_use


def test_the_first_looks_stop_a_visit_before_anything_was_left_off(desk: Desk, story: Story, session: Session) -> None:
    sheet = told(desk, walked(story, session, *answers(smell_of_gas="smell", symptoms="nobody")))
    assert "Answered before the visit stopped: Nobody there felt unwell." in sheet
    assert "In order" not in sheet


def test_a_visit_that_went_on_to_be_put_back_was_not_stopped(desk: Desk, story: Story, session: Session) -> None:
    acts = [*answers(**GATE), ("left_off", LEFT_OFF), HELD, ("put_back", {"words": "new vent, tried hot"})]
    assert "In order: No gas was smelled." in told(desk, walked(story, session, *acts))


def test_one_of_two_heaters_put_back_blesses_nothing_either(desk: Desk, story: Story, session: Session) -> None:
    job = walked(story, session, *answers(**GATE), ("left_off", LEFT_OFF))
    site = session.get_one(Job, job).site_id
    other = story.say(story.hand, "left_off", {**LEFT_OFF, "what_words": "the other"}, site_id=site, job_id=job)
    story.walk(site, job, HELD)
    back = {"words": "new vent", "left_off_ids": [other["id"]]}
    story.say(story.hand, "put_back", back, site_id=site, job_id=job, schema=2)
    sheet = told(desk, job)
    assert "What was left off, and is back in service the other" in sheet
    assert "In order" not in sheet


def test_the_sheet_says_that_our_office_does_not_know_until_a_call_is_recorded(
    desk: Desk, story: Story, session: Session
) -> None:
    job = walked(story, session, *answers(**GATE), ("left_off", LEFT_OFF))
    assert "Our office was told not yet, by what is recorded here." in told(desk, job)
    site = session.get_one(Job, job).site_id
    story.walk(site, job, ("office_told", {"told_wall": "2026-03-02T14:30:00Z", "who_words": "Dora at the desk"}))
    sheet = told(desk, job)
    assert "Our office was told Dora at the desk, Monday, 2 March 2026" in sheet
    assert "not yet" not in sheet


def test_what_was_fine_is_one_paragraph_and_what_was_not_stands_by_itself(
    desk: Desk, story: Story, session: Session
) -> None:
    could_not = ("check_answered", {"check": "gas_off", "outcome": None, "could_not": "no_tool"})
    job = walked(story, session, *answers(**GATE, **WALKED), could_not)
    page = desk.client.get(f"/jobs/{job}/sheet").text
    assert (
        "Small hose to the vent&#39;s switch: on at both ends, dry. Relief valve and its pipe: in place and dry. "
        "Soot or scorch marks: none.</p>" in page
    )
    assert "<li><bdi>End of the vent outside: badly placed</bdi></li>" in page
    reason = REASON_WORDS["no_tool"].capitalize()
    assert f"<dt>Could not be checked</dt><dd><bdi>{reason}: Gas shut off for the work.</bdi></dd>" in page
    for of_the_technician in ("Electric power off", "beep", "Where the small hose"):
        assert of_the_technician not in page, of_the_technician


def test_what_came_right_or_went_wrong_after_the_repair_is_never_summed_up(
    desk: Desk, story: Story, session: Session
) -> None:
    repair = ("repair_made", {"action": "new_tube"})
    before, after = (
        answers(sensing_tube="kinked", tp_valve="sound"),
        answers(sensing_tube="seated", tp_valve="dripping"),
    )
    sheet = told(desk, walked(story, session, *answers(**GATE), *before, repair, *after))
    assert "Small hose to the vent's switch: kinked or hard. After the repair: on at both ends, dry" in sheet
    assert "Relief valve and its pipe: in place and dry. After the repair: dripping" in sheet
    assert "Relief valve and its pipe" not in sheet.partition("In order:")[2].partition("For your safety")[0]


def test_an_answer_that_nothing_here_judges_is_not_called_right(desk: Desk, story: Story) -> None:
    site = story.address()
    job = story.book(site)
    story.walk(site, job, *answers(some_newer_check="quite_off"))
    sheet = told(desk, job)
    assert "Answered, and not judged here: Some newer check: quite off" in sheet
    assert "In order" not in sheet


@pytest.mark.parametrize("reason", REASON_WORDS)
def test_why_a_check_could_not_be_made_is_said_in_the_rules_own_words(desk: Desk, story: Story, reason: str) -> None:
    site = story.address()
    job = story.book(site)
    body = {"check": "inner_tube", "outcome": None, "could_not": reason}
    schema = 1 if reason in REASONS else 2
    story.say(story.hand, "check_answered", body, schema=schema, site_id=site, job_id=job)
    words = REASON_WORDS[reason]
    assert f"Could not be checked {words[:1].upper()}{words[1:]}: Inner tube" in told(desk, job)


def test_how_bends_are_counted_is_a_sentence_and_no_figure_of_the_heater(
    desk: Desk, story: Story, session: Session
) -> None:
    survey = {"nominal_in": 2, "straight_ft": 25, "elbows_90": 1, "elbows_45": 0, "limit_equivalent_ft": 55}
    by_sheet = [
        ("sheet_number", {"quantity": "feet_per_90", "value": 5, "where": "sheet"}),
        ("sheet_number", {"quantity": "feet_per_45", "value": 2.5, "where": "sheet"}),
    ]
    sheet = told(desk, walked(story, session, *by_sheet, ("vent_surveyed", survey)))
    assert "25 ft straight, 1 bend of 90°, no bends of 45°." in sheet
    assert "Counted as 5 ft for each 90° bend and 2.5 ft for each 45° bend, by the instruction sheet." in sheet
    assert "Maker's figure" not in sheet
    assert "Feet per" not in sheet


def test_a_figure_that_the_office_read_otherwise_on_the_photo_is_told_as_read(
    desk: Desk, story: Story, session: Session
) -> None:
    typed = ("sheet_number", {"quantity": "make_point_in_wc", "value": 0.3, "where": "part_label"})
    job = walked(story, session, typed)
    assert "Draw that the vent's switch needs, by its label 0.3 in. w.c. label on the part" in told(desk, job)
    site = session.get_one(Job, job).site_id
    sheet_event_id = session.scalars(select(EventRow.id).where(EventRow.kind == "sheet_number")).one()
    body = {"sheet_event_id": sheet_event_id, "quantity": "make_point_in_wc", "agrees": False, "read_value": 0.36}
    story.say(story.desk, "sheet_confirmed", body, site_id=site, job_id=job)
    assert "Draw that the vent's switch needs, by its label 0.36 in. w.c. photo, by our office" in told(desk, job)


READ = ("reading_taken", {"check": "co_room", "quantity": "co_room_ppm", "value": 3, "place": "room"})
CARRIED = {
    "instrument_id": "018f0000-0000-7000-8000-000000000077",
    "instrument_kind": "co_meter",
    "serial_words": "K77",
    "calibrated_on": "2026-01-05",
}


def test_the_co_meter_that_was_carried_is_named_beside_its_reading(desk: Desk, story: Story, session: Session) -> None:
    sheet = told(desk, walked(story, session, ("instrument_carried", CARRIED), *answers(**GATE), READ))
    assert "CO in the room 3 ppm room, " in sheet
    assert " CO meter, serial K77" in sheet.partition("CO in the room 3 ppm")[2].partition("Instruments")[0]


def test_the_co_meter_of_the_first_looks_is_named_where_none_is_recorded_as_carried(
    desk: Desk, story: Story, session: Session
) -> None:
    volts = ("reading_taken", {"check": "blower_volts", "quantity": "line_volts", "value": 121})
    job = walked(story, session, *answers(**GATE), READ, volts)
    assert "CO meter, tested and zeroed" in told(desk, job)
    page = desk.client.get(f"/jobs/{job}/sheet").text
    assert '<td data-word="With"></td>' in page, "the card of a narrow screen leaves it out"


def test_an_instrument_that_nobody_named_is_no_dash(desk: Desk, story: Story, session: Session) -> None:
    volts = ("reading_taken", {"check": "blower_volts", "quantity": "line_volts", "value": 121})
    leads = ("reading_taken", {"check": "leads_beep", "quantity": "leads_ohm", "value": 0.2})
    sheet = told(desk, walked(story, session, volts, leads))
    numbers = sheet.partition("The numbers")[2].partition("For your safety")[0]
    assert "Volts at the blower 121 V AC" in numbers
    assert "With" not in numbers
    assert "\u2013" not in numbers
    assert "leads" not in numbers.casefold(), "it tries the meter, not the heater"


PROVEN: dict[str, Any] = {"passed": True, "minutes": 12, "restarts": 0, "co_room_ppm": 1}


def test_of_the_looks_at_last_those_that_the_repair_asks_for_are_told_before_the_rest(
    desk: Desk, story: Story, session: Session
) -> None:
    shipped = compiled("power_vent")
    every = [look["id"] for look in shipped["closing_looks"]]
    acts = [("cause_named", {"cause": "tube_off"}), ("repair_made", {"action": "new_tube"})]
    ran = ("proof_run", {**PROVEN, "looks_done": every})
    sheet = told(desk, walked(story, session, *answers(**GATE), *acts, ran))
    assert "Looked at last: Test fittings out, hose back on at both ends. Joints of the vent tight;" in sheet
    assert "The same suction at both ends of the small hose." in sheet, "this repair asks for it"
    first, _, rest = sheet.partition("Looked at last: ")[2].partition("Also looked at: ")
    assert "Source of the vapours gone" not in first
    assert "Source of the vapours gone" in rest
    assert "more, kept" not in sheet
    assert "Not recorded as looked at" not in sheet
    assert "minutes and not started again." in sheet


TUBE = [("cause_named", {"cause": "tube_off"}), ("repair_made", {"action": "new_tube"})]


def test_a_reading_of_before_the_work_is_no_all_clear_on_the_sheet(desk: Desk, story: Story, session: Session) -> None:
    ran = ("proof_run", {"passed": True, "minutes": 12, "restarts": 0, "looks_done": ["co_again"]})
    sheet = told(desk, walked(story, session, *answers(**GATE), READ, *TUBE, ran))
    assert "Measured before the work Reading Where and when With CO in the room 3 ppm" in sheet
    assert "CO in the room no figure is recorded after the work" in sheet
    assert "Carbon monoxide in the room read again, with the meter on the whole time: no figure is recorded." in sheet
    assert "Before the work, the room held no more carbon monoxide than the rules allow." in sheet


RAISED = ("reading_taken", {**READ[1], "value": 90})
COULD_NOT = ("check_answered", {"check": "co_room", "outcome": None, "could_not": "cannot_tell"})


@pytest.mark.parametrize("said", [answers(co_room="raised"), [COULD_NOT]])
def test_a_figure_that_is_no_fault_not_seen_stands_first_on_the_sheet(
    desk: Desk, story: Story, session: Session, said: list[tuple[str, dict[str, Any]]]
) -> None:
    gate = {name: outcome for name, outcome in GATE.items() if name != "co_room"}
    job = walked(story, session, *answers(**gate), RAISED, *said, ("job_closed", {"state": "not_seen_today"}))
    sheet = told(desk, job)
    head = sheet.partition("Your visit")[0]
    assert "Found unsafe on this visit, and not put right by what is recorded" in head
    assert "It read 90 ppm. Do not use the heater until somebody licensed for this work has put this right." in head
    address = desk.read(f"/addresses/{session.get_one(Job, job).site_id}")
    assert "What to know first Found unsafe, not left off" in address


def test_co_that_a_hot_run_read_stands_first_on_the_sheet_of_a_visit_that_held(
    desk: Desk, story: Story, session: Session
) -> None:
    ran = ("proof_run", {**PROVEN, "co_room_ppm": 200, "looks_done": ["co_again"]})
    job = walked(story, session, *answers(**GATE), READ, *TUBE, ran, ("job_closed", {"state": "proven"}))
    assert "It read 200 ppm. Do not use the heater" in told(desk, job).partition("Your visit")[0]


def test_what_was_repaired_or_left_off_is_not_told_as_unsafe_and_left_so(
    desk: Desk, story: Story, session: Session
) -> None:
    nest = answers(**GATE, terminal="nest_or_debris")
    for act in (("repair_made", {"action": "clear_terminal"}), ("left_off", LEFT_OFF)):
        assert "not put right by what is recorded" not in told(desk, walked(story, session, *nest, act))
    assert "not put right by what is recorded" in told(desk, walked(story, session, *nest))


def test_what_was_read_after_the_work_is_told_with_its_run(desk: Desk, story: Story, session: Session) -> None:
    ran = ("proof_run", {"passed": True, "minutes": 12, "restarts": 0, "looks_done": ["co_again"]})
    again = [(READ[0], {**READ[1], "value": 1}), *answers(co_room="acceptable")]
    sheet = told(desk, walked(story, session, *answers(**GATE), READ, *TUBE, ran, *again))
    assert "CO in the room 1 ppm, 14:" in sheet.partition("The numbers")[0]
    assert "unwell. The room held no more carbon monoxide than the rules allow." in sheet
    assert "Measured after the work Reading Where and when With CO in the room 1 ppm" in sheet
    assert "no figure" not in sheet


def test_a_look_that_the_repair_asks_for_and_nobody_made_stands_in_full(
    desk: Desk, story: Story, session: Session
) -> None:
    acts = [("cause_named", {"cause": "tube_off"}), ("repair_made", {"action": "new_tube"})]
    ran = ("proof_run", {**PROVEN, "looks_done": ["tube_back"]})
    job = walked(story, session, *acts, ran)
    page = desk.client.get(f"/jobs/{job}/sheet").text
    missing = page.partition("Not recorded as looked at, or not there to look at:")[2].partition("</ul>")[0]
    assert "<bdi>The same suction at both ends of the small hose.</bdi>" in missing
    assert "<bdi>Relief valve and its pipe in place.</bdi>" in missing


MEASURED = (
    ("co_room", "co_room_ppm", 3, "room"),
    ("flame_current", "flame_ua", 4.1, "flame rod"),
    ("igniter_ohms", "igniter_ohm", 75, "igniter"),
    ("blower_volts", "line_volts", 122, "blower"),
    ("chain_volts", "chain_volts", 22, "chain"),
    ("igniter_volts", "igniter_volts", 101, "igniter"),
    ("igniter_volts", "igniter_amps", 3.2, "igniter"),
    ("gas_pressure", "gas_inlet_in_wc", 5.7, "inlet"),
    ("gas_pressure", "gas_static_in_wc", 9.9, "inlet"),
    ("room_pressure", "room_pa", -2.96, "room"),
    ("suction_at_switch", "suction_in_wc", 0.43, "switch"),
    ("flue_gas", "flue_o2_percent", 2.43, "flue"),
    ("flue_gas", "co_air_free_ppm", 46, "flue"),
)
WRONG = ("only_with", "always_so", "watch_cycle", "vent_warmth", "flue_gas", "flame")


def test_a_repaired_visit_of_38_checks_fits_two_pages(desk: Desk, story: Story, session: Session) -> None:
    """As long as the longest of the invented company: 13 readings, three figures and three photos."""
    asked = [check for check in compiled("power_vent")["checks"] if check["id"] not in ("control_code", *GATE)]
    found = {one["id"]: one["outcomes"][1 if one["id"] in WRONG else 0]["id"] for one in asked}
    kept = [*WRONG, *[name for name in found if name not in WRONG]][: 38 - len(GATE)]
    survey = {"nominal_in": 2, "straight_ft": 15, "elbows_90": 2, "elbows_45": 1}
    figures = (("make_point_in_wc", 0.3), ("vent_limit_f", 171), ("gas_inlet_min_in_wc", 8))
    counted = (("feet_per_90", 5), ("feet_per_45", 2.5))
    acts = [
        *answers(**GATE, **{name: found[name] for name in kept}),
        ("code_read", {"shown": "flashes", "flashes": 1, "meaning_words": "Limit circuit open"}),
        *[("reading_taken", {"check": c, "quantity": q, "value": v, "place": place}) for c, q, v, place in MEASURED],
        *[("sheet_number", {"quantity": q, "value": v, "where": "sheet"}) for q, v in (*figures, *counted)],
        ("vent_surveyed", {**survey, "limit_equivalent_ft": 45, "limit_elbows": 4}),
        *[told_of(check.encode(), check=check) for check in ("sensing_tube", "restrictor", "run_length")],
        ("cause_named", {"cause": "water_on_burner"}),
        ("repair_made", {"action": "stop_leak"}),
        ("proof_run", {**PROVEN, "looks_done": [one["id"] for one in compiled("power_vent")["closing_looks"]]}),
        ("job_closed", {"state": "proven"}),
    ]
    assert len(pdf_of(desk, walked(story, session, *acts)).pages) == 2


def test_a_visit_to_which_nobody_went_names_nobody(desk: Desk, story: Story) -> None:
    site = story.address()
    job = story.book(site)
    story.say(story.desk, "job_cancelled", {"why": "works again"}, site_id=site, job_id=job)
    sheet = told(desk, job)
    assert "This visit was cancelled: nobody went." in sheet
    assert "Tom Torch" not in sheet
    assert "licence" not in sheet
    assert "Booked on Monday, 2 March 2026" in sheet


def test_a_visit_that_was_cancelled_under_way_names_who_went(desk: Desk, story: Story) -> None:
    site = story.address()
    job = story.book(site)
    story.open(site, job)
    story.walk(site, job, ("arrived", {}))
    story.say(story.desk, "job_cancelled", {"why": "works again"}, site_id=site, job_id=job)
    sheet = told(desk, job)
    assert "This visit was cancelled after it had begun." in sheet
    assert "Technician Tom Torch" in sheet
    assert "nobody went" not in sheet


def test_a_visit_of_the_old_files_is_told_as_that_and_claims_nobody(
    desk: Desk, story: Story, session: Session, database: Database
) -> None:
    row = "5 Ash Row,Dunford,,,2024-03-02,no hot water,Teo,sensing tube off its port,seated the sensing tube,no,\n"
    take(database, story, HEADER + row)
    session.rollback()
    sheet = told(desk, session.scalars(select(Job.id)).one())
    assert "This visit stands in our old files only. The old file says: did not hold." in sheet
    assert "Technician brought in from the old files, which name Teo" in sheet
    assert "Day, by our old files Saturday, 2 March 2024" in sheet
    for claim in ("not proven", "Booked on", "No test run is recorded", "Dora Desk, licence"):
        assert claim not in sheet, claim


def test_a_booked_visit_says_for_when(desk: Desk, story: Story) -> None:
    site = story.address()
    job = story.book(site)
    story.say(story.desk, "job_moved", {"due_wall": "2026-03-04T15:30:00Z", "why": "asked"}, site_id=site, job_id=job)
    assert "Appointment Wednesday, 4 March 2026, 15:30" in told(desk, job)


def test_what_is_left_untold_is_shipped_and_right() -> None:
    good = {
        (check["id"], one["id"])
        for name in list_procedures()
        for check in compiled(name)["checks"]
        for one in check["outcomes"]
        if one["verdict"] == "good"
    }
    assert {(check, one) for check, several in UNTOLD.items() for one in several} - good == set()
