"""A NUL in an address line or a form is refused, on both databases: PostgreSQL would answer it with an error."""

from __future__ import annotations

import pytest
from flask.testing import FlaskClient
from sqlalchemy.orm import Session

from tests.factories import PersonFactory
from tests.people.conftest import PASSWORD, Desk
from tests.sync.conftest import enrol
from webapp.extensions import Database
from webapp.models.ids import new_id
from webapp.people.service import create_person

NUL = "a%00b"
PAGES = (
    f"/addresses?q={NUL}",
    f"/addresses?before={NUL}",
    f"/jobs?show={NUL}",
    f"/jobs?{NUL}=1",
    f"/jobs/book?site={NUL}",
    f"/jobs/book/matches?street={NUL}&phone={NUL}",
    f"/photos/{NUL}",
    f"/sign-in?next={NUL}",
    f"/{NUL}",
)


@pytest.fixture
def desk(client: FlaskClient, database: Database) -> Desk:
    with database.session() as writing:
        create_person(writing, name="Cleo Vane", login="cleo", role="dispatcher", password=PASSWORD)
    return Desk(client)


def test_no_page_breaks_on_it(desk: Desk, client: FlaskClient) -> None:
    assert desk.sign_in("cleo").status_code == 303
    assert [client.get(page).status_code for page in PAGES] == [400] * len(PAGES)
    assert client.get("/addresses?q=a").status_code == 200


def test_no_form_breaks_on_it(desk: Desk) -> None:
    assert desk.sign_in("cl\0eo").status_code == 400
    assert desk.sign_in("cleo", "pass\0word").status_code == 400
    assert desk.sign_in("cleo").status_code == 303


def test_no_call_of_the_api_breaks_on_it(client: FlaskClient, session: Session) -> None:
    phone = enrol(client, session, PersonFactory(name="Ada Quill"))
    asked = {"code": "A\0B", "device_id": new_id(), "device_words": "a\0phone"}
    assert client.post("/api/v1/enrol", json=asked).status_code == 422
    assert phone.get(f"sites/{phone.site}/events?chain={NUL}").status_code == 400
    assert phone.get(f"photos/{NUL}").status_code == 400
    assert (
        phone.push(phone.note(), log=[{"at_wall": "2026-11-25T08:00:00Z", "code": "a", "words": "\0"}]).status_code
        == 422
    )
    lately = phone.make(
        "code_read", {"flash_groups": "\0", "text": None, "could_be": ["\0"], "how": "counted"}, schema=2
    )
    unknown = phone.make("seen_by_drone", {"words": "\0", "\0": [{"\0": "\0"}]})
    assert phone.push(lately, unknown, phone.note()).status_code == 200
    bearer = {"Authorization": "Bearer a\\x00b"}
    assert client.get("/api/v1/manifest", headers=bearer).status_code == 401
