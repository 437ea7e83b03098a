"""One thread through every call of the API and the people's page, on both databases."""

from __future__ import annotations

from flask.testing import FlaskClient
from sqlalchemy.orm import Session

from tests.factories import PersonFactory, photo_body
from tests.people.conftest import PASSWORD, Desk
from tests.sync.conftest import enrol
from webapp.extensions import Database
from webapp.people.service import create_person

JPEG = b"\xff\xd8\xff\xe0" + bytes(range(256))


def test_a_phone_enrols_pushes_pulls_sends_a_photo_and_is_closed(
    client: FlaskClient, database: Database, session: Session
) -> None:
    with database.session() as writing:
        create_person(writing, name="Cleo Vane", login="cleo", role="dispatcher", password=PASSWORD)
    phone = enrol(client, session, PersonFactory(name="Ada Quill"))
    other = enrol(client, session, PersonFactory(name="Bo Marsh"))
    photo = photo_body(JPEG)
    sha256 = photo["sha256"]
    events = [phone.open_job(), phone.note(), phone.make("photo_taken", photo)]
    assert phone.statuses(*events) == ["stored"] * 3
    assert other.statuses(other.note(site_id=phone.site, job_id=phone.job), other.note()) == ["held", "stored"]

    sent = client.put(f"/api/v1/photos/{sha256}", data=JPEG, content_type="image/jpeg", headers=phone.headers)
    assert sent.status_code == 201
    with phone.get(f"photos/{sha256}") as down:
        assert down.data == JPEG

    manifest = phone.get("manifest")
    assert [stream["site_id"] for stream in manifest.json["streams"]] == [phone.site]
    assert manifest.json["photos"] == [sha256]
    assert phone.get("manifest", **{"If-None-Match": manifest.headers["ETag"]}).status_code == 304
    page = phone.get(f"sites/{phone.site}/events?after=1&chain=").json
    assert page["code"] == "other_chain"
    page = phone.get(f"sites/{phone.site}/events?limit=2").json
    assert [line["event"] for line in page["events"]] == events[:2]
    for name in manifest.json["procedures"]:
        assert phone.get(f"procedures/{name}").json["hash"] == name

    desk = Desk(client)
    assert desk.sign_in("cleo", "a wrong guess").status_code == 401
    assert desk.sign_in("cleo").status_code == 303
    assert "Ada Quill" in client.get("/people").text
    assert desk.post(f"/people/phones/{phone.device_id}/close", "/people").status_code == 303
    assert phone.get("manifest").json["code"] == "device_revoked"
    assert phone.statuses(phone.note()) == ["held"]
