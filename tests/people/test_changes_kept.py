"""What was changed about people and their phones stands for good, with who changed it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm import Session

from tests.people.conftest import Desk
from tests.sync.conftest import enrol
from webapp.extensions import Database
from webapp.models import Device, Person, PersonChange
from webapp.people.changes import ON_THE_SERVER, list_changes
from webapp.people.licences import licence_on, set_licence
from webapp.people.service import revoke_device
from webapp.people.staff import deactivate, reactivate


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def owner(desk: Desk, people: dict[str, Person]) -> Desk:
    desk.sign_in("owner")
    return desk


def told(session: Session, person: Person) -> list[tuple[str, str, str]]:
    session.rollback()
    return [(one.title, one.words, one.by) for one in list_changes(session, person.id)]


def test_who_closed_a_phone_and_when_stands_on_the_persons_page(
    owner: Desk, session: Session, people: dict[str, Person]
) -> None:
    technician = people["technician"]
    phone = enrol(owner.client, session, technician)
    owner.post(f"/people/phones/{phone.device_id}/close", f"/people/{technician.id}")
    closed, let_in = told(session, technician)[:2]
    assert closed == ("Phone closed", session.get_one(Device, phone.device_id).words, people["owner"].name)
    assert (let_in[0], let_in[2]) == ("Phone let in", technician.name)
    page = owner.client.get(f"/people/{technician.id}").text
    assert "What was changed, newest first" in page
    assert "Phone closed" in page
    revoke_device(session, phone.device_id)
    assert [title for title, *_ in told(session, technician)].count("Phone closed") == 1


def test_what_a_licence_was_earlier_stands_with_who_changed_it(
    owner: Desk, session: Session, people: dict[str, Person]
) -> None:
    technician = people["technician"]
    page = f"/people/{technician.id}"
    owner.post(f"{page}/licence", page, words="Gas 7", expires_on="2027-03-31")
    owner.post(f"{page}/licence", page, words="Gas 8", expires_on="")
    owner.post(f"{page}/licence", page, words="Gas 8", expires_on="")
    name = people["owner"].name
    assert told(session, technician)[:2] == [
        ("Licence", "Gas 7, valid until Wed 31 Mar 2027 → Gas 8", name),
        ("Licence", "none → Gas 7, valid until Wed 31 Mar 2027", name),
    ]


def test_a_jobs_day_is_told_with_the_licence_that_was_kept_then(session: Session, people: dict[str, Person]) -> None:
    person, today = session.get_one(Person, people["technician"].id), datetime.now(UTC)
    set_licence(session, person.id, words="Gas 7", expires_on="2027-03-31", now=today - timedelta(days=400))
    set_licence(session, person.id, words="Gas 8", expires_on="", now=today - timedelta(days=30))
    then = licence_on(session, person, today - timedelta(days=60))
    assert then == "licence as kept then: Gas 7, valid until Wed 31 Mar 2027; another is kept now"
    assert licence_on(session, person, today - timedelta(days=500)) == "no licence was kept then; one is kept now"
    assert licence_on(session, person, today) == "licence as kept now: Gas 8"
    set_licence(session, person.id, words="", expires_on="", now=today - timedelta(days=10))
    kept = licence_on(session, person, today - timedelta(days=20))
    assert kept == "licence as kept then: Gas 8; none is kept now"
    assert licence_on(session, person, today - timedelta(days=500)) == "no licence is kept for this person"


def test_leaving_and_coming_back_role_and_password_are_told_and_no_password_is_kept(
    owner: Desk, session: Session, people: dict[str, Person]
) -> None:
    technician = people["technician"]
    page = f"/people/{technician.id}"
    enrol(owner.client, session, technician)
    owner.post(f"{page}/password", page, password="a long enough one", again="a long enough one")
    owner.post(f"{page}/role", page, role="dispatcher")
    owner.post(f"{page}/deactivate", page)
    session.rollback()
    reactivate(session, technician.id)
    found = [(title, words) for title, words, _by in told(session, technician)]
    assert found[0] == ("May sign in again", "")
    assert {title for title, _words in found[1:3]} == {"Left: sign-ins and phones closed", "Phone closed"}
    assert found[3:5] == [("Role", "technician → dispatcher"), ("New password", "")]
    assert told(session, technician)[0][2] == ON_THE_SERVER


def test_a_phone_that_was_closed_before_this_was_kept_says_that_nobody_knows(
    owner: Desk, session: Session, people: dict[str, Person]
) -> None:
    technician = people["technician"]
    phone = enrol(owner.client, session, technician)
    session.get_one(Device, phone.device_id).revoked_at = datetime.now(UTC)
    session.commit()
    assert told(session, technician)[0][2] == "by whom is not kept"


def test_no_line_can_be_changed_or_taken_away(session: Session, database: Database, people: dict[str, Person]) -> None:
    deactivate(session, people["technician"].id)
    assert session.query(PersonChange).count() > 1
    session.rollback()
    for statement in ("UPDATE person_change SET what = 'x'", "DELETE FROM person_change"):
        with pytest.raises(DBAPIError), database.engine.begin() as connection:
            connection.execute(text(statement))
