"""Finding an address, and its page."""

from __future__ import annotations

import pytest

from tests.office.conftest import Desk


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def test_an_office_without_addresses_says_how_the_first_one_is_made(desk: Desk) -> None:
    assert "No address yet. The first one is made with the first job." in desk.read("/addresses")


@pytest.mark.parametrize(
    "typed", ["12 mill ln", "MILL", "harrowby", "vale", "555-0142", "(503) 555 0142", "mill lane 12", "élan"]
)
def test_an_address_is_found_by_street_town_name_or_phone(desk: Desk, typed: str) -> None:
    desk.story.address(phone="503-555-0142", customer_name="Élan Vale")
    desk.story.address("99 Far Road", "Elsewhere", phone="555-0199")
    words = desk.read(f"/addresses?q={typed}")
    assert "12 Mill Lane" in words
    assert "99 Far Road" not in words


@pytest.mark.parametrize("typed", ["%", "_", "zzz", "12 mill lane zzz"])
def test_what_is_not_there_is_not_found_and_signs_are_only_signs(desk: Desk, typed: str) -> None:
    desk.story.address()
    words = desk.read(f"/addresses?q={typed.replace('%', '%25')}")
    assert ("Nothing has all of" in words) == (typed not in "%_")


def test_the_list_says_how_often_and_when_an_address_was_visited(desk: Desk) -> None:
    site = desk.story.address()
    desk.story.whole_visit(site)
    desk.story.whole_visit(site)
    desk.story.address("99 Far Road")
    words = desk.read("/addresses")
    assert "12 Mill Lane Harrowby 2 Mon 2 Mar" in words
    assert "99 Far Road Harrowby 0 never" in words


def test_two_entries_of_one_door_are_one_line(desk: Desk) -> None:
    one, other = desk.story.address(), desk.story.address("12 Mill Ln")
    desk.story.say(desk.story.desk, "same_address", {"other_site_id": other}, site_id=one)
    words = desk.read("/addresses?q=mill")
    assert words.count("12 Mill L") == 1


def test_addresses_come_in_pages(desk: Desk) -> None:
    for number in range(30):
        desk.story.address(f"{number} Weir Road")
    first = desk.client.get("/addresses").text
    assert first.count("row-link") == 25
    older = first.partition(">Older addresses<")[0].rpartition('href="')[2].partition('"')[0]
    assert desk.client.get(older.replace("&amp;", "&")).text.count("row-link") == 5


def test_the_page_of_an_address_reads_like_a_logbook(desk: Desk) -> None:
    site = desk.story.address(phone="555-0142", access_words="side gate")
    desk.story.whole_visit(site)
    desk.story.days_later(12)
    desk.story.whole_visit(site, passed=False)
    words = desk.read(f"/addresses/{site}")
    never = "Measured on no visit Limit, dead: across the limit"
    for told in ("555-0142", "side gate", "Return visit after 12 days, same cause:", never):
        assert told in words
    assert words.index("Did not hold") < words.index("Held in the hot run")
    assert "Readings over the visits" in words


def test_an_address_without_a_visit_says_so(desk: Desk) -> None:
    assert "No visit here yet." in desk.read(f"/addresses/{desk.story.address()}")


@pytest.mark.parametrize("typed", ["12 milll lane", "12 Mihl Lane", "Harowby", "12 mill lanne", "mrs vael"])
def test_a_slip_of_the_fingers_still_finds_the_address_and_says_that_it_is_only_near(desk: Desk, typed: str) -> None:
    desk.story.address(customer_name="Mrs Vale", phone="555-0142")
    desk.story.address("99 Far Road", "Elsewhere")
    words = desk.read(f"/addresses?q={typed}")
    assert "spelt nearly so" in words
    assert "12 Mill Lane" in words
    assert "99 Far Road" not in words


def test_another_number_in_the_same_street_is_not_near(desk: Desk) -> None:
    desk.story.address()
    assert "Nothing has all of “14 milll lane”." in desk.read("/addresses?q=14+milll+lane")
