"""A call becomes a job: what is known is shown first, nothing typed is lost, nothing is booked twice."""

from __future__ import annotations

import re
from typing import Any

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.office.conftest import Desk, text_of
from webapp.models import EventRow, Job, Site
from webapp.procedures import compiled, list_procedures

PAGE = "/jobs/book"


def the_call(desk: Desk, **over: Any) -> dict[str, Any]:
    return {
        "street": "12 Mill Lane",
        "town": "Harrowby",
        "phone": "555-0142",
        "customer_name": "Mrs Vale",
        "complaint": "toy_vent/no_hot_water",
        "complaint_words": "it hums and gives up",
        "technician_id": desk.story.technician.id,
    } | over


def jobs(session: Session) -> list[Job]:
    session.expire_all()
    return list(session.scalars(select(Job).order_by(Job.id)))


def test_a_call_from_a_new_address_makes_the_address_and_the_job(desk: Desk, session: Session) -> None:
    answer = desk.send(PAGE, **the_call(desk))
    (job,) = jobs(session)
    site = session.get(Site, job.site_id)
    assert site is not None
    assert (answer.status_code, answer.location) == (303, f"/jobs/{job.id}")
    assert (site.street, site.town, site.phone, site.customer_name) == (
        "12 Mill Lane", "Harrowby", "555-0142", "Mrs Vale",
    )  # fmt: skip
    assert (job.state, job.complaint, job.complaint_words, job.procedure_name, job.technician_id) == (
        "booked", "no_hot_water", "it hums and gives up", "toy_vent", desk.story.technician.id,
    )  # fmt: skip
    events = session.scalars(select(EventRow).where(EventRow.person_id == desk.story.dispatcher.id)).all()
    assert {event.kind for event in events} == {"address_given", "call_taken", "job_booked"}


def test_a_call_is_booked_for_nobody_yet_and_its_page_sends_somebody_with_one_tap(desk: Desk, session: Session) -> None:
    answer = desk.send(PAGE, **the_call(desk, technician_id="nobody"))
    (job,) = jobs(session)
    assert answer.location == f"/jobs/{job.id}"
    assert job.technician_id is None
    page = desk.read(f"/jobs/{job.id}")
    assert "Who goes nobody is going yet" in page
    assert "Booked for nobody yet: no hot water" in page
    desk.send(f"/jobs/{job.id}", f"/jobs/{job.id}/move", technician_id=desk.story.technician.id)
    session.rollback()
    assert jobs(session)[0].technician_id == desk.story.technician.id
    assert "Tom Torch goes." in desk.read(f"/jobs/{job.id}")


def test_a_button_of_a_list_that_is_old_takes_the_job_from_nobody(desk: Desk, session: Session) -> None:
    desk.send(PAGE, **the_call(desk, technician_id="nobody"))
    (job,) = jobs(session)
    stale = desk.shown("/jobs")
    other = desk.story.another_technician("Ann Other").person_id
    desk.send(f"/jobs/{job.id}", f"/jobs/{job.id}/move", technician_id=desk.story.technician.id)
    answer = desk.client.post(f"/jobs/{job.id}/move", data=stale | {"technician_id": other})
    assert answer.status_code == 409
    assert "Meanwhile somebody was sent" in text_of(answer)
    session.rollback()
    assert jobs(session)[0].technician_id == desk.story.technician.id


def test_a_cancelled_call_waits_for_nobody_to_go(desk: Desk, session: Session) -> None:
    desk.send(PAGE, **the_call(desk, technician_id="nobody"))
    (job,) = jobs(session)
    desk.send(f"/jobs/{job.id}", f"/jobs/{job.id}/cancel", why="works again")
    page = desk.read(f"/jobs/{job.id}")
    assert "Was to go nobody" in page
    assert "nobody yet" not in page.partition("Was to go")[2][:40]


def test_who_goes_is_chosen_and_never_left_blank_by_chance(desk: Desk, session: Session) -> None:
    assert desk.send(PAGE, **the_call(desk, technician_id="")).status_code == 422
    assert jobs(session) == []


def test_what_failed_there_before_is_read_while_typing_and_nothing_is_saved(desk: Desk, session: Session) -> None:
    site = desk.story.address(phone="(503) 555-0142")
    desk.story.whole_visit(site, passed=False)
    before = len(jobs(session))
    for query in ("street=12+mill+ln", "street=12+Mill+La", "phone=555+0142", "phone=5035550142"):
        words = desk.client.get(f"/jobs/book/matches?{query}").text
        assert "12 Mill Lane" in words, query
        assert "sensing tube off its port → seated the sensing tube" in words
        assert "Did not hold in the hot run of 20 min" in words
        assert 'data-verdict="bad"' in words
    assert len(jobs(session)) == before


