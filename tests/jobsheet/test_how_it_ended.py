"""How a visit ended, told to the household: which part, to whom, what was put in, and what is open."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy.orm import Session

from tests.jobsheet.test_true_and_short import GATE, answers, told, walked
from tests.office.conftest import Desk
from tests.sites.stories import HELD, START, Story
from webapp.jobsheet.replaced import NOT_DESCRIBED
from webapp.models import Job, ProcedureVersion
from webapp.models.ids import new_id
from webapp.procedures import compiled


def closed(state: str, words: str | None = None) -> tuple[str, dict[str, Any]]:
    return "job_closed", {"state": state, **({"words": words} if words else {})}


@pytest.mark.parametrize(
    ("state", "words", "after"),
    [
        ("waiting_part", "Thermocouple 24 in., ordered today", "A second visit is needed once the part is there."),
        ("handed_over", "The gas company, by phone 14:05", ""),
        ("declined", "A new control was offered, they wait", ""),
        (
            "replaced",
            "A 50 gallon tank of the same kind",
            "Numbers and answers on this sheet may be of the heater that was taken out.",
        ),
    ],
)
def test_the_sheet_quotes_the_words_of_the_close(
    desk: Desk, story: Story, session: Session, state: str, words: str, after: str
) -> None:
    sheet = told(desk, walked(story, session, *answers(**GATE), closed(state, words)))
    assert f"In our technician's words: “{words}” {after}".strip() in sheet


def test_what_went_with_a_proven_close_is_for_colleagues(desk: Desk, story: Story, session: Session) -> None:
    acts = [*answers(**GATE), ("repair_made", {"action": "seat_tube"}), HELD, closed("proven", "mind the dog")]
    assert "mind the dog" not in told(desk, walked(story, session, *acts))


def test_not_proven_says_what_now_and_blesses_nothing(desk: Desk, story: Story, session: Session) -> None:
    sheet = told(desk, walked(story, session, *answers(**GATE), closed("not_proven", "draws too little still")))
    assert (
        "“draws too little still” Ask us before you use it: not every look for safety was made on this visit." in sheet
    )
    assert "this visit. The fault may come back." in sheet
    assert "Nothing on this sheet says that it will go on running." in sheet


@pytest.mark.parametrize(
    ("acts", "words"),
    [
        ([], "By this record the burner was not run on this visit: nothing here shows how it runs."),
        (answers(watch_cycle="runs_through"), "The burner was run on this visit."),
        (answers(watch_cycle="no_ignition"), "By this record the burner was not run on this visit: nothing here shows"),
    ],
)
def test_a_fault_that_was_not_seen_says_whether_the_burner_was_run(
    desk: Desk, story: Story, session: Session, acts: list[tuple[str, dict[str, Any]]], words: str
) -> None:
    sheet = told(desk, walked(story, session, *answers(**GATE), *acts, closed("not_seen_today", "stood by it 20 min")))
    assert f"“stood by it 20 min” {words}" in sheet


ALL_LOOKS = {"terminal": "clear", "joints": "sound", "slope": "falls_right", "burn_marks": "clean"}
SAFE = {**GATE, **ALL_LOOKS, "manual_limit": "none_tripped", "tp_valve": "sound"}
TUBE = [("cause_named", {"cause": "tube_off"}), ("repair_made", {"action": "new_tube"})]
FELL = {"passed": False, "minutes": 12, "restarts": 0, "looks_done": [], "co_room_ppm": 1}
FELL |= {"suction_before_in_wc": 0.43, "suction_hot_in_wc": 0.18}


def run(body: dict[str, Any], **more: Any) -> tuple[str, dict[str, Any]]:
    return "proof_run", {**body, **more}


def test_where_every_look_was_made_not_proven_says_that_it_was_not_shut_off(
    desk: Desk, story: Story, session: Session
) -> None:
    again = answers(joints="sound")
    sheet = told(desk, walked(story, session, *answers(**SAFE), *TUBE, *again, run(FELL), closed("not_proven", "weak")))
    assert (
        "It was not left off when we went: none of the looks for safety on this visit forbids its use. The fault may"
        in sheet
    )


def test_a_look_of_before_is_not_in_order_beside_a_run_that_read_it_otherwise(
    desk: Desk, story: Story, session: Session
) -> None:
    acts = [*answers(**GATE, suction_at_switch="enough"), *TUBE, run(FELL)]
    sheet = told(desk, walked(story, session, *acts, closed("not_proven", "weak")))
    assert (
        "How strongly the vent draws: enough, looked at before the test run; in that run 0.18 in. w.c., "
        "and it did not hold" in sheet.partition("In order:")[0]
    )


def test_what_was_not_in_order_before_a_repair_says_whether_it_was_looked_at_again(
    desk: Desk, story: Story, session: Session
) -> None:
    acts = [*answers(**GATE, slope="sag_or_back_slope", always_so="since_install", suction_at_switch="short"), *TUBE]
    held = run(FELL, passed=True, suction_hot_in_wc=0.51)
    sheet = told(desk, walked(story, session, *acts, held, closed("proven")))
    assert "slopes the wrong way (found before the repair)" in sheet
    assert "since it was put in, or its vent was changed (found" not in sheet
    assert "too weak for the heater to start (found before the repair; in the test run after it 0.51" in sheet


def test_a_run_whose_minutes_are_in_doubt_is_no_plain_headline(desk: Desk, story: Story, session: Session) -> None:
    job = walked(story, session, *answers(**GATE), *TUBE)
    site = session.get_one(Job, job).site_id
    story.at -= timedelta(minutes=10)
    story.walk(site, job, run(FELL, passed=True), closed("proven", "Why the run counts: typed late"))
    head = told(desk, job).partition("Date of the visit")[0]
    assert "held in the test run. How long that run lasted is in doubt: see" in head
    assert "Why it counts, in our technician's words: “typed late”" in head


def described(serial: str, appliance_id: str) -> tuple[str, dict[str, Any]]:
    body = {"appliance_id": appliance_id, "kind": "power_vent", "maker_words": "Vossquill", "serial_words": serial}
    return "appliance_described", body


def rows(sheet: str) -> str:
    return sheet.partition("Date of the visit")[2].partition("Called about")[0]


def test_of_a_replaced_heater_the_sheet_names_which_was_put_in_and_which_was_taken_out(
    desk: Desk, story: Story, session: Session
) -> None:
    old, new = described("OLD-1", new_id()), described("NEW-2", new_id())
    end = closed("replaced", "A 50 gallon tank of the same kind")
    both = told(desk, walked(story, session, *answers(**GATE), old, new, run(FELL, passed=True), end))
    assert "NEW-2" in rows(both).partition("Heater taken out")[0]
    assert "OLD-1" in rows(both).partition("Heater taken out")[2]
    assert "The heater was replaced. No other work is recorded on this visit." in both
    assert "0.18 in. w.c. with the one put in: two heaters, so the two do not compare" in both
    earlier = walked(story, session, old, closed("declined"))
    site = session.get_one(Job, earlier).site_id
    later = story.book(site)
    story.walk(site, later, ("job_opened", {"procedure_hash": compiled("power_vent")["hash"]}), old, end)
    sheet = told(desk, later)
    assert f"Heater put in {NOT_DESCRIBED}" in rows(sheet)
    assert "OLD-1" in rows(sheet).partition("Heater taken out")[2]
    assert "No test run is recorded after this work." in sheet
    story.walk(site, story.book(site), new)
    assert "NEW-2" not in told(desk, later), "described by a visit after it"


def test_one_heater_described_where_it_was_replaced_is_neither_called_new_nor_old(
    desk: Desk, story: Story, session: Session
) -> None:
    job = walked(story, session, described("ONE-1", new_id()), closed("replaced", "A 50 gallon tank"))
    assert "whether it was put in or taken out is not recorded" in rows(told(desk, job))


def test_a_visit_to_one_kind_of_heater_is_not_told_of_another_kind_that_alone_is_described(
    desk: Desk, story: Story, session: Session
) -> None:
    first = walked(story, session, described("VENT-1", new_id()), closed("declined", "later"))
    site = session.get_one(Job, first).site_id
    again = story.book(site)
    kind = compiled("power_vent")["hash"]
    story.walk(site, again, ("job_opened", {"procedure_hash": kind}), closed("declined", "later"))
    assert "Heater power vent, Vossquill, serial VENT-1" in told(desk, again)
    other = story.book(site)
    story.open(site, other)  # by another list of checks
    assert "Heater which heater is not recorded" in told(desk, other)


def test_where_no_work_was_done_the_run_is_not_called_one_after_it(desk: Desk, story: Story, session: Session) -> None:
    sheet = told(desk, walked(story, session, run(FELL, passed=True)))
    assert "The test run The heater was run for 12 minutes" in sheet
    assert "after the work" not in sheet


def test_a_run_whose_own_figure_is_unsafe_is_not_told_as_one_that_went_well(
    desk: Desk, story: Story, session: Session
) -> None:
    shipped = compiled("standing_pilot")
    session.merge(
        ProcedureVersion(hash=shipped["hash"], name=shipped["name"], body=shipped, stored_at=START, is_current=False)
    )
    session.commit()
    site = story.address()
    job = story.book(site)
    story.walk(site, job, ("job_opened", {"procedure_hash": shipped["hash"]}))
    body = {"passed": True, "minutes": 12, "restarts": 0, "looks_done": [], "words": "x"}
    slow = {**body, "quantity": "drop_out_seconds", "before_value": 300, "after_value": 200}
    story.say(story.hand, "proof_run", slow, schema=2, site_id=site, job_id=job)
    sheet = told(desk, job)
    assert "Its own figure says otherwise: how soon the gas shuts when the pilot is out, too slow." in sheet
    assert "It kept running" not in sheet
