from __future__ import annotations

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from tests.factories import NOW, EventMaker, PersonFactory, PhoneFactory
from webapp.models import EventRow, Finding, Job, Site
from webapp.models.ids import new_id
from webapp.sync.service import store_events


def test_a_walk_is_stored_and_its_rows_are_made(session: Session) -> None:
    person = PersonFactory()
    phone = PhoneFactory(person_id=person.id)
    maker = EventMaker(person.id, phone.id)
    site, job = new_id(), new_id()
    events = [
        maker.make("address_given", {"street": "12 Mill Lane", "town": "Dunmere", "phone": "555-0142"}, site_id=site),
        maker.make("job_opened", {"procedure_hash": "a" * 64}, site_id=site, job_id=job),
        maker.make("check_answered", {"check": "tube", "outcome": "split", "could_not": None}, site_id=site, job_id=job),
        maker.make("reading_taken", {"check": None, "quantity": "suction_in_wc", "value": 0.4}, site_id=site, job_id=job),
        maker.make("photo_taken", {"sha256": "b" * 64, "length_bytes": 10, "media_type": "image/jpeg", "width_px": 1,
                                   "height_px": 1, "check": None}, site_id=site, job_id=job),
    ]  # fmt: skip
    outcome = store_events(session, events, phone, now=NOW)
    assert [r["status"] for r in outcome["results"]] == ["stored"] * 5
    again = store_events(session, events, phone, now=NOW)
    assert [r["status"] for r in again["results"]] == ["duplicate"] * 5
    assert again["heads"] == outcome["heads"]
    session.expire_all()
    stored = session.get_one(Site, site)
    assert stored.head == session.scalar(select(func.count()).select_from(EventRow)) == 5
    assert stored.street == "12 Mill Lane"
    assert session.get_one(Job, job).state == "open"
    assert session.scalars(select(Finding.outcome)).all() == ["split"]