def test_the_button_looks_without_a_script_and_keeps_what_was_typed(desk: Desk, session: Session) -> None:
    desk.story.whole_visit(desk.story.address())
    answer = desk.send(PAGE, **the_call(desk, look="1", complaint_words="half a sente"))
    assert answer.status_code == 200
    assert "1 visit before" in text_of(answer)
    for typed in ("12 Mill Lane", "555-0142", "Mrs Vale", "half a sente"):
        assert typed in answer.text
    assert f'selected value="{desk.story.technician.id}"' in answer.text
    assert len(jobs(session)) == 1


def test_the_same_door_is_ready_chosen_and_the_job_goes_to_it(desk: Desk, session: Session) -> None:
    site = desk.story.address()
    shown = desk.client.get("/jobs/book/matches?street=12+MILL+LN.&town=harrowby").text
    assert f'value="{site}" checked' in shown
    answer = desk.send(PAGE, **the_call(desk, street="12 MILL LN.", site_id=site))
    (job,) = jobs(session)
    assert answer.status_code == 303
    assert job.site_id == site


def test_a_misspelt_street_shows_the_door_chooses_nothing_and_can_be_booked_as_typed(
    desk: Desk, session: Session
) -> None:
    site = desk.story.address("12 Copperkettle Rise")
    shown = desk.client.get("/jobs/book/matches?street=12+coperketle+rise").text
    assert "12 Copperkettle Rise" in shown
    assert "checked" not in shown
    answer = desk.send(PAGE, **the_call(desk, street="12 coperketle rise", site_id=site))
    assert answer.status_code == 303
    assert jobs(session)[0].site_id == site


@pytest.mark.parametrize(
    ("typed", "known"),
    [
        ("8 Elmrow", "8 Elm Row"),
        ("8 Alm Row", "8 Elm Row"),
        ("19 Sistern Muse", "19 Cistern Mews"),
        ("127 St. Osks Lamplighter Psg N", "127 Saint Osk's Lamplighter Passage North"),
    ],
)
def test_a_misheard_street_offers_the_door_joins_nothing_and_is_booked_where_it_was_chosen(
    desk: Desk, session: Session, typed: str, known: str
) -> None:
    site = desk.story.address(known, phone="555-0177")
    desk.story.address("8 Tallowhill Steps", phone="555-0178")
    shown = desk.client.get("/jobs/book/matches", query_string={"street": typed}).text
    assert f'value="{site}"' in shown
    assert "Tallowhill" not in shown
    assert "checked" not in shown
    assert desk.send(PAGE, **the_call(desk, street=typed, site_id=site)).status_code == 303
    assert desk.send(PAGE, **the_call(desk, street=typed)).status_code == 303
    assert [job.site_id == site for job in jobs(session)] == [True, False]


def test_a_gas_call_from_a_misheard_street_is_tied_to_the_known_one_and_told_to_its_job(
    desk: Desk, session: Session
) -> None:
    """Nothing was chosen: the pair waits to be decided, and whoever goes to either hears of it now."""
    site = desk.story.address("8 Elm Row", phone="555-0177")
    waits = desk.story.book(site)
    gas = {"smell_of_gas": "yes", "co_alarm": "no", "unwell": "no", "water_leak": "no"}
    answer = desk.send(PAGE, **the_call(desk, street="8 Alm Row", **gas))
    page = desk.read(answer.location)
    for told in ("Something like it is known", "May be the same address as 8 Elm Row", "It may be 8 Elm Row, Harrowby"):
        assert told in page, told
    assert "8 Alm Row" in desk.read("/addresses/in-doubt")
    assert "may be from this address (8 Alm Row, Harrowby; not decided yet): smell of gas" in desk.read(
        f"/jobs/{waits}"
    )


@pytest.mark.parametrize(
    "over",
    [{"street": "8 Alm Row", "site_id": "new"}, {"street": "9 Alm Row"}, {"street": "8 Alm Row", "town": "Brae"}],
)
def test_a_new_address_on_purpose_or_of_another_door_is_tied_to_nothing(
    desk: Desk, session: Session, over: dict[str, str]
) -> None:
    waits = desk.story.book(desk.story.address("8 Elm Row", phone="555-0177"))
    answer = desk.send(PAGE, **the_call(desk, smell_of_gas="yes", **over))
    assert "May be the same address" not in desk.read(answer.location)
    assert "may be from this address" not in desk.read(f"/jobs/{waits}")


