from __future__ import annotations

import io
import os
import stat
import time
from pathlib import Path

import pytest
from flask import Flask
from sqlalchemy import func, select
from sqlalchemy.orm import Session
from werkzeug.test import TestResponse

from tests.factories import OfficeDeviceFactory, PersonFactory
from tests.office.conftest import Desk, text_of
from webapp.importing.columns import COLUMNS
from webapp.models import EventRow

PAGE = "/addresses/import"
CONFIRM = f"{PAGE}/confirm"
GOOD = b"street,town,visited_on,shoe size\r\n12 Mill Lane,Harrowby,2024-03-18,42\r\n3 Elm St,,,\r\n"


def sent(desk: Desk, content: bytes = GOOD) -> TestResponse:
    return desk.send(PAGE, csv_file=(io.BytesIO(content), "old.csv"))


def kept_name(answer: TestResponse) -> str:
    return answer.text.partition('name="kept_name"')[2].partition('value="')[2].partition('"')[0]


def confirmed(desk: Desk, name: str) -> TestResponse:
    return desk.send(PAGE, CONFIRM, kept_name=name)


def event_count(session: Session) -> int:
    session.rollback()
    return session.scalar(select(func.count(EventRow.id))) or 0


def test_the_page_names_every_column_and_is_found_from_the_addresses(desk: Desk) -> None:
    words = desk.read(PAGE)
    assert [name for name in COLUMNS if f"{name} " not in words] == []
    assert f'href="{PAGE}"' in desk.client.get("/addresses").text


def test_a_file_is_shown_first_and_comes_in_on_the_word(desk: Desk, session: Session) -> None:
    shown = sent(desk)
    words = text_of(shown)
    for told in (
        "nothing is saved yet", "1 new address, 0 known already", "1 past visit", "1 line to mend: it stays out",
        "Line 3 The town is missing.", "no such column is known: shoe_size",
    ):  # fmt: skip
        assert told in words
    assert event_count(session) == 0
    session.rollback()
    words = text_of(confirmed(desk, kept_name(shown)))
    assert "Brought in 1 new address 1 past visit" in words
    assert "Line 3 The town is missing." in words
    assert event_count(session) == 3
    session.rollback()
    assert "There is nothing to bring in." in text_of(sent(desk))
    assert "12 Mill Lane" in desk.read("/addresses")


def test_a_confirmation_sent_twice_says_so_and_adds_nothing(desk: Desk, session: Session) -> None:
    name = kept_name(sent(desk))
    confirmed(desk, name)
    count = event_count(session)
    session.rollback()
    again = confirmed(desk, name)
    assert again.status_code == 422
    assert "brought in already" in text_of(again)
    assert event_count(session) == count


def test_the_kept_file_is_private_and_goes_when_it_is_in(app: Flask, desk: Desk) -> None:
    name = kept_name(sent(desk))
    folder: Path = app.config["UNDERCROFT_DATA"] / "imports"
    (file,) = folder.iterdir()
    assert (stat.S_IMODE(folder.stat().st_mode), stat.S_IMODE(file.stat().st_mode)) == (0o700, 0o600)
    confirmed(desk, name)
    assert list(folder.iterdir()) == []


def test_a_file_waits_an_hour_and_no_longer(app: Flask, desk: Desk) -> None:
    name = kept_name(sent(desk))
    (old,) = (app.config["UNDERCROFT_DATA"] / "imports").iterdir()
    os.utime(old, (time.time() - 3700,) * 2)
    assert confirmed(desk, name).status_code == 422
    sent(desk)
    assert not old.exists()


def test_nobody_brings_in_the_file_of_somebody_else(desk: Desk, session: Session) -> None:
    name = kept_name(sent(desk))
    other = PersonFactory(role="owner")
    device = OfficeDeviceFactory(person_id=other.id)
    with desk.client.session_transaction() as cookie:
        cookie["person_id"], cookie["device_id"] = other.id, device.id
    session.rollback()
    assert confirmed(desk, name).status_code == 422
    assert event_count(session) == 0


@pytest.mark.parametrize("name", ["", "../../secret-key", "0" * 32, "0" * 31 + "/"])
def test_a_name_that_was_not_given_out_opens_nothing(desk: Desk, name: str) -> None:
    assert confirmed(desk, name).status_code == 422


def test_what_is_wrong_with_the_whole_file_is_told_beside_its_field(app: Flask, desk: Desk) -> None:
    answer = sent(desk, b"street,city\n")
    assert answer.status_code == 422
    assert "town must be there. It says: street, city" in text_of(answer)
    assert "Choose the file." in text_of(desk.send(PAGE))
    assert not (app.config["UNDERCROFT_DATA"] / "imports").exists()


def test_what_the_file_says_is_never_markup(desk: Desk) -> None:
    answer = sent(desk, b"street,town,held,visited_on,<b>x\na,b,<script>,2024-03-18,\n")
    assert "<script>" not in answer.text
    assert "<b>x" not in answer.text


@pytest.mark.parametrize(("role", "status"), [("technician", 403), ("dispatcher", 200), ("owner", 200)])
def test_dispatcher_and_owner_may_and_a_technician_may_not(
    desk: Desk, session: Session, role: str, status: int
) -> None:
    person = PersonFactory(role=role)
    device = OfficeDeviceFactory(person_id=person.id)
    session.rollback()
    with desk.client.session_transaction() as cookie:
        cookie["person_id"], cookie["device_id"] = person.id, device.id
    assert desk.client.get(PAGE).status_code == status
