"""`GET /api/v1/company` as docs/sync.md has it. Conditional requests after RFC 9110 (sections 8.8.3 and 13.1.2)."""

from __future__ import annotations

from typing import Any

from flask.testing import FlaskClient
from openapi_schema_validator import OAS30Validator

from tests.factories import NOW
from tests.sheets.conftest import EMPTY, Shelf
from tests.sync.conftest import Phone
from webapp.extensions import Database
from webapp.models import CompanySetting, Person
from webapp.people.service import revoke_device

BODY: dict[str, Any] = {
    "limits": [{"quantity": "make_point_in_wc", "value": 0.36, "where": "part_label"}],
    "codes": [{"flash_groups": "2-4", "text": None, "meaning_words": "Limit open", "could_be": ["vent_limit"]}],
    "vent": [
        {"nominal_in": 3.0, "max_equivalent_ft": 60.0, "min_equivalent_ft": None, "max_elbows": 5.0}
        | {"feet_per_elbow_90": 5.0, "feet_per_elbow_45": 2.5}
    ],
    "words": "The label's table, edition of the plate.",
}


def choose(database: Database, **chosen: Any) -> None:
    with database.session() as session:
        for name, value in chosen.items():
            session.merge(CompanySetting(name=name, value=value, changed_at=NOW, person_id="x" * 36))
        session.commit()


def test_a_new_company_has_chosen_nothing_and_no_default_pretends(phone: Phone) -> None:
    answer = phone.get("company")
    assert answer.json == {
        "settings": {"co_ladder": None, "office_phone": None},
        "person": {"id": phone.person.id, "name": "Ada Quill", "licence_words": None, "licence_expires_on": None},
        "model_sheets": [],
    }


def test_settings_licence_and_sheets_come_down_as_they_were_typed(
    phone: Phone, database: Database, shelf: Shelf
) -> None:
    choose(database, co_ladder="protocol_9_36_70", office_phone="555-0100")
    with database.session() as session:
        person = session.get_one(Person, phone.person.id)
        person.licence_words, person.licence_expires_on = "Gas fitter G-1187", "2027-03-31"
        session.commit()
    sheet_id = shelf.put("Vossquill", "Ember 50", body=BODY)
    found = phone.get("company").json
    assert found["settings"] == {"co_ladder": "protocol_9_36_70", "office_phone": "555-0100"}
    assert found["person"]["licence_words"] == "Gas fitter G-1187"
    assert found["person"]["licence_expires_on"] == "2027-03-31"
    named = {"model_sheet_id": sheet_id, "maker_words": "Vossquill", "model_words": "Ember 50"}
    assert found["model_sheets"] == [named | {"procedure_name": "power_vent"} | BODY]


def test_the_answer_is_as_the_openapi_document_says(
    client: FlaskClient, phone: Phone, database: Database, shelf: Shelf
) -> None:
    """Oracle: openapi-schema-validator over the published document."""
    choose(database, co_ladder="code_appendix")
    shelf.put(body=BODY)
    document: Any = client.get("/api/v1/openapi.json").json
    shape = document["components"]["schemas"]["CompanyOut"] | {"components": document["components"]}
    answer = phone.get("company").json
    assert [error.message for error in OAS30Validator(shape).iter_errors(answer)] == []
    assert [*OAS30Validator(shape).iter_errors(answer | {"more": 1})] != []


def test_withdrawn_sheets_old_versions_and_heaters_without_checks_stay_behind(phone: Phone, shelf: Shelf) -> None:
    shelf.put(model="Gone", withdrawn=True)
    shelf.put(model="Older", is_current=False)
    shelf.put(model="No checks", procedure_name="steam_engine")
    shelf.put("Tarnebeck", "Larder")
    shelf.put("Oskelund", "Larder")
    sheets = phone.get("company").json["model_sheets"]
    assert [sheet["maker_words"] for sheet in sheets] == ["Oskelund", "Tarnebeck"]


def test_nothing_new_is_304_and_anything_new_is_200(phone: Phone, shelf: Shelf) -> None:
    first = phone.get("company")
    etag = first.headers["ETag"]
    again = phone.get("company", **{"If-None-Match": etag})
    assert (again.status_code, again.data, again.headers["ETag"]) == (304, b"", etag)
    shelf.put(body=EMPTY)
    changed = phone.get("company", **{"If-None-Match": etag})
    assert changed.status_code == 200
    assert changed.headers["ETag"] != etag


def test_no_cache_between_may_keep_it_for_somebody_else(phone: Phone, other_phone: Phone) -> None:
    for answer in (phone.get("company"), phone.get("company", **{"If-None-Match": "*"})):
        assert "private" in answer.headers["Cache-Control"]
        assert answer.headers["Vary"] == "Authorization"
    assert phone.get("company").headers["ETag"] != other_phone.get("company").headers["ETag"]


def test_a_matching_tag_does_not_let_a_stranger_or_a_closed_phone_in(phone: Phone, database: Database) -> None:
    etag = phone.get("company").headers["ETag"]
    stranger: Any = phone.client.get("/api/v1/company", headers={"If-None-Match": etag})
    assert (stranger.status_code, stranger.json["code"]) == (401, "token_unknown")
    with database.session() as session:
        revoke_device(session, phone.device_id)
    closed = phone.get("company", **{"If-None-Match": etag})
    assert (closed.status_code, closed.json["code"]) == (403, "device_revoked")