def test_a_chosen_door_is_asked_about_where_another_was_typed_since(desk: Desk, session: Session) -> None:
    site = desk.story.address("7 Other Street", phone="555-0142")
    desk.story.address("8 Elm Row", phone="555-0178")
    answer = desk.send(PAGE, **the_call(desk, street="8 Elm Row", phone="555-0178", site_id=site))
    assert "You typed 8 Elm Row, but chose 7 Other Street. Which one is it?" in text_of(answer)
    assert jobs(session) == []


def test_nobody_is_sent_to_a_street_that_sounds_alike_where_the_typed_one_is_known_too(desk: Desk) -> None:
    site = desk.story.address("8 Elm Row", phone="555-0142")
    desk.story.address("8 Elk Row", phone="555-0178")
    answer = desk.send(PAGE, **the_call(desk, street="8 Elk Row", site_id=site))
    assert "You typed 8 Elk Row, but chose 8 Elm Row. Which one is it?" in text_of(answer)


def test_a_caller_who_says_only_a_name_is_found_and_stays_chosen_when_a_phone_is_typed(
    desk: Desk, session: Session
) -> None:
    site = desk.story.address(customer_name="Mrs Valerian", phone="555-0100")
    desk.story.address("7 Other Street", phone="555-0177")
    shown = desk.client.get("/jobs/book/matches?customer_name=valerian").text
    assert "12 Mill Lane" in shown
    call = the_call(desk, street="", town="", customer_name="Valerian", phone="555-0177", site_id=site)
    assert desk.send(PAGE, **call).status_code == 303
    assert jobs(session)[0].site_id == site


def test_a_job_that_waits_there_already_is_told_before_another_is_booked(desk: Desk) -> None:
    desk.story.book(desk.story.address())
    shown = desk.client.get("/jobs/book/matches?street=12+mill+lane").text
    assert "Already booked here:" in shown
    assert "Tom Torch" in shown


def test_a_phone_that_rings_alike_chooses_nothing_by_itself(desk: Desk) -> None:
    desk.story.address("7 Other Street", phone="555-0142")
    shown = desk.client.get("/jobs/book/matches?phone=555-0142").text
    assert "7 Other Street" in shown
    assert "checked" not in shown


def test_a_known_door_is_not_made_a_second_time_without_a_word(desk: Desk, session: Session) -> None:
    known = desk.story.address()
    answer = desk.send(PAGE, **the_call(desk, street="12 MILL LN."))
    assert answer.status_code == 303
    assert [job.site_id for job in jobs(session)] == [known]


@pytest.mark.parametrize("choice", ["", "later"])
def test_a_doubtful_address_is_booked_at_once_and_decided_later(desk: Desk, session: Session, choice: str) -> None:
    known = desk.story.address("7 Other Street", phone="555-0142")
    answer = desk.send(PAGE, **the_call(desk, site_id=choice))
    assert answer.status_code == 303
    (job,) = jobs(session)
    assert job.site_id != known
    assert "Something like it is known" in desk.read(answer.location)


def test_a_new_address_that_is_like_no_other_asks_for_no_decision(desk: Desk) -> None:
    desk.story.address("7 Other Street", phone="555-0177")
    answer = desk.send(PAGE, **the_call(desk))
    assert "Something like it is known" not in desk.read(answer.location)


def test_a_new_address_beside_a_known_one_can_be_made_on_purpose(desk: Desk, session: Session) -> None:
    known = desk.story.address()
    answer = desk.send(PAGE, **the_call(desk, site_id="new"))
    (job,) = jobs(session)
    assert answer.status_code == 303
    assert job.site_id != known


def test_a_known_address_is_booked_by_its_phone_alone(desk: Desk, session: Session) -> None:
    site = desk.story.address(phone="555-0142")
    answer = desk.send(PAGE, **the_call(desk, street="", town="", site_id=site))
    assert answer.status_code == 303
    assert jobs(session)[0].site_id == site


def test_nobody_is_sent_to_one_door_while_another_was_typed(desk: Desk, session: Session) -> None:
    site = desk.story.address("7 Other Street", phone="555-0142")
    answer = desk.send(PAGE, **the_call(desk, site_id=site))
    assert answer.status_code == 422
    assert "You typed 12 Mill Lane, but chose 7 Other Street. Which one is it?" in text_of(answer)
    assert jobs(session) == []


def test_every_fault_is_told_on_top_and_beside_its_field_and_what_was_typed_stays(desk: Desk, session: Session) -> None:
    answer = desk.send(PAGE, **the_call(desk, town="", phone="12", complaint="", complaint_words="", technician_id=""))
    assert answer.status_code == 422
    words = text_of(answer)
    assert "Not saved yet. 5 things are missing or unclear" in words
    for name in ("town", "phone", "complaint", "complaint_words", "technician_id"):
        assert f'<a href="#{name}">' in answer.text
        assert f'id="{name}-fault"' in answer.text
        tag = re.search(rf'<(?:input|select|textarea)[^>]* id="{name}"[^>]*>', answer.text)
        assert tag is not None
        assert f'{name}-fault"' in tag[0]
        assert 'aria-invalid="true"' in tag[0]
    assert 'value="12 Mill Lane"' in answer.text
    assert 'value="12"' in answer.text
    assert "Not saved: " in answer.text.partition("</title>")[0]
    assert jobs(session) == []


