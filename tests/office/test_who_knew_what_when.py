"""One job's page answers an inspector: who took the call, who was sent with what, what was read when, who differs."""

from __future__ import annotations

import re
from datetime import datetime, timedelta
from typing import Any

import pytest
from sqlalchemy.orm import Session

from tests.factories import EventMaker, PersonFactory, PhoneFactory
from tests.office.conftest import Desk, text_of
from tests.office.test_call_again import called
from tests.sites.stories import HELD, PROCEDURE, START
from webapp.models import Job, ProcedureVersion
from webapp.models.base import wall_time
from webapp.models.ids import new_id
from webapp.sites.clock import hour_words

GATE = [
    {
        "id": name, "sense": "hand", "part": "room", "from_event": None, "title": title, "readings": [],
        "outcomes": [
            {"id": "well", "words": well, "verdict": "good"}, {"id": "bad", "words": "Not well", "verdict": "bad"},
        ],
    }
    for name, title, well in (
        ("symptoms", "Anybody unwell", "Nobody unwell"), ("smell_of_gas", "Smell of gas", "No smell"),
    )
]  # fmt: skip


OFF = {"what_words": "the heater", "why_words": "cracked vent", "told_words": "Mrs Vale"}
GATED_HASH = "9a" * 32


def printed(moment: datetime) -> str:
    """With its year, as on the pages that are printed."""
    return f"{moment:%a} {moment.day} {moment:%b %Y}, {moment:%H:%M}"


@pytest.fixture(autouse=True)
def _gated(desk: Desk, session: Session) -> None:
    """A version of its own: what a hash names never changes."""
    body = {**PROCEDURE, "name": "toy_gated", "hash": GATED_HASH, "checks": [*PROCEDURE["checks"], *GATE]}
    session.add(ProcedureVersion(hash=GATED_HASH, name="toy_gated", body=body, stored_at=START, is_current=False))
    session.commit()


def answered(desk: Desk, place: tuple[str, str], **answers: str) -> None:
    desk.story.walk(*place, ("job_opened", {"procedure_hash": GATED_HASH}))
    for check, outcome in answers.items():
        body = {"check": check, "outcome": outcome, "could_not": None, "words": None, "minutes_since_fired": None}
        desk.story.walk(*place, ("check_answered", body))


@pytest.mark.parametrize(("said", "told"), [("yes", "the caller said yes"), ("unsure", "the caller said not sure")])
def test_a_caller_who_felt_unwell_is_not_silenced_by_nobody_unwell_on_site(desk: Desk, said: str, told: str) -> None:
    place = called(desk, unwell=said)
    answered(desk, place, symptoms="well")
    page = desk.read(f"/jobs/{place[1]}")
    assert f"Caller and site differ. Anybody unwell: {told}, on site was noted: Nobody unwell. Both stand." in page
    assert "Caller and site differ" in desk.read(f"/addresses/{place[0]}")


def test_a_form_that_is_refused_tells_the_days_with_their_year_as_the_page_does(desk: Desk) -> None:
    _site, job = called(desk, unwell="no")
    year = f"{datetime.now().astimezone():%Y}"
    booked = re.search(r"Booked (.*?) booked by", desk.read(f"/jobs/{job}"))
    assert booked
    answer = desk.send(f"/jobs/{job}", f"/jobs/{job}/cancel", why="")
    assert answer.status_code == 422
    assert f"Booked {booked[1]} booked by" in text_of(answer)
    assert year in booked[1]


def test_a_smell_that_the_caller_told_and_nobody_found_is_told_too(desk: Desk) -> None:
    place = called(desk, smell_of_gas="yes")
    answered(desk, place, smell_of_gas="well")
    assert "Smell of gas: the caller said yes, on site was noted: No smell." in desk.read(f"/jobs/{place[1]}")


@pytest.mark.parametrize(("said", "found"), [("no", "well"), ("not_asked", "well"), ("yes", "bad")])
def test_nothing_is_remarked_where_they_do_not_differ(desk: Desk, said: str, found: str) -> None:
    place = called(desk, unwell=said)
    answered(desk, place, symptoms=found)
    assert "Caller and site differ" not in desk.read(f"/jobs/{place[1]}")


