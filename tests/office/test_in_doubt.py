"""Two entries that may be one front door: shown with the reasons, decided by a person, and undone if need be."""

from __future__ import annotations

import pytest
from sqlalchemy.orm import Session

from tests.factories import OfficeDeviceFactory, PersonFactory
from tests.office.conftest import Desk, text_of
from webapp.models import Site

LIST = "/addresses/in-doubt"


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def two(desk: Desk) -> tuple[str, str]:
    one = desk.story.address("41 Copperkettle Rise", phone="555-0177", customer_name="Emeka Halfmoon")
    desk.story.whole_visit(one)
    return one, desk.story.address("41 Copper Kettle Rise", phone="(033) 555-0177")


def say(desk: Desk, two: tuple[str, str], said: str, shown_at: str = LIST) -> str:
    answer = desk.send(shown_at, f"/addresses/{two[1]}/same-as/{two[0]}", said=said)
    assert answer.status_code == 303
    return text_of(desk.client.get(answer.location))


def groups(session: Session, two: tuple[str, str]) -> int:
    session.rollback()  # a new look at the store
    return len({session.get_one(Site, site_id).group_id for site_id in two})


def pairs_in(words: str) -> str:
    return words.partition("Decided lately")[0]


def test_a_quiet_list_says_so(desk: Desk) -> None:
    desk.story.address("12 Mill Lane")
    desk.story.address("13 Mill Lane")
    assert "Nothing is in doubt among the newest 2 entries." in desk.read(LIST)


def test_a_pair_shows_both_strings_the_reason_the_phones_and_the_visits(desk: Desk, two: tuple[str, str]) -> None:
    words = desk.read(LIST)
    for told in (
        "41 Copperkettle Rise", "41 Copper Kettle Rise", "written apart on one, together on the other",
        "same phone", "555-0177", "(033) 555-0177", "1 visit, the last", "0 visits",
    ):  # fmt: skip
        assert told in words, told


def test_said_to_be_the_same_both_histories_are_read_as_one_until_it_is_undone(
    desk: Desk, session: Session, two: tuple[str, str]
) -> None:
    words = say(desk, two, "same")
    assert groups(session, two) == 1
    assert "Copper Kettle" not in pairs_in(words)
    assert "One address:" in words
    assert "sensing tube off its port" in desk.read(f"/addresses/{two[1]}")
    page = desk.client.get(LIST).text
    undo = page.partition("Undo")[0].rpartition('action="')[2].partition('"')[0]
    assert desk.send(LIST, undo).status_code == 303
    assert groups(session, two) == 2
    assert "Copper Kettle" in pairs_in(desk.read(LIST))


def test_said_to_be_two_they_are_not_offered_again_until_it_is_undone(
    desk: Desk, session: Session, two: tuple[str, str]
) -> None:
    words = say(desk, two, "not_same")
    assert "Copper Kettle" not in pairs_in(words)
    assert "Two addresses:" in words
    assert groups(session, two) == 2
    page = desk.client.get(LIST).text
    desk.send(LIST, page.partition("Undo")[0].rpartition('action="')[2].partition('"')[0])
    assert "Copper Kettle" in pairs_in(desk.read(LIST))


def test_put_off_it_stands_at_the_end_and_nothing_is_stored(desk: Desk, two: tuple[str, str]) -> None:
    desk.story.address("8 Elmside Row")
    desk.story.address("8 Elmsde Row")
    assert pairs_in(desk.read(LIST)).index("Elmside") < pairs_in(desk.read(LIST)).index("Copper Kettle")
    elms = desk.client.get(LIST).text.partition("/same-as/")
    one, other = elms[0].rpartition("/addresses/")[2], elms[2].partition('"')[0]
    words = say(desk, (other, one), "later")
    assert pairs_in(words).index("Copper Kettle") < pairs_in(words).index("Elmside")
    assert "Decided lately" not in words


def test_another_dispatchers_word_is_answered_not_taken_back(
    desk: Desk, session: Session, two: tuple[str, str]
) -> None:
    say(desk, two, "same")
    other = PersonFactory(role="dispatcher", name="Olga Other")
    with desk.client.session_transaction() as cookie:
        cookie["person_id"], cookie["device_id"] = other.id, OfficeDeviceFactory(person_id=other.id).id
    path = f"/addresses/{two[0]}/same-as"
    page = desk.client.get(path).text
    assert "Undo" not in page
    action = page.partition("Not the same after all")[0].rpartition('action="')[2].partition('"')[0]
    desk.send(path, action)
    assert groups(session, two) == 2
    words = desk.read(path)
    assert "Two addresses:" in words
    assert "said by Olga Other" in words


def test_an_address_can_be_said_to_be_one_that_nobody_would_guess(desk: Desk, session: Session) -> None:
    one, other = desk.story.address("The old mill"), desk.story.address("12 Weir Road")
    words = desk.read(f"/addresses/{one}/same-as?q=weir")
    assert "12 Weir Road" in words
    answer = desk.send(f"/addresses/{one}/same-as?q=weir", f"/addresses/{one}/same-as/{other}", said="same")
    assert answer.location == f"/addresses/{one}/same-as"
    assert groups(session, (one, other)) == 1


def test_an_address_is_not_said_to_be_itself_or_one_that_is_not_here(desk: Desk, two: tuple[str, str]) -> None:
    for other in (two[0], "01a21200-0000-7000-8000-000000000009"):
        assert desk.send(LIST, f"/addresses/{two[0]}/same-as/{other}", said="same").status_code == 404


def test_a_booking_that_left_the_address_in_doubt_is_on_the_list_and_on_its_own_pages(desk: Desk) -> None:
    known = desk.story.address("41 Copperkettle Rise", phone="555-0177")
    typed = {
        "street": "41 Copper Kettle Rise", "town": "Harrowby", "complaint": "toy_vent/no_hot_water",
        "complaint_words": "cold", "technician_id": desk.story.technician.id,
    }  # fmt: skip
    answer = desk.send("/jobs/book", **typed)
    assert "41 Copper Kettle Rise" in pairs_in(desk.read(LIST))
    assert "May be the same address as 41 Copperkettle Rise" in desk.read(answer.location)
    assert "41 Copper Kettle Rise" in desk.read(f"/addresses/{known}/same-as")


def test_the_offices_word_comes_after_what_either_stream_has_said(
    desk: Desk, session: Session, two: tuple[str, str]
) -> None:
    """Counters of two addresses do not compare: the older one, with a long story, said that they are one."""
    one, two_id = two
    desk.story.say(desk.story.hand, "same_address", {"other_site_id": two_id}, site_id=one, lamport=900)
    assert groups(session, two) == 1
    say(desk, two, "not_same", shown_at=f"/addresses/{two_id}/same-as")
    assert groups(session, two) == 2