def test_a_form_sent_twice_books_once(desk: Desk, session: Session) -> None:
    call = the_call(desk, job_id="01a21200-0000-7000-8000-000000000001")
    first, second = (desk.send(PAGE, **call) for _ in range(2))
    assert second.location == first.location
    assert "It was booked already, once, with the same words." in desk.read(second.location)
    assert len(jobs(session)) == 1


@pytest.mark.parametrize(
    "other", [{"complaint_words": "now it hums too"}, {"street": "14 Mill Lane"}, {"smell_of_gas": "yes"}]
)
def test_a_form_sent_again_with_other_words_says_that_the_job_stands_as_first_sent(
    desk: Desk, session: Session, other: dict[str, str]
) -> None:
    call = the_call(desk, job_id="01a21200-0000-7000-8000-000000000001", site_id="new")
    desk.send(PAGE, **call)
    answer = desk.send(PAGE, **call | other)
    words = desk.read(answer.location)
    assert "The job stands as it was first sent" in words
    assert "it hums and gives up" in words
    assert len(jobs(session)) == 1


def test_a_new_name_is_said_anew_and_the_old_one_stays_in_the_addresss_log(desk: Desk, session: Session) -> None:
    site_id = desk.story.address(customer_name="Mr Old", phone="555-0100")
    desk.send(PAGE, **the_call(desk, site_id=site_id))
    session.expire_all()
    site = session.get(Site, site_id)
    assert site is not None
    assert (site.customer_name, site.phone) == ("Mrs Vale", "555-0100")
    assert "Mr Old" in desk.read(f"/addresses/{site_id}")


def test_a_number_that_rang_once_goes_with_the_call_not_over_the_addresss_own(desk: Desk, session: Session) -> None:
    site_id = desk.story.address(phone="555-0100", customer_name="Mrs Vale")
    desk.send(PAGE, **the_call(desk, site_id=site_id))
    booked = session.scalars(select(EventRow).where(EventRow.kind == "job_booked")).one()
    assert booked.body["phone"] == "555-0142"
    assert session.scalars(select(EventRow).where(EventRow.kind == "address_given")).one().body["phone"] == "555-0100"


def test_the_page_of_an_address_opens_the_call_with_everything_filled_in(desk: Desk) -> None:
    site = desk.story.address(phone="555-0142", customer_name="Mrs Vale")
    page = desk.client.get(f"/jobs/book?site={site}").text
    assert 'value="12 Mill Lane"' in page
    assert 'value="Mrs Vale"' in page
    assert f'value="{site}" checked' in page


def test_what_to_say_at_once_is_on_the_page_and_coaches_nobody_through_the_heater(desk: Desk) -> None:
    words = desk.read(PAGE).lower()
    assert "do you smell gas" in words
    assert "everybody out" in words
    assert "co alarm" in words
    for banned in ("bypass", "pilot", "press the button"):
        assert banned not in words


def test_every_shipped_heater_has_its_complaints_under_its_own_heading(desk: Desk, session: Session) -> None:
    page = desk.client.get(PAGE).text
    headings = re.findall(r'<optgroup label="([^"]*)">(.*?)</optgroup>', page, re.DOTALL)
    for name in list_procedures():
        procedure = compiled(name)
        inside = dict(headings)[procedure["kind_words"]]
        values = re.findall(r'<option value="([^"]*)"', inside)
        ids = [one["id"] for one in procedure["complaints"]]
        assert values == [f"{name}/{one}" for one in [*ids, "water_leak", "not_told"]]
    desk.send(PAGE, **the_call(desk, complaint="standing_pilot/flame_goes_out"))
    assert session.scalars(select(Job)).one().procedure_name == "standing_pilot"


def test_a_booking_without_the_forms_token_is_refused(desk: Desk, session: Session) -> None:
    answer = desk.client.post(PAGE, data=the_call(desk))
    assert answer.status_code == 400
    assert jobs(session) == []


def test_where_nobody_can_be_sent_yet_the_page_says_who_adds_a_technician(desk: Desk, session: Session) -> None:
    assert "Nobody can be sent yet" not in desk.read(PAGE)
    desk.story.technician.active = False
    session.commit()
    assert "Nobody can be sent yet: the owner adds technicians under People & phones" in desk.read(PAGE)
