from __future__ import annotations

import threading
from pathlib import Path

import pytest
from flask import Flask
from sqlalchemy import select

from tests.factories import photo_body
from tests.sync.conftest import Phone
from webapp.extensions import Database
from webapp.keeping.backup import BadBackup, NotThisStore, StoreInUse, backup, restore
from webapp.models import EventRow

JPEG = b"\xff\xd8\xff\xe0" + bytes(range(256))


def send_photo(phone: Phone, content: bytes) -> str:
    body = photo_body(content)
    phone.push(phone.make("photo_taken", body))
    answer = phone.client.put(
        f"/api/v1/photos/{body['sha256']}", data=content, content_type="image/jpeg", headers=phone.headers
    )
    assert answer.status_code == 201
    return str(body["sha256"])


def test_a_restored_store_has_another_epoch_and_takes_again_what_it_lost(
    app: Flask,
    database: Database,
    phone: Phone,
    tmp_path: Path,
) -> None:
    data = app.config["UNDERCROFT_DATA"]
    kept = [phone.open_job(), phone.note()]
    phone.push(*kept)
    first = send_photo(phone, JPEG)
    copy = backup(database, data, tmp_path / "copy")
    before = phone.get("manifest").json
    lost = phone.note()
    phone.push(lost)
    second = send_photo(phone, JPEG + b"two")

    restore(database, data, copy)

    after = phone.get("manifest").json
    assert after["epoch"] != before["epoch"]
    assert after["streams"] == before["streams"]
    assert after["photos"] == [first]
    with phone.get(f"photos/{first}") as down:
        assert down.data == JPEG
    cursor = f"sites/{phone.site}/events?after=5"
    assert phone.get(cursor).json["code"] == "other_chain"
    assert phone.statuses(*kept, lost) == ["duplicate", "duplicate", "stored"]
    assert phone.get(f"photos/{second}").status_code == 404


def test_a_store_that_a_server_has_open_is_not_replaced(
    app: Flask,
    database: Database,
    phone: Phone,
    tmp_path: Path,
) -> None:
    data = app.config["UNDERCROFT_DATA"]
    copy = backup(database, data, tmp_path / "copy")
    phone.push(phone.open_job())
    server = Database(app.config["DATABASE_URL"])
    with server.reading_session() as session:
        session.scalars(select(EventRow)).all()
    with pytest.raises(StoreInUse, match="Stop the server"):
        restore(database, data, copy)
    server.dispose()
    assert phone.get("manifest").json["streams"][0]["head"] == 1
    restore(database, data, copy)
    assert phone.get("manifest").json["streams"] == []


def test_a_damaged_store_is_replaced_all_the_same(
    app: Flask,
    database: Database,
    phone: Phone,
    tmp_path: Path,
) -> None:
    data = app.config["UNDERCROFT_DATA"]
    phone.push(phone.open_job())
    copy = backup(database, data, tmp_path / "copy")
    database.dispose()
    (data / "undercroft.sqlite3").write_bytes(b"nothing of a database" * 500)
    restore(database, data, copy)
    assert phone.get("manifest").json["streams"][0]["head"] == 1


def test_photos_that_did_not_come_back_are_asked_of_the_phone_again(
    app: Flask,
    database: Database,
    phone: Phone,
    tmp_path: Path,
) -> None:
    data = app.config["UNDERCROFT_DATA"]
    phone.push(phone.open_job())
    sha256 = send_photo(phone, JPEG)
    copy = backup(database, data, tmp_path / "copy")
    for folder in (copy, data):
        (folder / "photos" / sha256[:2] / f"{sha256}.jpg").unlink()
    restore(database, data, copy)
    assert phone.get("manifest").json["photos"] == []
    headers = phone.headers
    answer = phone.client.put(f"/api/v1/photos/{sha256}", data=JPEG, content_type="image/jpeg", headers=headers)
    assert answer.status_code == 201


def test_a_backup_of_a_store_in_use_is_whole(
    app: Flask,
    database: Database,
    phone: Phone,
    tmp_path: Path,
) -> None:
    phone.push(phone.open_job())
    stop = threading.Event()

    def keep_writing() -> None:
        while not stop.is_set():
            phone.push(*[phone.note() for _ in range(5)])

    writer = threading.Thread(target=keep_writing)
    writer.start()
    try:
        copies = [backup(database, app.config["UNDERCROFT_DATA"], tmp_path / f"copy{n}") for n in range(3)]
    finally:
        stop.set()
        writer.join()
    for copy in copies:
        copied = Database(f"sqlite:///{copy / 'undercroft.sqlite3'}")
        with copied.reading_session() as session:
            seqs = list(session.scalars(select(EventRow.seq).order_by(EventRow.seq)))
        copied.dispose()
        assert seqs == list(range(1, len(seqs) + 1))
        assert len(seqs) % 5 == 1  # whole pushes only


def test_a_damaged_or_missing_backup_leaves_the_store_as_it_is(
    app: Flask,
    database: Database,
    phone: Phone,
    tmp_path: Path,
) -> None:
    phone.push(phone.open_job())
    data = app.config["UNDERCROFT_DATA"]
    copy = backup(database, data, tmp_path / "copy")
    with pytest.raises(BadBackup, match="there already"):
        backup(database, data, copy)
    with (copy / "undercroft.sqlite3").open("r+b") as file:
        file.seek(4096)  # from the second page on: the first holds the header
        file.write(b"\xff" * 40_000)
    before = phone.get("manifest").json["epoch"]
    for source in (copy, tmp_path / "nothing"):
        with pytest.raises(BadBackup):
            restore(database, data, source)
    assert phone.get("manifest").json["epoch"] == before


def test_postgresql_is_kept_by_its_own_tools(tmp_path: Path) -> None:
    database = Database("postgresql+psycopg://nobody@localhost/none")
    with pytest.raises(NotThisStore, match="its own tools"):
        backup(database, tmp_path, tmp_path / "copy")
    database.dispose()
