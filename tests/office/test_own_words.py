"""The company's own sentence stands before or after the words to say at once. Ours are always there, whole."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from html import unescape

import pytest
from sqlalchemy.orm import Session

from tests.factories import OfficeDeviceFactory, PersonFactory
from tests.office.conftest import Desk
from tests.office.test_call_again import called
from webapp.office.call_words import SAY
from webapp.sheets.own_words import SAY_IDS, OwnWords, keep_own_words, read_own_words


def at_the_owners_desk(desk: Desk) -> Desk:
    owner = PersonFactory(role="owner")
    with desk.client.session_transaction() as cookie:
        cookie["person_id"], cookie["device_id"] = owner.id, OfficeDeviceFactory(person_id=owner.id).id
    return desk


def said(desk: Desk, say: str) -> str:
    page = unescape(desk.client.get("/jobs/book").text)
    return page.partition(f'data-say="{say}"')[2].partition("</ol>")[0]


def test_every_words_to_say_may_have_sentences_of_the_company() -> None:
    assert {one.id for one in SAY} == set(SAY_IDS)


@pytest.mark.parametrize("say", SAY, ids=lambda one: str(one.id))
def test_own_sentences_stand_around_ours_and_ours_stay_whole_and_in_order(desk: Desk, say: object) -> None:
    owners = at_the_owners_desk(desk)
    typed = {f"own_{say.id}_above": "This is Lantern & Sons.", f"own_{say.id}_below": "Gas company: 555-0111."}  # type: ignore[attr-defined]
    assert owners.send("/company", **typed).status_code == 303
    piece = said(owners, say.id)  # type: ignore[attr-defined]
    lines = ["This is Lantern & Sons.", *say.lines, "Gas company: 555-0111."]  # type: ignore[attr-defined]
    places = [piece.find(line) for line in lines]
    assert -1 not in places
    assert places == sorted(places)
    others = [one for one in SAY if one is not say]
    assert all("Lantern" not in said(owners, one.id) for one in others)


def test_nothing_that_is_typed_takes_ours_away(desk: Desk) -> None:
    owners = at_the_owners_desk(desk)
    owners.send("/company", own_gas_out_above=" ", own_gas_out_below="", said="", lines="")
    assert all(line in said(owners, one.id) for one in SAY for line in one.lines)


def test_a_dispatcher_reads_the_sentence_and_cannot_change_it(desk: Desk, session: Session) -> None:
    words = dict.fromkeys(SAY_IDS, OwnWords()) | {"gas_out": OwnWords("", "Ring the yard.")}
    keep_own_words(session, desk.story.dispatcher, words)
    page = desk.client.get("/company").text
    assert "Ring the yard." in page
    assert 'name="own_gas_out_below"' not in page
    assert desk.send("/jobs", "/company", own_gas_out_below="Mine.").status_code in (400, 403)
    assert read_own_words(session)["gas_out"].below == "Ring the yard."


def test_too_long_a_sentence_is_a_fault_beside_its_field_and_nothing_typed_is_lost(desk: Desk) -> None:
    owners = at_the_owners_desk(desk)
    answer = owners.send("/company", own_co_out_above="x" * 201, company_name="Lantern & Sons")
    assert answer.status_code == 422
    assert 'id="own_co_out_above-fault"' in answer.text
    assert "Lantern &amp; Sons" in answer.text


def test_a_jobs_page_tells_the_words_as_they_stood_when_the_call_was_taken(desk: Desk, session: Session) -> None:
    """What the company changes later was not said then."""
    then, later = desk.story.at - timedelta(days=1), desk.story.at + timedelta(days=1)
    empty = dict.fromkeys(SAY_IDS, OwnWords())
    keep_own_words(session, desk.story.dispatcher, empty | {"gas_out": OwnWords("", "Ring 555-0111.")}, then)
    keep_own_words(session, desk.story.dispatcher, empty | {"gas_out": OwnWords("", "Ring 555-0122.")}, later)
    _site, job = called(desk, smell_of_gas="yes", said=["gas_out"])
    page = desk.read(f"/jobs/{job}")
    whole = page.partition("Said, word for word")[2].partition("Heard wrong?")[0]
    assert all(line in whole for line in SAY[0].lines)
    assert "“Ring 555-0111.” (the company's own, as it stood then)" in whole
    assert "555-0122" not in page
    assert all(line not in whole for line in SAY[1].lines)


def test_the_same_words_again_make_no_newer_version(desk: Desk, session: Session) -> None:
    words = dict.fromkeys(SAY_IDS, OwnWords()) | {"co_out": OwnWords("A", "B")}
    keep_own_words(session, desk.story.dispatcher, words, datetime.now(UTC) - timedelta(hours=2))
    keep_own_words(session, desk.story.dispatcher, words)
    assert read_own_words(session, datetime.now(UTC) - timedelta(hours=1)) == words
    assert read_own_words(session, datetime.now(UTC) - timedelta(hours=3))["co_out"] == OwnWords()
