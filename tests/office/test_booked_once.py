"""A form that is sent twice at the same moment books one job at one address, on both databases."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor

import pytest
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from tests.sites.stories import Story
from webapp.extensions import Database
from webapp.models import EventRow, Job, Person, Site
from webapp.models.ids import new_id
from webapp.office.booking import Booking, book_job

TRIES = 4
NOTHING_ASKED = dict.fromkeys(("smell_of_gas", "co_alarm", "unwell", "water_leak"), "not_asked") | {
    "lately": [],
    "said": [],
}


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def test_four_requests_with_one_form_book_once(story: Story, session: Session, database: Database) -> None:
    job_id, technician, dispatcher = new_id(), story.technician.id, story.dispatcher.id
    session.rollback()

    def send(_number: int) -> str:
        booking = Booking(
            job_id=job_id,
            site_id=new_id(),  # as the desk makes it: another one in each request
            is_new=True,
            address=dict.fromkeys(("postcode", "customer_name", "phone", "access_words"), "")
            | {"street": "12 Mill Lane", "town": "Harrowby"},
            procedure_name="toy_vent",
            complaint="no_hot_water",
            complaint_words="cold",
            technician_id=technician,
            call=NOTHING_ASKED,
        )
        with database.session() as own:
            return str(book_job(own, own.get_one(Person, dispatcher), booking))

    with ThreadPoolExecutor(TRIES) as pool:
        assert sorted(pool.map(send, range(TRIES))) == ["booked"] + ["sent_again"] * (TRIES - 1)
    counts = [session.scalar(select(func.count()).select_from(table)) for table in (Job, Site)]
    assert counts == [1, 1]
    assert session.scalar(select(func.count(EventRow.id)).where(EventRow.kind == "job_booked")) == 1
