"""The owner's pages about people: who joins, what they may do, their licence, and the door."""

from __future__ import annotations

from datetime import date

import pytest
from sqlalchemy.orm import Session

from tests.people.conftest import PASSWORD, Desk
from tests.sync.conftest import enrol
from webapp.extensions import Database
from webapp.models import Person
from webapp.people.licences import licence_warning, set_licence


@pytest.fixture
def owner(desk: Desk, people: dict[str, Person]) -> Desk:
    desk.sign_in("owner")
    return desk


def page_of(person: Person) -> str:
    return f"/people/{person.id}"


def now(session: Session, person: Person) -> Person:
    session.rollback()
    session.expire_all()
    return session.get_one(Person, person.id)


def test_somebody_who_was_added_can_sign_in(owner: Desk) -> None:
    typed = {"name": "Ida Marchpane", "login": "Ida", "role": "dispatcher", "password": "a long enough one"}
    assert owner.post("/people/new", "/people/new", **typed).status_code == 303
    desk = Desk(owner.client.application.test_client())
    assert desk.sign_in("ida", "a long enough one").status_code == 303


@pytest.mark.parametrize(
    ("over", "words"),
    [
        ({"name": " "}, "Their name, as it stands"),
        ({"login": "owner"}, "This login is taken."),
        ({"password": "short"}, "10 characters or more"),
        ({"role": "dispatcher", "password": ""}, "Work at the desk needs a password."),
        ({"role": "king"}, "Not a valid choice"),
    ],
)
def test_what_cannot_be_taken_is_said_and_what_was_typed_stays(owner: Desk, over: dict[str, str], words: str) -> None:
    typed = {"name": "Ida Marchpane", "login": "ida", "role": "technician", "password": ""} | over
    answer = owner.post("/people/new", "/people/new", **typed)
    assert answer.status_code == 422
    assert words in answer.text
    assert f'value="{typed["login"]}"' in answer.text


def test_a_technician_needs_no_password_and_a_role_at_the_desk_does(
    owner: Desk, session: Session, people: dict[str, Person]
) -> None:
    place = owner.post("/people/new", "/people/new", name="Fern", login="fern", role="technician").location
    answer = owner.post(f"{place}/role", place, role="dispatcher")
    assert answer.status_code == 422
    assert "Give them one first" in answer.text
    assert owner.post(f"{place}/password", place, password=PASSWORD, again=PASSWORD).status_code == 303
    assert owner.post(f"{place}/role", place, role="dispatcher").status_code == 303


def test_a_new_password_is_typed_twice_and_opens(owner: Desk, people: dict[str, Person]) -> None:
    place = page_of(people["dispatcher"])
    wrong = owner.post(f"{place}/password", place, password="another long one", again="another long")
    assert wrong.status_code == 422
    assert "The two are not the same." in wrong.text
    owner.post(f"{place}/password", place, password="another long one", again="another long one")
    desk = Desk(owner.client.application.test_client())
    assert desk.sign_in("dispatcher").status_code == 401
    assert desk.sign_in("dispatcher", "another long one").status_code == 303


def test_the_last_owner_stays_owner_and_inside(owner: Desk, people: dict[str, Person], session: Session) -> None:
    place = page_of(people["owner"])
    answer = owner.post(f"{place}/role", place, role="technician")
    assert answer.status_code == 422
    assert "This is the only owner" in answer.text
    owner.post(f"{place}/deactivate", place)
    assert "This is the only owner" in owner.client.get(place).text
    assert now(session, people["owner"]).active
    other = page_of(people["dispatcher"])
    owner.post(f"{other}/role", other, role="owner")
    assert owner.post(f"{place}/role", place, role="technician").status_code == 303
    assert owner.client.get(place).status_code == 403


def test_who_leaves_is_out_at_once_and_who_comes_back_needs_a_new_code(
    owner: Desk, people: dict[str, Person], session: Session
) -> None:
    phone = enrol(owner.client.application.test_client(), session, people["technician"])
    place = page_of(people["technician"])
    owner.post(f"{place}/deactivate", place)
    assert phone.get("manifest").status_code == 403
    owner.post(f"{place}/reactivate", place)
    assert now(session, people["technician"]).active
    assert phone.get("manifest").status_code == 403
    again = enrol(owner.client.application.test_client(), session, people["technician"])
    assert again.get("manifest").status_code == 200


def test_a_licence_goes_down_to_its_phone(owner: Desk, people: dict[str, Person], session: Session) -> None:
    place = page_of(people["technician"])
    typed = {"words": "Gas fitter G-1187", "expires_on": "2027-03-31"}
    assert owner.post(f"{place}/licence", place, **typed).status_code == 303
    phone = enrol(owner.client.application.test_client(), session, people["technician"])
    person = phone.get("company").json["person"]
    assert (person["licence_words"], person["licence_expires_on"]) == ("Gas fitter G-1187", "2027-03-31")


@pytest.mark.parametrize(
    ("words", "expires_on", "told"),
    [
        ("G-1187", "31.3.2027", "The day as 2027-03-31."),
        ("G-1187", "2027-02-30", "The day as 2027-03-31."),
        ("", "2027-03-31", "Which licence runs out then?"),
    ],
)
def test_a_licence_that_cannot_be_read_is_told(
    owner: Desk, people: dict[str, Person], words: str, expires_on: str, told: str
) -> None:
    place = page_of(people["technician"])
    answer = owner.post(f"{place}/licence", place, words=words, expires_on=expires_on)
    assert answer.status_code == 422
    assert told in answer.text
    assert f'value="{expires_on}"' in answer.text


@pytest.mark.parametrize(
    ("expires_on", "words"),
    [
        (None, ""),
        ("2026-12-26", ""),
        ("2026-12-25", "licence runs out in 30 days, Fri 25 Dec 2026"),
        ("2026-11-26", "licence runs out in 1 day, Thu 26 Nov 2026"),
        ("2026-11-25", "licence runs out today, Wed 25 Nov 2026"),
        ("2026-11-24", "licence ran out Tue 24 Nov 2026"),
    ],
)
def test_a_licence_warns_for_its_last_thirty_days_and_after(expires_on: str | None, words: str) -> None:
    assert licence_warning(Person(licence_expires_on=expires_on), date(2026, 11, 25)) == words


def test_the_desk_reads_of_a_licence_that_ran_out_where_it_books(
    desk: Desk, people: dict[str, Person], database: Database
) -> None:
    with database.session() as session:
        set_licence(session, people["technician"].id, words="G-1187", expires_on="2020-02-29")
    desk.sign_in("dispatcher")
    assert "Technician Quill: licence ran out Sat 29 Feb 2020" in desk.client.get("/jobs/book").text
    page = desk.client.get("/people").text
    assert "licence ran out" in page
    assert "Add somebody" not in page
