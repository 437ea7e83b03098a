"""Sheets at the office: typed, changed, withdrawn; every version stays to be read."""

from __future__ import annotations

import re
from typing import Any

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.sheets.conftest import Desk, Shelf
from tests.sync.conftest import Phone
from webapp.extensions import Database
from webapp.models import ModelSheetVersion, Person
from webapp.sheets import service
from webapp.sheets.model_key import model_key

NEW = "/models/new/power_vent"
TYPED: dict[str, Any] = {
    "maker_words": "Vossquill", "model_words": "Ember 50", "vent_rows": "2", "code_rows": "3", "words": "",
    "limit-make_point_in_wc": "0.36", "where-make_point_in_wc": "part_label",
}  # fmt: skip


@pytest.fixture
def staff(desk: Desk, people: dict[str, Person]) -> Desk:
    desk.sign_in("dispatcher")
    return desk


def based_on(desk: Desk, page: str) -> str:
    found: str = desk.client.get(page).text.split('name="based_on" value="')[1].split('"')[0]
    return found


def kept(desk: Desk, **over: str) -> str:
    answer = desk.post(NEW, NEW, **(TYPED | over))
    assert answer.status_code == 303, answer.text
    place: str = answer.location
    return place


def test_a_sheet_typed_at_the_office_is_on_the_phones_next_sync(staff: Desk, phone: Phone) -> None:
    place = kept(staff)
    sheets = phone.get("company").json["model_sheets"]
    assert [(one["maker_words"], one["limits"]) for one in sheets] == [
        ("Vossquill", [{"quantity": "make_point_in_wc", "value": 0.36, "where": "part_label"}])
    ]
    page = staff.client.get(place).text
    assert "0.36 in. w.c." in page
    assert "first typed" in page
    assert "Dispatcher Quill" in page
    assert "Vossquill Ember 50" in staff.client.get("/models").text


def test_what_can_hardly_be_meant_is_asked_about_before_any_phone_has_it(staff: Desk, phone: Phone) -> None:
    wrong = TYPED | {
        "limit-make_point_in_wc": "36", "limit-flame_min_ua": "-1", "where-flame_min_ua": "part_label",
        "vent-1-nominal_in": "30", "vent-1-max_equivalent_ft": "60",
    }  # fmt: skip
    asked = staff.post(NEW, NEW, **wrong)
    assert asked.status_code == 422
    for at, words in (
        ("limit-make_point_in_wc", "36 in. w.c.? Hardly possible"),
        ("limit-flame_min_ua", "\u22121 µA? Hardly possible"),
        ("vent-1-nominal_in", "30 in.? Hardly possible"),
    ):  # fmt: skip
        assert re.search(rf'<a href="#{at}">[^<]+</a>: {re.escape(words)}', asked.text), at
        assert f'id="{at}"' in asked.text
    assert phone.get("company").json["model_sheets"] == []
    keep = re.search(r'name="keep" value="([0-9a-f]+)">Keep all the same', asked.text)
    assert keep
    other = staff.post(NEW, NEW, **(wrong | {"keep": keep[1], "limit-make_point_in_wc": "3600"}))
    assert "3600 in. w.c.? Hardly possible" in other.text
    assert staff.post(NEW, NEW, **(wrong | {"keep": keep[1]})).status_code == 303
    assert phone.get("company").json["model_sheets"][0]["limits"][0]["value"] == 36


def test_what_is_unclear_is_said_beside_its_field_and_on_top_and_nothing_is_lost(staff: Desk, session: Session) -> None:
    answer = staff.post(NEW, NEW, **(TYPED | {"limit-make_point_in_wc": "0,36", "words": "Edition 2019"}))
    assert answer.status_code == 422
    assert 'id="limit-make_point_in_wc-fault"' in answer.text
    assert '<a href="#limit-make_point_in_wc">' in answer.text
    assert 'value="0,36"' in answer.text
    assert 'value="Edition 2019"' in answer.text
    assert session.scalars(select(ModelSheetVersion)).all() == []


def test_more_rows_save_nothing_and_keep_what_was_typed(staff: Desk, session: Session) -> None:
    answer = staff.post(NEW, NEW, **(TYPED | {"more": "codes"}))
    assert answer.status_code == 200
    assert 'name="code-5-flash_groups"' in answer.text
    assert 'value="0.36"' in answer.text
    assert session.scalars(select(ModelSheetVersion)).all() == []


def test_a_model_kept_twice_is_told_whatever_its_spelling(staff: Desk, session: Session) -> None:
    kept(staff)
    answer = staff.post(NEW, NEW, **(TYPED | {"model_words": "ember-50"}))
    assert answer.status_code == 422
    assert "A sheet of Vossquill Ember 50 is kept already" in answer.text
    assert len(session.scalars(select(ModelSheetVersion)).all()) == 1


