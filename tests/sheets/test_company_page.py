"""What the company chooses for everybody."""

from __future__ import annotations

import pytest
from sqlalchemy.orm import Session

from tests.sheets.conftest import Desk
from tests.sync.conftest import Phone
from webapp.models import CompanySetting, Person
from webapp.trade.co_ladders import LADDERS

PAGE = "/company"


def test_every_step_of_every_rule_set_is_shown_with_source_and_mark(desk: Desk, people: dict[str, Person]) -> None:
    desk.sign_in("owner")
    page = desk.client.get(PAGE).text
    for ladder in LADDERS:
        for step in ladder["steps"]:
            assert step["words"] in page
            assert step["source"] in page
    # Counted by hand in trade's table: the 70 of the appendix and the four steps of BPI-1200 are from memory.
    assert page.count("figure from memory") == 5
    assert "Local law and your fire service rule." in page


def test_nothing_is_ticked_until_it_is_chosen_and_the_page_says_what_acts(
    desk: Desk, people: dict[str, Person]
) -> None:
    desk.sign_in("owner")
    page = desk.client.get(PAGE).text
    assert " checked" not in page
    assert "No rule set for CO is chosen yet." in page
    assert "phones go by “Fuel gas code, appendix D: 30 and 70 ppm”" in page


def test_what_the_owner_chooses_reaches_the_phones(desk: Desk, people: dict[str, Person], phone: Phone) -> None:
    desk.sign_in("owner")
    answer = desk.post(PAGE, PAGE, co_ladder="protocol_9_36_70", office_phone=" 555-0100 ")
    assert answer.status_code == 303
    assert phone.get("company").json["settings"] == {"co_ladder": "protocol_9_36_70", "office_phone": "555-0100"}
    page = desk.client.get(PAGE).text
    assert "No rule set for CO is chosen yet." not in page
    assert page.count(" checked") == 1


def test_the_companys_name_is_for_the_sheet_and_phones_are_not_told(
    desk: Desk, people: dict[str, Person], phone: Phone, session: Session
) -> None:
    desk.sign_in("owner")
    desk.post(PAGE, PAGE, company_name="  Lantern  & Sons ")
    assert session.get_one(CompanySetting, "company_name").value == "Lantern & Sons"
    assert "company_name" not in phone.get("company").json["settings"]
    assert "At most 80 letters" in desk.post(PAGE, PAGE, company_name="x" * 81).text


def test_a_number_taken_away_is_none_and_a_rule_set_once_chosen_stays(
    desk: Desk, people: dict[str, Person], phone: Phone, session: Session
) -> None:
    desk.sign_in("owner")
    desk.post(PAGE, PAGE, co_ladder="code_appendix", office_phone="555-0100")
    desk.post(PAGE, PAGE, office_phone="")
    assert phone.get("company").json["settings"] == {"co_ladder": "code_appendix", "office_phone": None}
    kept = session.get_one(CompanySetting, "co_ladder")
    assert kept.person_id == people["owner"].id


@pytest.mark.parametrize(
    ("typed", "words"),
    [
        ({"office_phone": "12"}, "At least seven digits"),
        ({"office_phone": "5" * 41}, "At most 40 letters"),
        ({"co_ladder": "mine"}, "Not a valid choice"),
    ],
)
def test_what_cannot_be_taken_is_said_and_not_kept(
    desk: Desk, people: dict[str, Person], phone: Phone, typed: dict[str, str], words: str
) -> None:
    desk.sign_in("owner")
    answer = desk.post(PAGE, PAGE, **typed)
    assert answer.status_code == 422
    assert words in answer.text
    assert phone.get("company").json["settings"] == {"co_ladder": None, "office_phone": None}


def test_a_dispatcher_reads_and_does_not_write(desk: Desk, people: dict[str, Person]) -> None:
    desk.sign_in("dispatcher")
    page = desk.client.get(PAGE).text
    assert "Fuel gas code, appendix D" in page
    assert 'type="radio"' not in page
    assert desk.post(PAGE, PAGE, co_ladder="code_appendix").status_code == 403


def test_the_time_zone_is_a_place_that_is_known(desk: Desk, people: dict[str, Person], session: Session) -> None:
    desk.sign_in("owner")
    refused = desk.post(PAGE, PAGE, time_zone="Eastern time")
    assert refused.status_code == 422
    assert "No such zone. Region and city, as America/New_York." in refused.text
    assert desk.post(PAGE, PAGE, time_zone=" america/new york ").status_code == 303
    assert session.get_one(CompanySetting, "time_zone").value == "America/New_York"
    page = desk.client.get(PAGE).text
    assert 'value="America/New_York"' in page
    assert "Times: America/New_York, E" in page
    desk.post(PAGE, PAGE, time_zone="")
    assert "America/New_York, E" not in desk.client.get(PAGE).text


def test_a_refused_page_goes_by_the_zone_too(desk: Desk, people: dict[str, Person]) -> None:
    desk.sign_in("owner")
    desk.post(PAGE, PAGE, time_zone="America/Chicago")
    expired = desk.client.post(PAGE, data={"time_zone": ""})
    assert expired.status_code == 400
    assert "Times: America/Chicago" in expired.text
