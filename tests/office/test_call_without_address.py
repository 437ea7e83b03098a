"""They hang up before the street is said: number and words are kept, nobody is sent, the address is decided later."""

from __future__ import annotations

from typing import Any

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.office.conftest import Desk, text_of
from webapp.models import EventRow, Job, Site

PAGE = "/jobs/book"
LIST = "/addresses/in-doubt"


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def the_call(**over: Any) -> dict[str, Any]:
    return {
        "street": "",
        "phone": "555-0142",
        "complaint": "toy_vent/no_hot_water",
        "complaint_words": "cold since Sunday, then the line went dead",
        "technician_id": "",
        "site_id": "later",
    } | over


def the_job(session: Session) -> tuple[Job, Site]:
    session.rollback()
    job = session.scalars(select(Job).order_by(Job.id.desc())).first()
    assert job is not None
    return job, session.get_one(Site, job.site_id)


def test_number_and_words_are_kept_and_nobody_is_sent(desk: Desk, session: Session) -> None:
    answer = desk.send(PAGE, **the_call())
    assert answer.status_code == 303, text_of(answer)
    job, site = the_job(session)
    assert (job.state, job.technician_id, job.complaint_words, site.street, site.phone) == (
        "booked", None, "cold since Sunday, then the line went dead", "", "555-0142",
    )  # fmt: skip
    page = desk.read(answer.location)
    assert "send somebody here" not in page
    for told in ("Kept, without an address", "Address not given yet", "no street is known", "Ring 555-0142"):
        assert told in page, told
    assert f'name="technician_id" value="{desk.story.technician.id}"' not in desk.client.get("/jobs").text
    assert "Type the address first" in desk.read("/jobs")


def test_that_they_hung_up_is_said_in_words_wherever_the_job_is_read(desk: Desk) -> None:
    page = desk.read(desk.send(PAGE, **the_call(complaint="toy_vent/not_told")).location)
    assert "What is wrong Not said: they hung up" in page
    assert "Booked for nobody yet: Not said: they hung up" in page
    assert "Not said: they hung up" in desk.read("/jobs")


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"site_id": ""}, "They hung up before saying the street"),
        ({"phone": ""}, "which number did they ring from?"),
        ({"technician_id": "somebody"}, "Nobody can be sent without a street"),
    ],
)
def test_what_is_missing_is_said_and_nothing_is_kept(
    desk: Desk, session: Session, typed: dict[str, str], words: str
) -> None:
    if "technician_id" in typed:
        typed = {"technician_id": desk.story.technician.id}
    answer = desk.send(PAGE, **the_call(**typed))
    assert answer.status_code == 422
    assert words in text_of(answer)
    assert "then the line went dead" in text_of(answer)
    assert session.scalars(select(Job)).all() == []


def test_who_alarms_from_a_withheld_number_is_kept_all_the_same(desk: Desk, session: Session) -> None:
    assert 'value="later"' in desk.client.get(PAGE).text
    answer = desk.send(PAGE, **the_call(phone="", smell_of_gas="unsure"))
    assert answer.status_code == 303
    job, site = the_job(session)
    assert (job.caller_alarm, site.phone) == (True, "")
    assert "tel:" not in desk.client.get(LIST).text
    assert "no street is known. Type the address" in desk.read(answer.location)


def test_the_choice_is_there_as_soon_as_a_number_is_typed(desk: Desk) -> None:
    assert 'value="later"' in desk.client.get("/jobs/book/matches?phone=555-0142").text
    assert 'value="later"' not in desk.client.get("/jobs/book/matches?phone=555-0142&street=12+Mill+Lane").text
    kept = desk.client.get("/jobs/book/matches?phone=555-0142&site_id=later").text
    assert 'value="later" checked' in kept


def test_a_number_that_is_half_typed_is_not_called_unknown(desk: Desk) -> None:
    desk.story.address("7 Other Street", phone="555-0142")
    shown = desk.client.get("/jobs/book/matches?phone=0142").text
    assert "not known here" not in shown
    assert "Type the last seven digits" in shown


def test_nobody_is_sent_by_an_old_page_either(desk: Desk, session: Session) -> None:
    desk.send(PAGE, **the_call())
    job, _site = the_job(session)
    answer = desk.send(f"/jobs/{job.id}", f"/jobs/{job.id}/move", technician_id=desk.story.technician.id)
    assert answer.status_code == 409
    assert "nowhere to send anybody" in text_of(answer)


