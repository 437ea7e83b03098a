"""A new password, and somebody who leaves: what was open before is closed."""

from __future__ import annotations

from flask.testing import FlaskClient
from sqlalchemy import update
from sqlalchemy.orm import Session

from tests.people.conftest import Desk
from tests.sync.conftest import enrol
from webapp.extensions import Database
from webapp.models import Person
from webapp.people.service import change_password, deactivate_person


def test_a_new_password_opens_and_the_old_one_does_not(
    desk: Desk, people: dict[str, Person], database: Database
) -> None:
    with database.session() as session:
        change_password(session, " Dispatcher ", "another long one")
    assert desk.sign_in("dispatcher").status_code == 401
    assert desk.sign_in("dispatcher", "another long one").status_code == 303


def test_a_new_password_signs_out_whoever_had_the_old_one_and_nobody_else(
    desk: Desk, people: dict[str, Person], database: Database, client: FlaskClient, session: Session
) -> None:
    desk.sign_in("dispatcher")
    other = Desk(client.application.test_client())
    other.sign_in("owner")
    phone = enrol(client.application.test_client(), session, people["dispatcher"])
    with database.session() as writing:
        change_password(writing, "dispatcher", "another long one")
    assert desk.client.get("/people").status_code == 302
    assert other.client.get("/people").status_code == 200
    assert phone.get("manifest").status_code == 200


def test_who_left_stays_out_even_if_they_come_back(
    desk: Desk, people: dict[str, Person], database: Database, client: FlaskClient, session: Session
) -> None:
    desk.sign_in("dispatcher")
    phone = enrol(client.application.test_client(), session, people["dispatcher"])
    with database.session() as writing:
        deactivate_person(writing, "dispatcher")
    assert desk.sign_in("dispatcher").status_code == 401
    for _ in range(2):
        assert desk.client.get("/people").status_code == 302
        assert phone.get("manifest").json["code"] == "device_revoked"
        assert phone.statuses(phone.note()) == ["held"]
        with database.session() as writing:
            writing.execute(update(Person).values(active=True))
            writing.commit()
