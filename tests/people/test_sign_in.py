from __future__ import annotations

import pytest
from argon2 import extract_parameters
from argon2.low_level import Type
from flask.testing import FlaskClient
from sqlalchemy import update

from tests.people.conftest import PASSWORD, Desk
from webapp.errors import BadForm
from webapp.extensions import Database
from webapp.models import Person
from webapp.people.passwords import _hasher as shipped_hasher
from webapp.people.service import create_person


def test_a_dispatcher_signs_in_and_out(desk: Desk, people: dict[str, Person]) -> None:
    answer = desk.sign_in(" Dispatcher ")
    assert (answer.status_code, answer.location) == (303, "/")
    assert desk.client.get("/people").status_code == 200
    assert desk.post("/sign-out", "/people").status_code == 303
    assert desk.client.get("/people").status_code == 302


def test_the_cookie_is_kept_from_scripts_and_other_sites(desk: Desk, people: dict[str, Person]) -> None:
    cookies = desk.sign_in("dispatcher").headers.getlist("Set-Cookie")
    flags = {part.strip().split("=")[0] for part in cookies[-1].split(";")[1:]}
    assert {"HttpOnly", "Secure", "SameSite", "Expires", "Path"} <= flags
    assert "SameSite=Lax" in cookies[-1]


@pytest.mark.parametrize(("login", "password"), [("dispatcher", "wrong"), ("nobody", PASSWORD), ("dispatcher", "")])
def test_a_wrong_sign_in_says_the_same_whoever_it_was(
    desk: Desk, people: dict[str, Person], login: str, password: str
) -> None:
    answer = desk.sign_in(login, password)
    assert answer.status_code == (401 if password else 422)
    assert ("Login and password do not belong together" in answer.text) is bool(password)
    assert desk.client.get("/people").status_code == 302


def test_somebody_without_a_password_cannot_sign_in(desk: Desk, database: Database) -> None:
    with database.session() as session:
        create_person(session, name="Ada", login="ada", role="technician")
    assert desk.sign_in("ada", "").status_code == 422
    assert desk.sign_in("ada", "None").status_code == 401


def test_guessing_one_login_is_slowed_down_and_the_right_password_then_waits_too(
    desk: Desk, people: dict[str, Person]
) -> None:
    statuses = [desk.sign_in("dispatcher", f"guess {n}").status_code for n in range(9)]
    assert statuses == [401] * 8 + [429]
    assert desk.sign_in("dispatcher").status_code == 429
    assert desk.sign_in("owner").status_code == 303


def test_a_post_without_the_forms_token_is_refused(client: FlaskClient, people: dict[str, Person]) -> None:
    answer = client.post("/sign-in", data={"login": "dispatcher", "password": PASSWORD})
    assert answer.status_code == 400
    assert "This form was open too long" in answer.text


@pytest.mark.parametrize(
    ("wanted", "leads_to"),
    [
        ("/people", "/people"),
        ("https://elsewhere.example/", "/"),
        ("//elsewhere.example/", "/"),
        ("/\\elsewhere.example", "/"),
        ("/\t/elsewhere.example", "/"),
        ("javascript:alert(1)", "/"),
    ],
)
def test_a_sign_in_leads_only_to_pages_of_ours(
    desk: Desk, people: dict[str, Person], wanted: str, leads_to: str
) -> None:
    assert desk.sign_in("dispatcher", next=wanted).location == leads_to


def test_a_page_asked_for_before_the_sign_in_is_shown_after_it(desk: Desk, people: dict[str, Person]) -> None:
    asked = desk.client.get("/people?x=1")
    assert asked.location == "/sign-in?next=/people?x%3D1"
    assert desk.sign_in("dispatcher", next="/people?x=1").location == "/people?x=1"


def test_a_technician_who_signs_in_is_sent_to_the_phones_page(desk: Desk, people: dict[str, Person]) -> None:
    assert desk.sign_in("technician").location == "/phone/"
    assert desk.client.get("/people").status_code == 403


def test_who_left_is_out_at_the_next_click(desk: Desk, people: dict[str, Person], database: Database) -> None:
    desk.sign_in("dispatcher")
    with database.session() as session:
        session.execute(update(Person).where(Person.login == "dispatcher").values(active=False))
        session.commit()
    assert desk.client.get("/people").status_code == 302
    assert desk.sign_in("dispatcher").status_code == 401


def test_a_cookie_kept_from_before_signing_out_is_worth_nothing(desk: Desk, people: dict[str, Person]) -> None:
    desk.sign_in("dispatcher")
    kept = desk.client.get_cookie("undercroft")
    assert kept is not None
    desk.post("/sign-out", "/people")
    desk.client.set_cookie("undercroft", kept.value)
    assert desk.client.get("/people").status_code == 302


def test_passwords_are_kept_as_argon2id_with_at_least_the_rfcs_low_memory_choice() -> None:
    """RFC 9106, section 4, second recommended option: t=3, p=4, m=2^16 KiB."""
    parameters = extract_parameters(shipped_hasher.hash("x"))
    assert parameters.type is Type.ID
    assert (parameters.time_cost, parameters.parallelism) == (3, 4)
    assert parameters.memory_cost >= 2**16


def test_short_passwords_and_taken_logins_are_refused(database: Database, people: dict[str, Person]) -> None:
    with database.session() as session:
        with pytest.raises(BadForm, match="10 characters"):
            create_person(session, name="X", login="x", role="owner", password="short")
        with pytest.raises(BadForm, match="taken"):
            create_person(session, name="X", login="OWNER ", role="owner")