def test_it_waits_on_the_list_until_the_address_is_typed(desk: Desk, session: Session) -> None:
    desk.send(PAGE, **the_call(smell_of_gas="yes"))
    job, site = the_job(session)
    listed = desk.read(LIST)
    for told in ("Calls without an address", "555-0142", "then the line went dead", "caller alarm: smell of gas"):
        assert told in listed, told
    path = f"/addresses/{site.id}/correct"
    assert "Type the address" in desk.read(path)
    answer = desk.send(path, street="12 Mill Lane", town="Harrowby", phone="555-0142")
    assert answer.status_code == 303
    assert "Calls without an address" not in desk.read(LIST)
    desk.send(f"/jobs/{job.id}", f"/jobs/{job.id}/move", technician_id=desk.story.technician.id)
    job, site = the_job(session)
    assert (job.technician_id, site.street) == (desk.story.technician.id, "12 Mill Lane")


def test_a_cancelled_one_waits_no_more(desk: Desk, session: Session) -> None:
    desk.send(PAGE, **the_call())
    job, _site = the_job(session)
    desk.send(f"/jobs/{job.id}", f"/jobs/{job.id}/cancel", why="rang again from their own number")
    assert "Calls without an address" not in desk.read(LIST)


def test_typed_later_a_known_address_asks_whether_it_is_the_same(desk: Desk, session: Session) -> None:
    desk.story.address("12 Mill Lane", phone="555-0100")
    desk.send(PAGE, **the_call())
    _job, site = the_job(session)
    answer = desk.send(f"/addresses/{site.id}/correct", street="12 Mill Ln", town="Harrowby")
    assert answer.location == f"/addresses/{site.id}/same-as"
    assert "Is it the same address?" in desk.read(answer.location)


def test_said_to_be_a_known_address_somebody_is_sent_there_and_undone_nobody_is(desk: Desk, session: Session) -> None:
    known = desk.story.address("12 Mill Lane", phone="555-0142", customer_name="Mrs Vale")
    desk.story.whole_visit(known)
    desk.send(PAGE, **the_call())
    _job, site = the_job(session)
    assert "left to be decided when the call was taken ; same phone" in desk.read(LIST)
    path = f"/addresses/{site.id}/same-as/{known}"
    assert desk.send(LIST, path, said="same", **{"from": "list"}).status_code == 303
    _job, site = the_job(session)
    assert (site.street, site.customer_name, site.group_id) == ("12 Mill Lane", "Mrs Vale", min(site.id, known))
    assert "sensing tube off its port" in desk.read(f"/addresses/{site.id}")
    page = desk.client.get(LIST).text
    desk.send(LIST, page.partition("Undo")[0].rpartition('action="')[2].partition('"')[0])
    _job, site = the_job(session)
    assert (site.street, site.phone, site.group_id) == ("", "555-0142", site.id)
    assert session.get_one(Site, known).street == "12 Mill Lane"
    assert "Calls without an address" in desk.read(LIST)


def test_a_pair_that_was_put_off_is_on_the_list_however_little_the_words_are_alike(
    desk: Desk, session: Session
) -> None:
    known = desk.story.address("7 Harbour Steps", customer_name="Mrs Valerian", phone="555-0100")
    typed = {"street": "The boat house", "town": "Harrowby", "customer_name": "Valerian", "phone": "555-0177"}
    desk.send(PAGE, **the_call(**typed, technician_id="nobody"))
    job, site = the_job(session)
    listed = desk.read(LIST)
    for told in ("The boat house", "7 Harbour Steps", "left to be decided when the call was taken"):
        assert told in listed, told
    assert "May be the same address as 7 Harbour Steps" in desk.read(f"/jobs/{job.id}")
    desk.send(LIST, f"/addresses/{site.id}/same-as/{known}", said="not_same")
    assert "left to be decided" not in desk.read(LIST).partition("Decided lately")[0]


def test_a_known_address_that_was_in_sight_is_named_once_in_the_events(desk: Desk, session: Session) -> None:
    known = desk.story.address("7 Other Street", phone="555-0142")
    desk.send(PAGE, **the_call())
    pairs = session.scalars(select(EventRow).where(EventRow.kind == "may_be_same_address")).all()
    assert [one.body["other_site_id"] for one in pairs] == [known]


def test_a_form_sent_twice_is_kept_once(desk: Desk, session: Session) -> None:
    call = the_call(job_id="01a21200-0000-7000-8000-000000000001")
    desk.send(PAGE, **call)
    assert "It was booked already" in desk.read(desk.send(PAGE, **call).location)
    assert len(session.scalars(select(Job)).all()) == 1