def test_the_page_says_who_took_the_call_and_who_booked(desk: Desk) -> None:
    _site, job = called(desk)
    facts = desk.read(f"/jobs/{job}").partition("Timeline")[0]
    assert f"taken by Dora Desk, {printed(desk.story.at)}" in facts
    assert "booked by Dora Desk, " in facts


def test_whoever_was_sent_stands_with_the_licence_that_is_kept(desk: Desk, session: Session) -> None:
    _site, job = called(desk)
    assert "no licence is kept for this person" in desk.read(f"/jobs/{job}")
    desk.story.technician.licence_words, desk.story.technician.licence_expires_on = "Gas fitter G-1187", "2026-01-31"
    session.commit()
    desk.story.open(_site, job)
    assert "licence as kept now: Gas fitter G-1187, had run out Sat 31 Jan 2026" in desk.read(f"/jobs/{job}")
    desk.story.technician.licence_expires_on = "2026-03-02"  # the day of these stories is the last that counts
    session.commit()
    assert "licence as kept now: Gas fitter G-1187, good to Mon 2 Mar 2026" in desk.read(f"/jobs/{job}")


def test_each_instrument_stands_with_its_serial_and_when_it_was_calibrated(desk: Desk) -> None:
    place = called(desk)
    desk.story.open(*place)
    meter: dict[str, Any] = {
        "instrument_id": new_id(), "instrument_kind": "co_meter", "serial_words": "C-77", "calibrated_on": "2026-02-10",
        "bump_tested": True, "zeroed": True, "words": None,
    }  # fmt: skip
    unknown = {**meter, "instrument_id": new_id(), "instrument_kind": "manometer", "calibrated_on": None}
    desk.story.walk(*place, ("instrument_carried", meter), ("instrument_carried", unknown))
    facts = desk.read(f"/jobs/{place[1]}").partition("Timeline")[0].partition("Instruments carried")[2]
    assert "CO meter, serial C-77 · calibrated Tue 10 Feb 2026 · bump-tested · zeroed · noted by" in facts
    assert "gauge, serial C-77 · no day of calibration given" in facts


def test_a_reading_stands_with_its_time_by_the_phone_and_its_arrival(desk: Desk) -> None:
    place = called(desk)
    desk.story.open(*place)
    taken = {"check": "suction", "quantity": "suction_in_wc", "value": 0.41, "place": None, "state": None}
    desk.story.walk(*place, ("reading_taken", taken | {"instrument_words": None}))
    measured = desk.read(f"/jobs/{place[1]}").partition("Timeline")[0].partition("Measured")[2]
    assert f"0.41 in. w.c. noted {printed(desk.story.at)}" in measured


def test_nothing_carried_is_said_too(desk: Desk) -> None:
    place = called(desk)
    assert "Instruments carried" not in desk.read(f"/jobs/{place[1]}")
    desk.story.open(*place)
    assert "Instruments carried None is noted" in desk.read(f"/jobs/{place[1]}")


def test_the_co_meter_of_the_first_looks_stands_where_no_instrument_is_named(desk: Desk) -> None:
    place = called(desk)
    answered(desk, place, co_meter="on")
    line = f"Instruments carried None by name; CO meter on, tested and zeroed at {hour_words(desk.story.at)}"
    assert line in desk.read(f"/jobs/{place[1]}")
    answered(desk, place, co_meter="not_with_me")
    assert "None by name" not in desk.read(f"/jobs/{place[1]}")


def test_a_voice_call_about_a_heater_left_off_stands_with_who_rang_and_when(desk: Desk) -> None:
    place = called(desk)
    desk.story.open(*place)
    desk.story.walk(*place, ("left_off", OFF))
    assert "Office told by voice: no call about it stands recorded." in desk.read(f"/jobs/{place[1]}")
    at = desk.story.at
    told = {"who_words": "the van, from the drive", "told_wall": wall_time(at), "words": None}
    desk.story.walk(*place, ("office_told", told))
    top = desk.read(f"/jobs/{place[1]}").partition("In short")[0]
    assert f"Office told by voice: the van, from the drive, {printed(at)} · noted by" in top