def test_two_sheets_of_one_model_that_got_in_are_marked(staff: Desk, shelf: Shelf) -> None:
    first = shelf.put()
    second = shelf.put()
    assert staff.client.get("/models").text.count("kept twice") == 2
    assert f"/models/{second}" in staff.client.get(f"/models/{first}").text


def test_a_change_is_a_new_version_and_the_history_says_who_changed_what(
    staff: Desk, session: Session, phone: Phone
) -> None:
    place = kept(staff)
    change = f"{place}/change"
    typed = TYPED | {"limit-make_point_in_wc": "0.41", "based_on": based_on(staff, change)}
    assert staff.post(change, change, **typed).status_code == 303
    page = staff.client.get(place).text
    assert "Make point on its label: 0.41 in. w.c., label on the part, was 0.36 in. w.c., label on the part" in page
    versions = session.scalars(select(ModelSheetVersion).order_by(ModelSheetVersion.saved_at)).all()
    assert [(one.is_current, one.body["limits"][0]["value"]) for one in versions] == [(False, 0.36), (True, 0.41)]
    assert [one["limits"][0]["value"] for one in phone.get("company").json["model_sheets"]] == [0.41]


def test_whoever_saves_an_older_state_is_told_and_overwrites_nothing(staff: Desk, session: Session) -> None:
    place = kept(staff)
    change = f"{place}/change"
    typed = TYPED | {"based_on": based_on(staff, change)}
    assert staff.post(change, change, **(typed | {"words": "first"})).status_code == 303
    late = staff.post(change, change, **(typed | {"words": "second"}))
    assert late.status_code == 422
    assert "Somebody saved this sheet" in late.text
    assert 'value="second"' in late.text
    current = session.scalars(select(ModelSheetVersion).where(ModelSheetVersion.is_current)).all()
    assert [one.body["words"] for one in current] == ["first"]


def test_a_withdrawn_sheet_leaves_the_phones_and_can_come_back(staff: Desk, phone: Phone) -> None:
    place = kept(staff)
    assert staff.post(f"{place}/withdraw", place).status_code == 303
    assert phone.get("company").json["model_sheets"] == []
    assert staff.post(f"{place}/bring-back", place).status_code == 303
    assert len(phone.get("company").json["model_sheets"]) == 1
    history = staff.client.get(place).text
    assert "withdrawn" in history
    assert "brought back" in history


def test_a_withdrawn_sheet_does_not_come_back_beside_its_twin(staff: Desk, phone: Phone) -> None:
    place = kept(staff)
    staff.post(f"{place}/withdraw", place)
    kept(staff)
    staff.post(f"{place}/bring-back", place)
    assert "is kept already" in staff.client.get(place).text
    assert len(phone.get("company").json["model_sheets"]) == 1


def test_no_more_sheets_than_every_phone_can_keep(staff: Desk, shelf: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(service, "MOST_SHEETS", 2)
    shelf.put(model="One")
    shelf.put(model="Two")
    answer = staff.post(NEW, NEW, **TYPED)
    assert answer.status_code == 422
    assert "as many as every phone keeps" in answer.text


def test_a_sheet_longer_than_a_phone_keeps_is_refused_and_kept_on_screen(staff: Desk) -> None:
    codes = {f"code-{n}-text": f"E{n}" for n in range(80)} | {f"code-{n}-meaning_words": "m" * 290 for n in range(80)}
    answer = staff.post(NEW, NEW, **(TYPED | {"code_rows": "80"} | codes))
    assert answer.status_code == 422
    assert "longer than a phone keeps" in answer.text
    assert 'value="E79"' in answer.text


def test_unusual_figures_are_kept_and_told(staff: Desk) -> None:
    page = staff.client.get(kept(staff, **{"limit-make_point_in_wc": "5"})).text
    assert "Unusual in in. w.c." in page


@pytest.mark.parametrize("place", ["/models/new/steam_engine", "/models/01900000-0000-7000-8000-000000000000"])
def test_what_is_not_there_is_404(staff: Desk, place: str) -> None:
    assert staff.client.get(place).status_code == 404


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        (("Vossquill", "Ember 50"), ("vossquill", "EMBER-50"), True),
        (("Åkervind", "Ö 3"), ("Akervind", "O3"), True),
        (("Voss", "quillEmber"), ("Vossquill", "Ember"), False),
        (("Vossquill", "Ember 50"), ("Vossquill", "Ember 51"), False),
    ],
)
def test_spellings_of_one_model_share_a_key(one: tuple[str, str], other: tuple[str, str], same: bool) -> None:
    assert (model_key(*one) == model_key(*other)) is same


@pytest.mark.parametrize("backend", ["postgresql"])
def test_on_postgresql_too_a_sheet_is_changed_and_listed(staff: Desk, database: Database) -> None:
    place = kept(staff)
    change = f"{place}/change"
    typed = TYPED | {"words": "newer", "based_on": based_on(staff, change)}
    assert staff.post(change, change, **typed).status_code == 303
    assert "newer" in staff.client.get(place).text
    assert staff.client.get("/models").status_code == 200
