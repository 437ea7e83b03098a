from __future__ import annotations

import hashlib
import json
from pathlib import Path

import pytest
from flask import Flask
from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from tests.factories import photo_body
from tests.golden_events import FILES
from tests.sync.conftest import Phone
from webapp.models import Photo, PhotoUse
from webapp.sync.rebuild import rebuild

JPEG = b"\xff\xd8\xff\xe0" + bytes(range(256)) * 20


def name_photo(phone: Phone, content: bytes = JPEG) -> str:
    body = photo_body(content)
    assert phone.statuses(phone.open_job(), phone.make("photo_taken", body)) == ["stored", "stored"]
    return str(body["sha256"])


def put(phone: Phone, sha256: str, content: bytes, kind: str = "image/jpeg"):  # type: ignore[no-untyped-def]
    return phone.client.put(f"/api/v1/photos/{sha256}", data=content, content_type=kind, headers=phone.headers)


def files(app: Flask) -> list[Path]:
    return [path for path in (app.config["UNDERCROFT_DATA"] / "photos").rglob("*") if path.is_file()]


def test_a_photo_goes_up_once_and_comes_down_the_same(phone: Phone, app: Flask) -> None:
    sha256 = name_photo(phone)
    assert phone.get("manifest").json["photos"] == []
    assert phone.get(f"photos/{sha256}").json["code"] == "photo_not_here"
    for status in (201, 200):
        answer = put(phone, sha256, JPEG)
        assert (answer.status_code, answer.json) == (status, {"sha256": sha256})
    with phone.get(f"photos/{sha256}") as down:
        assert (down.data, down.mimetype) == (JPEG, "image/jpeg")
        assert down.headers["Cache-Control"] == "private, max-age=31536000, immutable"
    assert phone.get("manifest").json["photos"] == [sha256]
    assert [path.name for path in files(app)] == [f"{sha256}.jpg"]


def test_a_photo_waits_until_a_stored_event_names_it(phone: Phone, app: Flask) -> None:
    sha256 = hashlib.sha256(JPEG).hexdigest()
    answer = put(phone, sha256, JPEG)
    assert (answer.status_code, answer.json["code"]) == (404, "photo_not_named")
    assert put(phone, "..%2F..%2Fetc", JPEG).status_code == 404
    assert files(app) == []


@pytest.mark.parametrize("path", [path for path in FILES if path.stem.startswith("photo_taken")], ids=lambda p: p.stem)
def test_every_shape_of_photo_taken_ever_shipped_lets_its_bytes_in(phone: Phone, session: Session, path: Path) -> None:
    shape = json.loads(path.read_text(encoding="utf-8"))["events"][0]
    sha256 = hashlib.sha256(JPEG).hexdigest()
    body = shape["body"] | {"sha256": sha256, "length_bytes": len(JPEG)}
    event = phone.make("photo_taken", body, schema=shape["schema"])
    assert phone.statuses(phone.open_job(), event) == ["stored", "stored"]
    assert put(phone, sha256, JPEG).status_code == 201
    session.execute(delete(PhotoUse))
    session.execute(delete(Photo))
    rebuild(session)
    assert session.scalars(select(Photo.sha256)).all() == [sha256]


def test_half_a_photo_is_refused_and_the_whole_one_sent_again_is_taken(phone: Phone, app: Flask) -> None:
    sha256 = name_photo(phone)
    answer = put(phone, sha256, JPEG[: len(JPEG) // 2])
    assert (answer.status_code, answer.json["code"]) == (422, "bad_photo")
    assert files(app) == []
    assert put(phone, sha256, JPEG).status_code == 201


def test_a_photo_over_the_limit_is_refused(phone: Phone) -> None:
    sha256 = name_photo(phone)
    answer = put(phone, sha256, JPEG + bytes(400_000))
    assert (answer.status_code, answer.json["code"]) == (413, "photo_too_large")


@pytest.mark.parametrize(("content", "kind"), [(JPEG, "text/html"), (b"<html>", "image/jpeg")])
def test_only_a_jpeg_is_taken(phone: Phone, content: bytes, kind: str) -> None:
    sha256 = name_photo(phone, content)
    assert put(phone, sha256, content, kind).status_code == 422


def test_nobody_else_sees_the_photo(phone: Phone, other_phone: Phone) -> None:
    sha256 = name_photo(phone)
    put(phone, sha256, JPEG)
    assert other_phone.get(f"photos/{sha256}").status_code == 404
    assert other_phone.get("manifest").json["photos"] == []


def test_a_write_that_breaks_off_leaves_nothing_under_the_name(
    phone: Phone, app: Flask, monkeypatch: pytest.MonkeyPatch
) -> None:
    sha256 = name_photo(phone)

    def broken(_descriptor: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("webapp.sync.photos.os.fsync", broken)
    assert put(phone, sha256, JPEG).status_code == 500
    assert files(app) == []
    monkeypatch.undo()
    assert put(phone, sha256, JPEG).status_code == 201
