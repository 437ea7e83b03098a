"""A short code lets one phone in, once, within minutes."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import select, update
from sqlalchemy.orm import Session

from tests.factories import PersonFactory
from tests.sync.conftest import Phone, enrol
from webapp.extensions import Database
from webapp.models import Device, EnrolCode
from webapp.models.ids import new_id
from webapp.people.passwords import CODE_ALPHABET, CODE_LENGTH
from webapp.people.service import make_enrol_code, revoke_device


def make_code(database: Database, person_id: str, **when: Any) -> str:
    with database.session() as session:
        return make_enrol_code(session, person_id, minutes=10, **when)


def ask(client: FlaskClient, code: str, device_id: str | None = None) -> Any:
    return client.post(
        "/api/v1/enrol", json={"code": code, "device_id": device_id or new_id(), "device_words": "a phone"}
    )


def test_a_code_is_short_and_nothing_in_it_is_taken_for_something_else(database: Database, session: Session) -> None:
    code = make_code(database, PersonFactory().id)
    assert len(code) == CODE_LENGTH
    assert set(code) <= set(CODE_ALPHABET)
    assert not set("0O1ILU") & set(CODE_ALPHABET)


def test_typed_with_gaps_and_small_letters_it_still_fits(
    client: FlaskClient, database: Database, session: Session
) -> None:
    person = PersonFactory(name="Ada Quill")
    code = make_code(database, person.id)
    answer = ask(client, f" {code[:4].lower()}-{code[4:]} ")
    assert answer.status_code == 200
    assert answer.json["person"] == {"id": person.id, "name": "Ada Quill", "role": "technician"}
    assert set(answer.json) == {"token", "person", "epoch", "server_time"}


def test_a_code_lets_one_phone_in(client: FlaskClient, database: Database, session: Session) -> None:
    code = make_code(database, PersonFactory().id)
    assert ask(client, code).status_code == 200
    again = ask(client, code)
    assert (again.status_code, again.json["code"]) == (404, "code_unknown")


def test_a_phone_whose_answer_was_lost_gets_in_with_the_same_code(
    client: FlaskClient, database: Database, session: Session
) -> None:
    code, device_id = make_code(database, PersonFactory().id), new_id()
    lost = ask(client, code, device_id).json["token"]
    token = ask(client, code, device_id).json["token"]
    asked = [client.get("/api/v1/manifest", headers={"Authorization": f"Bearer {one}"}) for one in (lost, token)]
    assert [answer.status_code for answer in asked] == [401, 200]
    assert ask(client, code).status_code == 404


def test_a_phone_that_was_closed_is_not_opened_again_by_its_old_code(phone: Phone, database: Database) -> None:
    code = make_code(database, phone.person.id)
    assert ask(phone.client, code, phone.device_id).status_code == 200
    with database.session() as writing:
        revoke_device(writing, phone.device_id)
    assert ask(phone.client, code, phone.device_id).status_code == 404
    assert ask(phone.client, make_code(database, phone.person.id), phone.device_id).status_code == 200


def test_a_used_code_grows_too_old_for_its_own_phone_too(
    client: FlaskClient, database: Database, session: Session
) -> None:
    code, device_id = make_code(database, PersonFactory().id), new_id()
    assert ask(client, code, device_id).status_code == 200
    with database.session() as writing:
        writing.execute(update(EnrolCode).values(expires_at=datetime.now(UTC)))
        writing.commit()
    assert ask(client, code, device_id).status_code == 404


def test_a_code_is_too_old_after_ten_minutes(client: FlaskClient, database: Database, session: Session) -> None:
    person = PersonFactory()
    now = datetime.now(UTC)
    assert ask(client, make_code(database, person.id, now=now - timedelta(minutes=10))).status_code == 404
    assert ask(client, make_code(database, person.id, now=now - timedelta(minutes=9))).status_code == 200


def test_neither_code_nor_token_is_kept_readable(client: FlaskClient, database: Database, session: Session) -> None:
    code = make_code(database, PersonFactory().id)
    token = ask(client, code).json["token"]
    kept = [*session.scalars(select(EnrolCode.code_hash)), *session.scalars(select(Device.token_hash))]
    assert len(kept) == 2
    assert not {code, token} & set(kept)


def test_guessing_is_slowed_down_and_a_right_code_then_waits_too(
    client: FlaskClient, database: Database, session: Session
) -> None:
    answers = [ask(client, "WRONGCDE").status_code for _ in range(14)]
    assert answers == [404] * 12 + [429] * 2
    code = make_code(database, PersonFactory().id)
    assert ask(client, code).json["code"] == "too_many_tries"


@pytest.mark.parametrize("spoil", [{"device_id": "x"}, {"code": 7}, {"more": 1}, {"device_words": "w" * 300}])
def test_a_request_of_another_shape_is_422(client: FlaskClient, spoil: dict[str, Any]) -> None:
    asked = {"code": "ABCDEFGH", "device_id": new_id(), "device_words": ""} | spoil
    answer = client.post("/api/v1/enrol", json=asked)
    assert (answer.status_code, answer.json["code"]) == (422, "bad_body")


def test_another_person_signing_in_on_the_same_phone_finds_the_firsts_events_held(
    phone: Phone, database: Database, session: Session
) -> None:
    waiting = [phone.open_job(), phone.note()]
    other = PersonFactory(name="Bo Marsh")
    answer = ask(phone.client, make_code(database, other.id), phone.device_id)
    phone.token = answer.json["token"]
    assert phone.statuses(*waiting) == ["held", "held"]


def test_an_office_session_cannot_be_taken_over_by_a_phone(
    client: FlaskClient, database: Database, session: Session
) -> None:
    from tests.factories import OfficeDeviceFactory  # noqa: PLC0415

    person = PersonFactory()
    office = OfficeDeviceFactory(person_id=person.id)
    assert ask(client, make_code(database, person.id), office.id).status_code == 404


def test_somebody_who_left_cannot_enrol_a_phone(client: FlaskClient, database: Database, session: Session) -> None:
    person = PersonFactory()
    code = make_code(database, person.id)
    person.active = False
    session.commit()
    assert ask(client, code).status_code == 404


def test_two_phones_of_one_person_both_work(client: FlaskClient, session: Session) -> None:
    person = PersonFactory()
    one, two = enrol(client, session, person), enrol(client, session, person)
    assert one.token != two.token
    assert one.get("manifest").status_code == two.get("manifest").status_code == 200
