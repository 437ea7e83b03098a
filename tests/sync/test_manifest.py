"""What a phone may have. Conditional requests after RFC 9110 (sections 8.8.3 and 13.1.2)."""

from __future__ import annotations

import hashlib
import json

from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.factories import NOW
from tests.sync.conftest import Phone
from webapp.extensions import Database
from webapp.models import Device, ProcedureVersion
from webapp.people.service import revoke_device


def test_the_manifest_names_what_the_contract_says_and_nothing_else(phone: Phone, other_phone: Phone) -> None:
    phone.push(phone.open_job())
    other_phone.push(other_phone.open_job())
    manifest = phone.get("manifest").json
    assert set(manifest) == {
        "epoch", "server_time", "person", "people", "streams", "jobs", "procedures", "photos",
    }  # fmt: skip
    assert manifest["person"] == {"id": phone.person.id, "name": "Ada Quill", "role": "technician"}
    assert {"id": other_phone.person.id, "name": "Bo Marsh"} in manifest["people"]
    assert [stream["site_id"] for stream in manifest["streams"]] == [phone.site]
    assert [job["job_id"] for job in manifest["jobs"]] == [phone.job]


def test_nothing_new_is_304_without_a_body_and_anything_new_is_200(phone: Phone) -> None:
    phone.push(phone.open_job())
    first = phone.get("manifest")
    etag = first.headers["ETag"]
    again = phone.get("manifest", **{"If-None-Match": etag})
    assert (again.status_code, again.data, again.headers["ETag"]) == (304, b"", etag)
    # If-None-Match compares weakly, takes a list, and `*` matches whatever there is (RFC 9110, 13.1.2).
    for given in (f'"other", {etag}', "*", etag.removeprefix("W/")):
        assert phone.get("manifest", **{"If-None-Match": given}).status_code == 304
    phone.push(phone.note())
    changed = phone.get("manifest", **{"If-None-Match": etag})
    assert changed.status_code == 200
    assert changed.headers["ETag"] != etag


def test_no_cache_between_may_keep_it_for_somebody_else(phone: Phone) -> None:
    for answer in (phone.get("manifest"), phone.get("manifest", **{"If-None-Match": "*"})):
        assert "private" in answer.headers["Cache-Control"]
        assert answer.headers["Vary"] == "Authorization"


def test_a_matching_tag_does_not_let_a_stranger_or_a_closed_phone_in(phone: Phone, database: Database) -> None:
    etag = phone.get("manifest").headers["ETag"]
    stranger = phone.client.get("/api/v1/manifest", headers={"If-None-Match": etag})
    assert (stranger.status_code, stranger.json["code"]) == (401, "token_unknown")
    with database.session() as session:
        revoke_device(session, phone.device_id)
    closed = phone.get("manifest", **{"If-None-Match": etag})
    assert (closed.status_code, closed.json["code"]) == (403, "device_revoked")


def test_two_phones_of_two_people_have_two_tags(phone: Phone, other_phone: Phone) -> None:
    assert phone.get("manifest").headers["ETag"] != other_phone.get("manifest").headers["ETag"]


def test_procedures_are_the_current_ones_first_then_those_of_visible_jobs(
    phone: Phone, database: Database, session: Session
) -> None:
    current = phone.get("manifest").json["procedures"]
    assert current
    old = "d" * 64
    with database.session() as writing:
        version = ProcedureVersion(hash=old, name="power_vent", body={"hash": old}, is_current=False)
        version.stored_at = NOW
        writing.add(version)
        writing.commit()
    assert phone.get("manifest").json["procedures"] == current
    phone.push(phone.make("job_opened", {"procedure_hash": old}))
    assert phone.get("manifest").json["procedures"] == [*current, old]
    answer = phone.get(f"procedures/{old}")
    assert (answer.json, answer.headers["Cache-Control"]) == ({"hash": old}, "private, max-age=31536000, immutable")
    assert phone.get("procedures/" + "e" * 64).status_code == 404


def test_asking_for_the_manifest_is_a_sign_of_life(phone: Phone, session: Session) -> None:
    assert session.scalar(select(Device.last_seen_at).where(Device.id == phone.device_id)) is None
    session.rollback()
    phone.get("manifest")
    assert session.scalar(select(Device.last_seen_at).where(Device.id == phone.device_id)) is not None


def test_a_served_procedure_hashes_to_its_name(phone: Phone) -> None:
    for name in phone.get("manifest").json["procedures"]:
        body = phone.get(f"procedures/{name}").json
        bare = {key: value for key, value in body.items() if key != "hash"}
        text = json.dumps(bare, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        assert hashlib.sha256(text.encode()).hexdigest() == name == body["hash"]