def left_off_late(desk: Desk) -> tuple[str, str]:
    """Left off without signal: it got here 13 minutes after it was noted."""
    site, job = called(desk)
    desk.story.open(site, job)
    heard = desk.story.at + timedelta(minutes=14)
    desk.story.say(desk.story.hand, "left_off", OFF, site_id=site, job_id=job, arrives_at=heard)
    return site, job


def noted_and_heard(desk: Desk) -> str:
    return f"{printed(desk.story.at)}, arrived here {hour_words(desk.story.at + timedelta(minutes=13))}"


def test_what_was_left_off_stands_with_when_it_was_noted_and_when_it_got_here(desk: Desk) -> None:
    site, job = left_off_late(desk)
    told = (
        f"Left off and tagged: the heater · cracked vent · told: Mrs Vale · noted by Tom Torch, {noted_and_heard(desk)}"
    )
    assert told in desk.read(f"/jobs/{job}")
    assert noted_and_heard(desk) in desk.read(f"/addresses/{site}")
    register = desk.read("/heaters-off")
    assert f"noted by Tom Torch, known here since {hour_words(desk.story.at + timedelta(minutes=13))}" in register


def test_what_got_here_at_once_has_no_second_time(desk: Desk) -> None:
    site, job = called(desk)
    desk.story.open(site, job)
    desk.story.walk(site, job, ("left_off", OFF))
    assert "arrived here" not in desk.read(f"/jobs/{job}")
    assert "known here since" not in desk.read("/heaters-off")


def test_the_address_tells_what_was_left_off_in_full_once(desk: Desk) -> None:
    site, job = left_off_late(desk)
    page = desk.read(f"/addresses/{site}")
    assert page.count("cracked vent") == page.count("told: Mrs Vale") == 1
    assert "What to know first Left off and tagged Mon 2 Mar 2026 , Tom Torch: the heater · cracked vent" in page
    assert "Left off and tagged: the heater ( in full above )" in page
    assert desk.read(f"/jobs/{job}").count("cracked vent") > 1, "its timeline tells it too"


def test_whoever_is_sent_first_is_sent_and_the_next_one_is_moved_to(desk: Desk, session: Session) -> None:
    site = desk.story.address()
    job = new_id()
    booked = {
        "complaint": "no_hot_water",
        "complaint_words": "cold",
        "technician_id": None,
        "procedure_name": "toy_vent",
    }
    desk.story.say(desk.story.desk, "job_booked", booked, site_id=site, job_id=job, schema=2)
    for who in (desk.story.technician, desk.story.dispatcher):
        body = {"technician_id": who.id, "why": "free next"}
        desk.story.say(desk.story.desk, "job_moved", body, site_id=site, job_id=job)
    page = desk.read(f"/jobs/{job}")
    assert "Sent to Tom Torch “free next”" in page
    assert "Moved to Dora Desk “free next”" in page
    assert "Moved to Tom Torch" not in page


def test_a_visit_that_was_begun_names_who_went_and_when_they_were_there(desk: Desk) -> None:
    site, job = called(desk)
    assert "Who goes Tom Torch" in desk.read(f"/jobs/{job}")
    desk.story.at += timedelta(days=1)
    desk.story.walk(site, job, ("arrived", {}))
    began = desk.story.at
    desk.story.walk(site, job, ("job_closed", {"state": "declined"}))
    there = f"{printed(began)} to {hour_words(desk.story.at)}"
    page = desk.read(f"/jobs/{job}")
    assert "Who went Tom Torch" in page
    assert f"There {there}" in page
    day, _, hours = there.partition(", ")
    logbook = desk.read(f"/addresses/{site}").partition("Logbook, newest first")[2]
    assert re.search(f"{day} .*Tom Torch, there {hours}", logbook), "the day of the visit is its heading"


def test_on_the_day_of_its_booking_an_address_names_the_hours_alone(desk: Desk) -> None:
    site, job = called(desk)
    desk.story.walk(site, job, ("arrived", {}))
    began = hour_words(desk.story.at)
    desk.story.walk(site, job, ("job_closed", {"state": "declined"}))
    assert f"Tom Torch, there {began} to {hour_words(desk.story.at)}" in desk.read(f"/addresses/{site}")


def test_pages_that_are_printed_tell_days_of_this_year_with_it(desk: Desk) -> None:
    site, job = left_off_late(desk)
    for path in (f"/jobs/{job}", f"/addresses/{site}", "/heaters-off"):
        page = desk.read(path)
        assert re.findall(r"\d{1,2} Mar(?! \d{4})", page) == [], path


