"""The push itself: what counts as an answer, and what is refused as a whole."""

from __future__ import annotations

import json
import logging
from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import update

from tests.sync.conftest import Phone
from webapp.extensions import Database
from webapp.models import Device
from webapp.models.ids import new_id
from webapp.people.service import revoke_device


def test_the_answer_echoes_the_batch_and_every_id_in_order(phone: Phone) -> None:
    batch_id, events = new_id(), [phone.open_job(), phone.note(), {"id": "x"}, phone.note()]
    answer = phone.push(*events, batch_id=batch_id)
    assert answer.mimetype == "application/json"
    assert answer.json["batch_id"] == batch_id
    assert [result["id"] for result in answer.json["results"]] == [event["id"] for event in events]
    told = datetime.fromisoformat(answer.json["server_time"])
    assert abs(datetime.now(UTC) - told) < timedelta(minutes=1)
    assert answer.json["server_time"].endswith("Z")


@pytest.mark.parametrize(
    "body",
    [
        b"",
        b"not json",
        b"[]",
        b"null",
        b'{"batch_id": "x", "events": []}',
        b'{"events": []}',
        b'{"batch_id": NaN}',
        b"[" * 100_000,
        b"\xff\xfe",
    ],
)
def test_a_batch_that_cannot_be_read_is_422_as_a_whole(phone: Phone, body: bytes) -> None:
    answer = phone.client.post("/api/v1/events", data=body, headers=phone.headers)
    assert (answer.status_code, answer.json["code"]) == (422, "bad_batch")
    assert set(answer.json) == {"code", "message", "details"}


def test_more_than_five_hundred_events_are_too_many(phone: Phone) -> None:
    event = phone.note()
    assert phone.push(*[event] * 501).status_code == 422
    assert phone.push(*[event] * 500).status_code == 200


def test_a_body_larger_than_any_batch_is_refused_before_it_is_read(phone: Phone) -> None:
    answer = phone.client.post("/api/v1/events", data=b" " * 20_000_000, headers=phone.headers)
    assert answer.status_code == 413
    assert answer.is_json


@pytest.mark.parametrize(
    "header", [{}, {"Authorization": "Bearer "}, {"Authorization": "Bearer nonsense"}, {"Authorization": "Basic eDp5"}]
)
def test_without_a_token_of_ours_it_is_401_before_anything_is_read(phone: Phone, header: dict[str, str]) -> None:
    answer = phone.client.post("/api/v1/events", data=b"not json", headers=header)
    assert (answer.status_code, answer.json["code"]) == (401, "token_unknown")
    assert answer.headers["WWW-Authenticate"] == "Bearer"


def test_an_expired_token_pauses_and_the_same_events_come_in_after_signing_in_again(
    phone: Phone, database: Database
) -> None:
    from webapp.people.service import make_enrol_code  # noqa: PLC0415

    events = [phone.open_job(), *[phone.note() for _ in range(19)]]
    with database.session() as session:
        session.execute(update(Device).where(Device.id == phone.device_id).values(token_expires_at=datetime.now(UTC)))
        session.commit()
    answer = phone.push(*events)
    assert (answer.status_code, answer.json["code"]) == (401, "token_expired")
    with database.session() as session:
        code = make_enrol_code(session, phone.person.id, minutes=10)
    asked = {"code": code, "device_id": phone.device_id, "device_words": "same phone"}
    old_token, phone.token = phone.token, phone.client.post("/api/v1/enrol", json=asked).json["token"]
    assert phone.statuses(*events) == ["stored"] * 20
    refused = phone.client.get("/api/v1/manifest", headers={"Authorization": f"Bearer {old_token}"})
    assert refused.json["code"] == "token_unknown"


def test_a_closed_phone_pulls_nothing_and_what_it_sends_is_held(phone: Phone, database: Database) -> None:
    phone.push(phone.open_job())
    with database.session() as session:
        revoke_device(session, phone.device_id)
    for path in ("manifest", f"sites/{phone.site}/events", "procedures/" + "a" * 64, "photos/" + "a" * 64):
        answer = phone.get(path)
        assert (answer.status_code, answer.json["code"]) == (403, "device_revoked")
    assert phone.statuses(phone.note()) == ["held"]


def test_a_cookie_opens_nothing_in_the_api(phone: Phone) -> None:
    with phone.client.session_transaction() as cookie:
        cookie["person_id"], cookie["device_id"] = phone.person.id, phone.device_id
    assert phone.client.get("/api/v1/manifest").status_code == 401


def test_the_phones_own_log_goes_to_the_servers_log(phone: Phone, caplog: pytest.LogCaptureFixture) -> None:
    line = {"at_wall": "2026-11-25T08:19:09Z", "code": "disk_full", "words": "no room\nfor a photo"}
    with caplog.at_level(logging.WARNING, "webapp.phone"):
        assert phone.push(phone.note(), log=[line]).status_code == 200
    assert phone.device_id in caplog.text
    assert json.dumps(line) in caplog.text
