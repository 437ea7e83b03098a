"""An address that was heard wrong is said anew; its visits stay, and so does how it was said first."""

from __future__ import annotations

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.office.conftest import Desk, text_of
from webapp.models import EventRow, Site


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    return str(request.param)


AS_HEARD = {"street": "12 Mill Lane", "town": "Harrowby", "phone": "555-0108", "customer_name": "Mrs Vale"}


def heard(desk: Desk) -> str:
    return desk.story.address(**AS_HEARD, access_words="side gate")


def test_a_street_and_a_phone_heard_wrong_are_right_everywhere_and_the_first_words_stay(
    desk: Desk, session: Session
) -> None:
    site_id = heard(desk)
    job_id = desk.story.book(site_id)
    answer = desk.send(f"/addresses/{site_id}/correct", street="21 Mill Lane", phone="555-0109", **left_alone(desk))
    assert answer.location == f"/addresses/{site_id}"
    session.rollback()
    site = session.get_one(Site, site_id)
    assert (site.street, site.phone, site.customer_name) == ("21 Mill Lane", "555-0109", "Mrs Vale")
    for path in ("/jobs", f"/jobs/{job_id}", "/addresses"):
        assert "21 Mill Lane" in desk.read(path), path
        assert "12 Mill Lane" not in desk.read(path), path
    told = desk.read(f"/addresses/{site_id}")
    assert "Address: 12 Mill Lane, Harrowby" in told
    assert "Address: 21 Mill Lane, Harrowby" in told
    assert "21 Mill Lane" in desk.client.get("/jobs/book/matches?phone=555-0109").text
    assert "Mill Lane" not in desk.client.get("/jobs/book/matches?phone=555-0108").text


def left_alone(desk: Desk) -> dict[str, str]:
    return {"town": "Harrowby", "customer_name": "Mrs Vale", "access_words": "side gate"}


def test_what_is_emptied_is_not_known_any_more(desk: Desk, session: Session) -> None:
    site_id = heard(desk)
    desk.send(f"/addresses/{site_id}/correct", access_words="")
    session.rollback()
    assert session.get_one(Site, site_id).access_words == ""
    body = session.scalars(select(EventRow.body).where(EventRow.kind == "address_given").order_by(EventRow.seq)).all()
    assert body[-1] == AS_HEARD


@pytest.mark.parametrize(
    ("typed", "told"),
    [
        ({}, "Nothing is changed yet."),
        ({"street": ""}, "Where is it? The street and its number."),
        ({"town": ""}, "Which town?"),
        ({"phone": "12"}, "At least seven digits"),
    ],
)
def test_what_is_unclear_or_unchanged_is_not_saved(
    desk: Desk, session: Session, typed: dict[str, str], told: str
) -> None:
    site_id = heard(desk)
    answer = desk.send(f"/addresses/{site_id}/correct", **typed)
    assert answer.status_code == 422
    assert told in text_of(answer)
    session.rollback()
    assert session.get_one(Site, site_id).street == "12 Mill Lane"
    assert len(session.scalars(select(EventRow).where(EventRow.kind == "address_given")).all()) == 1


def test_the_second_of_two_reads_first_what_the_other_made_of_it(desk: Desk, session: Session) -> None:
    path = f"/addresses/{heard(desk)}/correct"
    old = desk.shown(path)
    desk.send(path, customer_name="Mrs Dale")
    answer = desk.client.post(path, data={**old, "phone": "555-0177"})
    assert answer.status_code == 422
    assert "Somebody corrected it meanwhile. It stands now: 12 Mill Lane, Harrowby, Mrs Dale, 555-0108" in text_of(
        answer
    )
    again = {**old, "customer_name": "Mrs Dale", "phone": "555-0177", "stood": desk.shown(path)["stood"]}
    assert desk.client.post(path, data=again).status_code == 303
    session.rollback()
    assert session.scalars(select(Site.customer_name)).one() == "Mrs Dale"


def test_an_address_that_is_not_here_cannot_be_corrected(desk: Desk) -> None:
    assert desk.client.get("/addresses/01900000-0000-7000-8000-000000000000/correct").status_code == 404
