"""Nobody writes where they may not read; what is refused is held, never lost."""

from __future__ import annotations

from datetime import timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.contract.conftest import Hand, assert_whole, book, count_events
from tests.factories import NOW
from webapp.extensions import Database
from webapp.models import HeldEvent
from webapp.models.ids import new_id
from webapp.sync.admission import visible_groups
from webapp.sync.held import let_in, list_held


def test_a_technician_writes_at_the_address_of_a_booked_job(desk: Hand, ada: Hand, site: str, job: str) -> None:
    book(desk, ada, site, job)
    assert ada.statuses(ada.note(site, job)) == ["stored"]


def test_an_event_for_an_address_that_the_phone_may_not_see_is_held(
    desk: Hand, ada: Hand, bo: Hand, session: Session, site: str, job: str
) -> None:
    book(desk, ada, site, job)
    outcome = bo.store(bo.note(site, job), bo.note(new_id()))
    assert [(r["status"], r.get("code")) for r in outcome["results"]] == [
        ("held", "not_this_address"),
        ("stored", None),
    ]
    assert [(h.reason, h.device_id) for h in list_held(session)] == [("not_this_address", bo.device.id)]
    assert count_events(session) == 3


def test_another_persons_event_is_held(ada: Hand, bo: Hand, session: Session, site: str) -> None:
    outcome = ada.store(ada.note(site), bo.note(site))
    assert [(r["status"], r.get("code")) for r in outcome["results"]] == [("stored", None), ("held", "another_person")]


def test_what_a_closed_phone_sends_is_held_and_held_once(ada: Hand, session: Session, site: str) -> None:
    ada.device.revoked_at = NOW
    event = ada.note(site)
    for _ in range(2):
        assert ada.store(event)["results"] == [{"id": event["id"], "status": "held", "code": "device_revoked"}]
    assert [held.event for held in list_held(session)] == [event]
    assert count_events(session) == 0


def test_the_phone_of_somebody_who_left_is_closed_too(ada: Hand, database: Database, site: str) -> None:
    with database.session() as writing:
        writing.merge(ada.person).active = False
        writing.commit()
    assert ada.statuses(ada.note(site)) == ["held"]


def test_what_is_stored_already_stays_a_duplicate_whoever_offers_it_again(
    desk: Hand, ada: Hand, bo: Hand, session: Session, site: str
) -> None:
    event = ada.note(site)
    ada.store(event)
    assert bo.statuses(event) == ["duplicate"]
    assert list_held(session) == []


def test_the_office_lets_held_events_in_as_they_were_sent(
    desk: Hand, ada: Hand, database: Database, session: Session, site: str, job: str
) -> None:
    ada.device.revoked_at = NOW
    events = [ada.note(site, job), ada.note(site, job)]
    ada.store(*events)
    with database.session() as writing:
        outcome = let_in(writing, desk.device, [held.id for held in list_held(session)])
    assert [r["status"] for r in outcome["results"]] == ["stored", "stored"]
    session.rollback()
    assert list_held(session) == []
    assert len(session.scalars(select(HeldEvent)).all()) == 2
    assert_whole(session)


def test_a_phone_cannot_open_an_address_to_itself_by_calling_it_the_same(
    desk: Hand, ada: Hand, bo: Hand, session: Session, site: str, job: str
) -> None:
    book(desk, ada, site, job)
    own = new_id()
    bo.store(bo.note(own))
    assert bo.statuses(bo.make("same_address", {"other_site_id": site}, site=own)) == ["held"]
    assert visible_groups(session, bo.person.id, NOW) == {own}


def test_jobs_stay_visible_while_booked_and_thirty_days_after_the_last_news(
    desk: Hand, ada: Hand, session: Session, site: str, job: str
) -> None:
    other_site, other_job = new_id(), new_id()
    book(desk, ada, site, job)
    book(desk, ada, other_site, other_job)
    ada.store(ada.make("job_closed", {"state": "proven"}, site=site, job=job), now=NOW + timedelta(days=1))
    for days, seen in ((0, {site, other_site}), (30.9, {site, other_site}), (31.1, {other_site}), (400, {other_site})):
        assert visible_groups(session, ada.person.id, NOW + timedelta(days=days)) == seen


def test_a_job_that_was_moved_leaves_one_phone_and_comes_to_the_other(
    desk: Hand, ada: Hand, bo: Hand, session: Session, site: str, job: str
) -> None:
    book(desk, ada, site, job)
    desk.maker.lamport += 1
    desk.store(desk.make("job_moved", {"technician_id": bo.person.id}, site=site, job=job))
    assert visible_groups(session, ada.person.id, NOW) == set()
    assert visible_groups(session, bo.person.id, NOW) == {site}


def test_whoever_has_begun_a_job_that_was_moved_hears_of_it_until_it_is_closed(
    desk: Hand, ada: Hand, bo: Hand, session: Session, site: str, job: str
) -> None:
    book(desk, ada, site, job)
    assert ada.statuses(ada.make("arrived", {}, site=site, job=job)) == ["stored"]
    desk.maker.lamport += 2
    desk.store(desk.make("job_moved", {"technician_id": bo.person.id}, site=site, job=job))
    assert visible_groups(session, ada.person.id, NOW) == {site}
    bo.maker.lamport += 4
    session.rollback()
    assert bo.statuses(bo.make("job_closed", {"state": "proven"}, site=site, job=job)) == ["stored"]
    assert visible_groups(session, ada.person.id, NOW) == set()


def test_what_a_technician_noted_before_the_job_was_moved_away_still_comes_in(
    desk: Hand, ada: Hand, bo: Hand, site: str, job: str
) -> None:
    book(desk, ada, site, job)
    desk.maker.lamport += 5
    desk.store(desk.make("job_moved", {"technician_id": bo.person.id}, site=site, job=job))
    assert ada.statuses(ada.note(site, job), now=NOW + timedelta(days=29)) == ["stored"]


def test_what_comes_long_after_the_job_was_moved_away_is_held(
    desk: Hand, ada: Hand, bo: Hand, site: str, job: str
) -> None:
    book(desk, ada, site, job)
    desk.maker.lamport += 5
    desk.store(desk.make("job_moved", {"technician_id": bo.person.id}, site=site, job=job))
    assert ada.statuses(ada.note(site, job), now=NOW + timedelta(days=31)) == ["held"]
