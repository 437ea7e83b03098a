"""The caller does not know the kind of heater, and the desk guesses it: the heater that was seen there counts."""

from __future__ import annotations

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.office.conftest import Desk, text_of
from tests.office.test_booking import PAGE, the_call
from webapp.models import Job
from webapp.models.ids import new_id


@pytest.fixture
def site(desk: Desk) -> str:
    """An address at which a technician described a heater with a blower."""
    site = desk.story.address("5 Saltcellar Street")
    job = desk.story.book(site)
    desk.story.walk(site, job, ("appliance_described", {"appliance_id": new_id(), "kind": "power_vent"}))
    return site


def booked(desk: Desk, session: Session, site: str, complaint: str) -> tuple[Job, str]:
    call = the_call(desk, street="5 Saltcellar Street", site_id=site, complaint=complaint)
    answer = desk.send(PAGE, **call)
    session.rollback()
    job = session.scalars(select(Job).order_by(Job.id.desc())).first()
    assert job is not None
    return job, text_of(desk.client.get(answer.location))


def test_the_panel_says_which_heater_is_known_there(desk: Desk, site: str) -> None:
    piece = desk.client.get(f"{PAGE}/matches?street=5+Saltcellar+Street&town=Harrowby").text
    assert "<strong>Known here:</strong> power vent" in piece


def test_a_call_is_booked_for_the_kind_that_is_known_there(desk: Desk, session: Session, site: str) -> None:
    job, page = booked(desk, session, site, "standing_pilot/no_hot_water")
    assert (job.procedure_name, job.complaint) == ("power_vent", "no_hot_water")
    assert "Known here: tank with a blower on top and a plastic vent. It is booked for that one" in page


def test_a_complaint_that_the_known_kind_does_not_have_stays_as_it_was_chosen(
    desk: Desk, session: Session, site: str
) -> None:
    job, page = booked(desk, session, site, "standing_pilot/flame_goes_out")
    assert (job.procedure_name, job.complaint) == ("standing_pilot", "flame_goes_out")
    assert "Known here: tank with a blower on top and a plastic vent. It is booked for a tank with a draft hood" in page


def test_a_kind_that_the_caller_does_not_know_is_the_one_known_there(desk: Desk, session: Session, site: str) -> None:
    job, page = booked(desk, session, site, "not_known/no_hot_water")
    assert (job.procedure_name, job.complaint) == ("power_vent", "no_hot_water")
    assert "Known here: tank with a blower on top and a plastic vent. It is booked for that one." in page
    assert "Kind of heater not known" not in page


@pytest.mark.parametrize("complaint", ["no_hot_water", "water_leak", "not_told"])
def test_a_kind_that_nobody_knows_is_told_to_whoever_goes(desk: Desk, session: Session, complaint: str) -> None:
    site = desk.story.address("5 Saltcellar Street")
    job, page = booked(desk, session, site, f"not_known/{complaint}")
    assert job.complaint == complaint
    assert "Nobody knows the kind of heater yet. It is booked for a tank with a blower on top" in page
    assert "“Kind of heater not known: these are the checks for a tank with a blower" in page
    corrected = desk.send(
        f"/jobs/{job.id}", f"/jobs/{job.id}/correct", complaint="standing_pilot/water_leak", why="seen"
    )
    assert corrected.status_code == 303
    assert "kind of heater: " in desk.read(f"/jobs/{job.id}")


def test_a_correction_does_not_unlearn_the_kind(desk: Desk, session: Session, site: str) -> None:
    job, _page = booked(desk, session, site, "power_vent/no_hot_water")
    page = desk.client.get(f"/jobs/{job.id}").text
    assert 'value="power_vent/water_leak"' in page
    assert "not_known/" not in page


def test_nothing_is_said_where_the_desk_chose_that_kind(desk: Desk, session: Session, site: str) -> None:
    job, page = booked(desk, session, site, "power_vent/no_hot_water")
    assert job.procedure_name == "power_vent"
    assert "It is booked for" not in page
