"""Reading in the file that a phone saved when the network never came."""

from __future__ import annotations

import base64
import io
import json
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.orm import Session
from werkzeug.test import TestResponse

from tests.factories import OfficeDeviceFactory, PersonFactory, photo_body
from tests.office.conftest import Desk, text_of
from webapp.models import EventRow, HeldEvent

PAGE = "/queues"
FILE = "/queues/file"
HELD = "/queues/held"
JPEG = b"\xff\xd8\xff" + b"pretend picture"


def queue(desk: Desk, events: list[Any], **over: Any) -> dict[str, Any]:
    return {
        "format": "undercroft-queue",
        "version": 1,
        "device_id": desk.story.phone.id,
        "person": {"id": desk.story.technician.id, "name": "Tom Torch"},
        "saved_wall": "2026-11-25T08:19:09.123Z",
        "events": events,
        "states": [],
        "photos": [],
        "log": [],
    } | over


def read_in(desk: Desk, content: object, **typed: str) -> TestResponse:
    raw = content if isinstance(content, bytes) else json.dumps(content).encode()
    return desk.send(PAGE, FILE, queue_file=(io.BytesIO(raw), "queue.json"), **typed)


def a_note(desk: Desk, site: str, job: str, **over: Any) -> dict[str, Any]:
    return desk.story.hand.make("note", {"words": "from the cellar"}, site_id=site, job_id=job, **over)


def test_what_the_phone_could_not_send_is_in_the_logbook_after_it(desk: Desk) -> None:
    site = desk.story.address()
    job = desk.story.book(site)
    answer = read_in(desk, queue(desk, [a_note(desk, site, job)]))
    assert "Tom Torch's phone" in text_of(answer)
    assert "1 taken in" in text_of(answer)
    assert "“from the cellar”" in desk.read(f"/jobs/{job}")


def test_reading_a_file_twice_changes_nothing(desk: Desk, session: Session) -> None:
    site = desk.story.address()
    file = queue(desk, [a_note(desk, site, desk.story.book(site))])
    read_in(desk, file)
    count = session.scalar(select(func.count(EventRow.id)))
    session.rollback()
    assert "1 was here already" in text_of(read_in(desk, file))
    assert session.scalar(select(func.count(EventRow.id))) == count


def test_a_file_that_names_a_colleagues_sign_in_writes_nothing_in_their_name(desk: Desk) -> None:
    site = desk.story.address()
    owner = PersonFactory(role="owner")
    sign_in = OfficeDeviceFactory(person_id=owner.id)
    event = a_note(desk, site, desk.story.book(site), person_id=owner.id, device_id=sign_in.id)
    assert "1 kept apart" in text_of(read_in(desk, queue(desk, [event], device_id=sign_in.id)))


def test_what_the_phone_may_not_bring_is_kept_apart_until_somebody_vouches(desk: Desk, session: Session) -> None:
    site = desk.story.address()
    job = desk.story.book(site)
    file = queue(desk, [a_note(desk, site, job, person_id=desk.story.dispatcher.id)])
    answer = read_in(desk, file)
    assert "1 kept apart" in text_of(answer)
    assert "Note kept apart noted by somebody else than the one signed in on that phone" in text_of(answer)
    assert session.scalar(select(func.count(HeldEvent.id))) == 1
    session.rollback()
    assert "1 taken in" in text_of(read_in(desk, file, trusted="y"))


def test_a_file_of_a_phone_that_nobody_knows_is_kept_apart(desk: Desk) -> None:
    site = desk.story.address()
    note = a_note(desk, site, desk.story.book(site))
    answer = read_in(desk, queue(desk, [note], device_id="01a21200-0000-7000-8000-00000000000f"))
    assert "1 kept apart" in text_of(answer)


def test_one_bad_entry_does_not_keep_the_others_out(desk: Desk) -> None:
    site = desk.story.address()
    job = desk.story.book(site)
    answer = read_in(desk, queue(desk, [{"kind": "note"}, "nonsense", a_note(desk, site, job)]))
    words = text_of(answer)
    assert "1 taken in" in words
    assert "2 could not be taken in" in words
    assert "An entry that cannot be read" in words


def test_more_entries_than_one_batch_holds_all_come_in(desk: Desk) -> None:
    site = desk.story.address()
    job = desk.story.book(site)
    answer = read_in(desk, queue(desk, [a_note(desk, site, job) for _ in range(501)]))
    assert "501 taken in" in text_of(answer)


def test_photos_in_the_file_come_in_and_a_damaged_one_is_told(desk: Desk) -> None:
    site = desk.story.address()
    job = desk.story.book(site)
    body = photo_body(JPEG)
    sha256 = body["sha256"]
    event = desk.story.hand.make("photo_taken", body, site_id=site, job_id=job)
    whole = {"sha256": sha256, "media_type": "image/jpeg", "base64": base64.b64encode(JPEG).decode()}
    damaged = {"sha256": sha256, "base64": "###"}
    answer = read_in(desk, queue(desk, [event], photos=[whole, damaged]))
    assert "1 photo taken in" in text_of(answer)
    assert "This photo in the file is damaged." in text_of(answer)
    with desk.client.get(f"/photos/{sha256}") as picture:
        assert (picture.status_code, picture.data, picture.mimetype) == (200, JPEG, "image/jpeg")
    assert f'src="/photos/{sha256}"' in desk.client.get(f"/jobs/{job}").text


def test_a_file_that_is_no_queue_is_refused_in_words(desk: Desk) -> None:
    for content, words in (
        (b"\xff\xfe", "cannot be read as JSON"),
        ([], "This file is not a phone's queue."),
        ({"format": "other"}, "This file is not a phone's queue."),
        (queue(desk, [], version=2), "saved by a newer phone"),
        (queue(desk, []) | {"events": None}, "damaged"),
    ):
        answer = read_in(desk, content)
        assert answer.status_code == 422
        assert words in text_of(answer)


def test_sending_no_file_is_a_fault_beside_the_field(desk: Desk) -> None:
    answer = desk.send(PAGE, FILE)
    assert answer.status_code == 422
    assert "Choose the file that the phone saved." in text_of(answer)


def test_what_is_kept_apart_is_listed_with_who_where_and_why_and_let_in_on_the_offices_word(
    desk: Desk, session: Session
) -> None:
    site = desk.story.address()
    job = desk.story.book(site)
    read_in(desk, queue(desk, [a_note(desk, site, job, person_id=desk.story.dispatcher.id)]))
    assert "1 entry of a phone is kept apart." in desk.read("/jobs")
    words = desk.read(PAGE)
    assert "Kept apart: 1" in words
    for told in ("Note", "“from the cellar”", "12 Mill Lane", "Dora Desk", "noted by somebody else"):
        assert told in words
    assert "from the cellar" not in desk.read(f"/jobs/{job}")
    held_id = session.scalars(select(HeldEvent.id)).one()
    session.rollback()
    answer = desk.send(PAGE, HELD, held_ids=held_id)
    assert answer.status_code == 303
    words = desk.read(PAGE)
    assert "1 entry is in the logbook now." in words
    assert "Nothing is kept apart." in words
    assert "from the cellar" in desk.read(f"/jobs/{job}")


def test_letting_in_nothing_is_a_fault_in_words(desk: Desk) -> None:
    site = desk.story.address()
    stranger = a_note(desk, site, desk.story.book(site), person_id=desk.story.dispatcher.id)
    read_in(desk, queue(desk, [stranger]))
    answer = desk.send(PAGE, HELD)
    assert answer.status_code == 422
    assert "Mark at least one entry." in text_of(answer)