def test_of_two_who_went_both_are_named_with_their_licences(desk: Desk, session: Session) -> None:
    site, job = called(desk)
    desk.story.open(site, job)
    ada = PersonFactory(name="Ada Pipe", licence_words="Gas 9")
    phone = PhoneFactory(person_id=ada.id)
    session.commit()
    hers = EventMaker(ada.id, phone.id)
    desk.story.say(
        hers, "check_answered", {"check": "tube", "outcome": "off", "could_not": None}, site_id=site, job_id=job
    )
    page = desk.read(f"/jobs/{job}").partition("Timeline")[0]
    both = "Tom Torch, Ada Pipe"
    assert f"Who went {both} Tom Torch: no licence is kept for this person Ada Pipe: licence as kept now: Gas 9" in page
    assert both in desk.read(f"/addresses/{site}")
    sheet = desk.read(f"/jobs/{job}/sheet")
    assert "Technician Tom Torch (no licence recorded here) Technician Ada Pipe, licence Gas 9" in sheet


CO = {"check": "co_room", "quantity": "co_room_ppm", "place": "room", "state": None, "instrument_words": None}
REPAIR = ("repair_made", {"action": "seat_tube"})
RUN = ("proof_run", {"passed": True, "minutes": 20, "restarts": 2, "looks_done": ["joints"]})


def test_a_figure_of_before_the_repair_is_no_all_clear(desk: Desk) -> None:
    first, second = called(desk)
    desk.story.walk(first, second, ("reading_taken", {**CO, "value": 24}), ("left_off", OFF))
    later = desk.story.book(first)
    desk.story.open(first, later)
    desk.story.walk(first, later, ("reading_taken", {**CO, "value": 0}), REPAIR, RUN)
    page, address = desk.read(f"/jobs/{later}"), desk.read(f"/addresses/{first}")
    assert "0 ppm (room, before the repair)" in page
    assert "CO in the room after the repair: no figure" in page
    assert "Looked at last joints of the vent" in page
    assert "24 ppm 0 ppm, before the repair" in address
    assert "no figure" not in desk.read(f"/jobs/{second}"), "nothing was repaired there"


@pytest.mark.parametrize("by_itself", [True, False])
def test_a_figure_of_after_the_repair_is_one(desk: Desk, by_itself: bool) -> None:
    place = called(desk)
    run = (RUN[0], RUN[1] | ({} if by_itself else {"co_room_ppm": 1}))
    after = [("reading_taken", {**CO, "value": 2})] if by_itself else []
    desk.story.open(*place)
    desk.story.walk(*place, ("reading_taken", {**CO, "value": 24}), REPAIR, run, *after)
    page = desk.read(f"/jobs/{place[1]}")
    assert "no figure" not in page
    assert ("2 ppm (room, after the repair)" in page) is by_itself


def test_two_visits_of_one_day_are_named_with_their_hours(desk: Desk) -> None:
    site = desk.story.address()
    first = desk.story.whole_visit(site)
    second = desk.story.book(site)
    page = desk.read(f"/addresses/{site}")
    for job in (first, second):
        made = printed(session_moment(desk, job))
        assert f"{made} " in page.partition("Logbook, newest first")[2]
    assert f"Return visit after 1 min, cause not known yet: {printed(session_moment(desk, second))}" in page


def session_moment(desk: Desk, job: str) -> datetime:
    """When it was made, else booked."""
    row = desk.story.session.get_one(Job, job)
    made = row.opened_at or row.booked_at
    assert made is not None
    return made


def test_that_nobody_rang_the_office_stands_also_once_it_is_put_back(desk: Desk) -> None:
    site, job = left_off_late(desk)
    never = "Office told by voice: no call about it stands recorded."
    desk.story.walk(site, job, HELD, ("put_back", {"words": "new vent"}))
    assert never in desk.read(f"/jobs/{job}")
    assert never in desk.read(f"/addresses/{site}")
    desk.story.walk(site, job, ("office_told", {"who_words": "Tom", "told_wall": wall_time(desk.story.at)}))
    assert never not in desk.read(f"/jobs/{job}")
