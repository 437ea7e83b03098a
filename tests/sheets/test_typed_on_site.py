"""Makers' figures typed on site: read at the office beside their photo, and put on the model's sheet."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select, text
from sqlalchemy.orm import Session

from tests.sheets.conftest import Desk, Shelf
from tests.sync.conftest import Phone
from webapp.extensions import Database
from webapp.models import EventRow, ModelSheetVersion, Person
from webapp.models.ids import new_id
from webapp.sheets.model_key import model_key

PAGE = "/models/typed-on-site"
JPEG = bytes.fromhex("ffd8ffe000104a46494600010100000100010000ffd9")


@pytest.fixture
def staff(desk: Desk, people: dict[str, Person]) -> Desk:
    desk.sign_in("dispatcher")
    return desk


class Basement:
    """A job whose technician describes the heater, types its figures and photographs them."""

    def __init__(self, phone: Phone) -> None:
        self.phone = phone
        self.count = 0
        phone.push(phone.open_job())

    def describe(self, maker: str = "Vossquill", model: str = "Ember 50", **over: Any) -> None:
        body = {"appliance_id": new_id(), "kind": "power_vent", "maker_words": maker, "model_words": model} | over
        self.phone.push(self.phone.make("appliance_described", body, schema=2))

    def type(self, quantity: str = "make_point_in_wc", value: float = 0.36, where: str = "part_label", **o: Any) -> str:
        event = self.phone.make("sheet_number", {"quantity": quantity, "value": value, "where": where}, **o)
        assert self.phone.statuses(event) == ["stored"]
        typed: str = event["id"]
        return typed

    def photograph(self, about: str = "part_label") -> str:
        self.count += 1
        content = JPEG[:-2] + self.phone.device_id.encode() + bytes([self.count]) + b"\0" * 200 + JPEG[-2:]
        sha = hashlib.sha256(content).hexdigest()
        size = {"length_bytes": len(content), "media_type": "image/jpeg", "width_px": 320, "height_px": 240}
        self.taken = self.phone.make("photo_taken", {"sha256": sha, **size, "check": None, "about": about}, schema=2)
        assert self.phone.statuses(self.taken) == ["stored"]
        headers = self.phone.headers | {"Content-Type": "image/jpeg"}
        assert self.phone.client.put(f"/api/v1/photos/{sha}", data=content, headers=headers).status_code == 201
        return sha

    def put_in_words(self, words: str) -> None:
        body = self.taken["body"] | {"words": words}
        said = self.phone.make("photo_taken", body, schema=2, replaces=[self.taken["id"]])
        assert self.phone.statuses(said) == ["stored"]


@pytest.fixture
def basement(phone: Phone) -> Basement:
    return Basement(phone)


def read(staff: Desk, event_id: str, **typed: str) -> Any:
    return staff.post(f"{PAGE}/{event_id}/read", PAGE, **typed)


def confirmations(session: Session) -> list[dict[str, Any]]:
    session.rollback()
    return [row.body for row in session.scalars(select(EventRow).where(EventRow.kind == "sheet_confirmed"))]


def test_a_figure_waits_beside_its_photo_until_the_office_has_read_it(
    staff: Desk, basement: Basement, session: Session
) -> None:
    basement.describe()
    event_id, sha = basement.type(), basement.photograph()
    page = staff.client.get(PAGE).text
    assert "Make point on its label: 0.36 in. w.c." in page
    assert "Vossquill Ember 50" in page
    assert f"/photos/{sha}" in page
    assert read(staff, event_id, verdict="agrees").status_code == 303
    assert confirmations(session) == [{"sheet_event_id": event_id, "quantity": "make_point_in_wc", "agrees": True}]
    after = staff.client.get(PAGE).text
    assert "Nothing waits" in after
    assert "Begin a sheet with it" in after


def test_the_jobs_page_says_whether_a_figure_was_read(staff: Desk, basement: Basement) -> None:
    event_id = basement.type()
    page = f"/jobs/{basement.phone.job}"
    assert (
        "make point 0.36 in. w.c. (label on the part, typed on site, not confirmed yet)" in staff.client.get(page).text
    )
    basement.photograph()
    read(staff, event_id, verdict="otherwise", read_value="0.46")
    assert "(label on the part, the photo reads 0.46 in. w.c.)" in staff.client.get(page).text


def test_a_figure_of_the_companys_own_sheet_does_not_wait_to_be_read(staff: Desk, basement: Basement) -> None:
    body = {"quantity": "make_point_in_wc", "value": 0.36, "where": "sheet", "model_sheet_id": new_id()}
    event = basement.phone.make("sheet_number", body, schema=2)
    assert basement.phone.statuses(event) == ["stored"]
    assert "Nothing waits" in staff.client.get(PAGE).text
    assert read(staff, event["id"], verdict="agrees").status_code == 404
    job = staff.client.get(f"/jobs/{basement.phone.job}").text
    assert "(company&#39;s sheet of this model, not read on the heater)" in job


def test_what_reads_otherwise_is_noted_and_what_was_typed_stays(
    staff: Desk, basement: Basement, session: Session
) -> None:
    event_id = basement.type()
    basement.photograph()
    assert read(staff, event_id, verdict="otherwise", read_value="0.46", words="the 4 is worn").status_code == 303
    assert confirmations(session)[0] | {"sheet_event_id": ""} == {
        "sheet_event_id": "", "quantity": "make_point_in_wc", "agrees": False, "read_value": 0.46,
        "words": "the 4 is worn",
    }  # fmt: skip
    page = staff.client.get(PAGE).text
    assert "0.36 in. w.c." in page
    assert "0.46 in. w.c." in page


def test_a_value_that_is_no_number_is_said_beside_it_and_nothing_is_noted(
    staff: Desk, basement: Basement, session: Session
) -> None:
    event_id = basement.type()
    basement.photograph()
    answer = read(staff, event_id, verdict="otherwise", read_value="0,46", words="worn")
    assert answer.status_code == 422
    assert f'id="figure-{event_id}-value-fault"' in answer.text
    assert 'value="0,46"' in answer.text
    assert 'value="worn"' in answer.text
    assert confirmations(session) == []


def test_without_a_photo_the_office_says_what_it_read_it_from(
    staff: Desk, basement: Basement, session: Session
) -> None:
    event_id = basement.type()
    basement.photograph(about="damage_before")
    answer = read(staff, event_id, verdict="agrees")
    assert answer.status_code == 422
    assert "No photo of it is here yet: say what you read it from." in answer.text
    assert confirmations(session) == []
    assert read(staff, event_id, verdict="agrees", words="the maker's sheet, page 12").status_code == 303
    assert confirmations(session)[0]["words"] == "the maker's sheet, page 12"


def test_what_has_its_photo_stands_open_and_the_rest_is_folded_until_one_of_it_is_refused(
    staff: Desk, basement: Basement
) -> None:
    seen, unseen = basement.type(), basement.type(value=0.41, job_id=new_id())
    assert "<details open>" in staff.client.get(PAGE).text  # nothing else is there to be read
    basement.photograph()
    page = staff.client.get(PAGE).text
    assert page.index(f"figure-{seen}") < page.index("1 without a photo here") < page.index(f"figure-{unseen}")
    assert "<details open>" not in page
    refused = read(staff, unseen, verdict="agrees").text
    assert "<details open>" in refused


def test_two_who_read_at_once_note_it_once(staff: Desk, basement: Basement, session: Session) -> None:
    event_id = basement.type()
    basement.photograph()
    read(staff, event_id, verdict="agrees")
    basement.type("vent_limit_f", 145.0)  # so that the page still has a form to take the token from
    assert read(staff, event_id, verdict="agrees").status_code == 409
    assert len(confirmations(session)) == 1


def test_what_was_taken_back_or_typed_anew_does_not_wait(staff: Desk, basement: Basement) -> None:
    gone = basement.type(value=3.6)
    basement.type(value=0.36, replaces=[gone])
    undone = basement.type("vent_limit_f", 145.0)
    phone = basement.phone
    assert phone.statuses(phone.make("withdrawn", {"why": "slip"}, replaces=[undone])) == ["stored"]
    page = staff.client.get(PAGE).text
    assert "3.6 in. w.c." not in page
    assert "145" not in page
    assert "0.36 in. w.c." in page
    assert read(staff, gone, verdict="agrees", words="x").status_code == 404


def test_a_figure_that_was_read_begins_the_models_sheet_and_the_next_one_joins_it(
    staff: Desk, basement: Basement
) -> None:
    basement.describe()
    basement.photograph()
    first, second = basement.type(), basement.type("vent_limit_f", 145.0, "sheet")
    read(staff, first, verdict="agrees")
    assert staff.post(f"{PAGE}/{first}/take-over", PAGE).status_code == 303
    read(staff, second, verdict="otherwise", read_value="155")
    assert "Put it on the sheet" in staff.client.get(PAGE).text
    staff.post(f"{PAGE}/{second}/take-over", PAGE)
    (sheet,) = basement.phone.get("company").json["model_sheets"]
    assert (sheet["maker_words"], sheet["procedure_name"]) == ("Vossquill", "power_vent")
    assert sheet["limits"] == [
        {"quantity": "make_point_in_wc", "value": 0.36, "where": "part_label"},
        {"quantity": "vent_limit_f", "value": 155.0, "where": "sheet"},
    ]
    assert staff.client.get(PAGE).text.count("It stands there") == 2


def test_a_figure_of_the_run_goes_to_the_row_of_the_pipe_that_was_counted(
    staff: Desk, basement: Basement, shelf: Shelf
) -> None:
    shelf.put(model_key=model_key("Vossquill", "Ember 50"))
    basement.describe()
    run = {"nominal_in": 3.0, "straight_ft": 30.0, "elbows_90": 4, "elbows_45": 0}
    basement.phone.push(basement.phone.make("vent_surveyed", run))
    basement.photograph("sheet")
    for quantity, value in (("limit_ft", 60.0), ("feet_per_90", 5.0)):
        event_id = basement.type(quantity, value, "sheet")
        read(staff, event_id, verdict="agrees")
        staff.post(f"{PAGE}/{event_id}/take-over", PAGE)
    (sheet,) = basement.phone.get("company").json["model_sheets"]
    assert sheet["limits"] == []
    assert [{name: value for name, value in row.items() if value is not None} for row in sheet["vent"]] == [
        {"nominal_in": 3.0, "max_equivalent_ft": 60.0, "feet_per_elbow_90": 5.0}
    ]


def test_a_figure_of_no_said_model_is_not_put_on_any_sheet(staff: Desk, basement: Basement, session: Session) -> None:
    basement.photograph()
    event_id = basement.type()
    read(staff, event_id, verdict="agrees")
    assert "no model is said" in staff.client.get(PAGE).text
    staff.post(f"{PAGE}/{event_id}/take-over", "/company")
    assert session.scalars(select(ModelSheetVersion)).all() == []


def test_a_long_list_goes_on_behind_its_link(staff: Desk, basement: Basement) -> None:
    for number in range(25):
        basement.type("vent_limit_f", 100.0 + number)
    first = staff.client.get(PAGE).text
    assert first.count('class="panel typed"') == 20
    link = first.split('<a class="button" href="')[1].split('"')[0].replace("&amp;", "&")
    rest = staff.client.get(link).text
    assert rest.count('class="panel typed"') == 5
    both = first + rest
    assert all(f": {100 + number} °F" in both for number in range(25))


def test_photos_of_the_model_stand_beside_its_sheet_and_others_do_not(
    staff: Desk, basement: Basement, other_phone: Phone, shelf: Shelf
) -> None:
    sheet_id = shelf.put(model_key=model_key("Vossquill", "Ember 50"))
    basement.describe("vossquill", "ember-50")
    here, damage = basement.photograph("plate"), basement.photograph("damage_before")
    elsewhere = Basement(other_phone)
    elsewhere.describe("Oskelund", "Larder 7")
    other = elsewhere.photograph("plate")
    page = staff.client.get(f"/models/{sheet_id}/change").text
    assert here in page
    assert damage not in page
    assert other not in page


def test_a_photo_that_was_put_in_words_later_stands_once_with_its_last_words(
    staff: Desk, basement: Basement, shelf: Shelf
) -> None:
    sheet_id = shelf.put(model_key=model_key("Vossquill", "Ember 50"))
    basement.describe()
    basement.type()
    photo = basement.photograph()
    basement.put_in_words("torn at the corner")
    for path in (PAGE, f"/models/{sheet_id}/change"):
        page = staff.client.get(path).text
        assert page.count(f'src="/photos/{photo}') == 1, path
        assert "torn at the corner" in page


@pytest.mark.parametrize("strange", ["?from=yesterday&after=x", "?event_id=1", "?from=2026-11-25T00:00:00Z&after=x"])
def test_an_address_that_somebody_made_up_is_no_error(staff: Desk, basement: Basement, strange: str) -> None:
    basement.type()
    assert staff.client.get(PAGE + strange).status_code == 200


def test_the_list_is_found_by_its_index(database: Database, tmp_path: Path) -> None:
    plan = (
        "EXPLAIN QUERY PLAN SELECT id FROM event WHERE "
        "kind IN ('appliance_described', 'sheet_number', 'sheet_confirmed') AND kind = 'sheet_number' "
        "ORDER BY received_at DESC, id DESC LIMIT 20"
    )
    with database.reading_session() as session:
        told = " ".join(str(row) for row in session.execute(text(plan)))
    assert "ix_event_model_facts" in told
    assert "TEMP B-TREE" not in told


@pytest.mark.parametrize("backend", ["postgresql"])
def test_on_postgresql_too(staff: Desk, basement: Basement) -> None:
    basement.describe()
    basement.photograph()
    event_id = basement.type()
    read(staff, event_id, verdict="agrees")
    assert staff.post(f"{PAGE}/{event_id}/take-over", PAGE).status_code == 303
    assert len(basement.phone.get("company").json["model_sheets"]) == 1
    assert "It stands there" in staff.client.get(PAGE).text
