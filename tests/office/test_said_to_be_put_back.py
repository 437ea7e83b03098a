"""A word that a heater was put back, as an older phone took it, ends nothing: every page says that it was said."""

from __future__ import annotations

import re
from datetime import datetime, timedelta

import pytest

from tests.office.conftest import Desk
from tests.office.test_heaters_off import LEFT_OFF, heard, left_off, lists, two_left_off
from tests.office.test_told_where_it_is_decided import row_of
from tests.sites.stories import HELD
from webapp.jobsheet.telling_off import SHOWS_NOTHING
from webapp.models.ids import new_id
from webapp.office.put_back_heard import AGAINST
from webapp.sites.left_off_told import SAID_ONLY

OK = ("put_back", {"words": "ok"})


def said_at_a_second_visit(desk: Desk) -> tuple[str, str, str]:
    """As the first tap of a later visit; then a part is waited for."""
    site, first = left_off(desk)
    second = desk.story.book(site)
    desk.story.open(site, second)
    desk.story.walk(site, second, OK)
    desk.story.walk(site, second, ("job_closed", {"state": "waiting_part"}))
    return site, first, second


def test_the_register_keeps_it_and_says_who_said_so(desk: Desk) -> None:
    _site, _first, second = said_at_a_second_visit(desk)
    off, back = lists(desk)
    assert "1 stands off" in off
    assert "Said to be put back by Tom Torch, " in off
    assert ": “ok”, without what shows it safe." in off
    assert back == ""
    assert f"/jobs/{second}" not in desk.client.get("/heaters-off").text


@pytest.mark.parametrize("of_its_own", [True, False])
def test_job_page_address_page_and_sheet_do_not_call_it_back_in_service(desk: Desk, of_its_own: bool) -> None:
    if of_its_own:
        site, job = left_off(desk, "12 Mill Lane", 4, OK)
    else:
        site, _first, job = said_at_a_second_visit(desk)
    for page in (desk.read(f"/jobs/{job}"), desk.read(f"/addresses/{site}")):
        assert f"{SAID_ONLY}: “ok” · said by Tom Torch, " in page
        assert "Put back in service:" not in page
        assert "Was left off, is back in service" not in page
        assert "This one is back in service" not in page
    sheet = desk.read(f"/jobs/{job}/sheet")
    assert "Do not use it, light it or switch it on." in sheet
    assert "Said to be put back “ok” (" in sheet
    assert SHOWS_NOTHING in sheet
    assert "is back in service" not in sheet


def test_the_list_of_jobs_says_that_it_stands_off(desk: Desk) -> None:
    said_at_a_second_visit(desk)
    assert "a heater stands off here" in row_of(desk, "12 Mill Lane", "/jobs?show=closed")


def test_shown_safe_later_it_is_back_and_the_word_is_kept_in_the_record_alone(desk: Desk) -> None:
    site, first, second = said_at_a_second_visit(desk)
    desk.story.walk(site, second, HELD, ("put_back", {"words": "vent made new"}))
    off, back = lists(desk)
    assert "No heater stands off." in off
    assert "vent made new" in back
    assert "ok" not in back.split()
    for job in (first, second):
        assert "Said to be put back" not in desk.read(f"/jobs/{job}/sheet")
        assert "Do not use it" not in desk.read(f"/jobs/{job}/sheet")
    assert SAID_ONLY in desk.read(f"/jobs/{second}")


def test_the_office_may_note_what_somebody_else_put_right(desk: Desk) -> None:
    _site, first, _second = said_at_a_second_visit(desk)
    desk.send(f"/jobs/{first}", f"/jobs/{first}/put-back", **heard("new vent, hot run"))
    assert "No heater stands off." in lists(desk)[0]


@pytest.mark.parametrize("told", [{"ppm": ""}, {"ppm": "40"}, {"work": ""}])
def test_the_desks_own_word_ends_nothing_without_all_that_it_must_ask(desk: Desk, told: dict[str, str]) -> None:
    """The desk did not see the heater: a bare "ok" stood on the sheet as "is back in service"."""
    site, job = left_off(desk)
    answer = desk.send(f"/jobs/{job}", f"/jobs/{job}/put-back", **heard(**({"work": "new vent"} | told)))
    assert answer.location == f"/jobs/{job}"
    page = desk.read(f"/jobs/{job}")
    assert "Noted as said only: the heater stays left off. Missing: " in page
    assert f"{SAID_ONLY}: “Ada Pipe, licence 4711, " in page
    assert "1 stands off" in lists(desk)[0]
    assert "Was left off, is back in service" not in desk.read(f"/addresses/{site}")
    sheet = desk.read(f"/jobs/{job}/sheet")
    assert "Do not use it, light it or switch it on." in sheet
    assert SHOWS_NOTHING in sheet
    assert "is back in service" not in sheet


@pytest.mark.parametrize(
    ("typed", "refused"),
    [
        ({"back_who": "ok"}, "A name of two words, or a name with a licence number"),
        ({"back_when": "ok"}, "A day and an hour"),
        ({"back_when": "2999-01-01T08:00"}, "That is still to come."),
        ({"back_when": "2001-01-01T08:00"}, "That is before it was left off, "),
        ({"back_work": "ok"}, "More than one word"),
    ],
)
def test_what_tells_nothing_is_refused_and_all_that_was_typed_stays(
    desk: Desk, typed: dict[str, str], refused: str
) -> None:
    _site, job = left_off(desk)
    sent = heard("new vent") | typed
    answer = desk.send(f"/jobs/{job}", f"/jobs/{job}/put-back", **sent)
    assert answer.status_code == 422
    assert refused in answer.text
    for words in sent.values():
        assert f'value="{words}"' in answer.text
    assert "1 stands off" in lists(desk)[0]


def test_the_day_and_hour_are_kept_in_words_by_the_companys_clock(desk: Desk) -> None:
    _site, job = left_off(desk)
    at = datetime.now().astimezone() - timedelta(days=1)
    told = heard("new vent") | {"back_when": f"{at:%Y-%m-%dT%H:%M}"}
    desk.send(f"/jobs/{job}", f"/jobs/{job}/put-back", **told)
    assert f"Ada Pipe, licence 4711, {at:%a} {at.day} {at:%b %Y, %H:%M}: new vent" in lists(desk)[1]


def test_all_told_and_still_nothing_ended_is_not_called_back_in_service(desk: Desk) -> None:
    """Whoever keeps the desk was there too, and found it unsafe."""
    site, job = left_off(desk)
    body = {"check": "terminal", "outcome": "nest_or_debris", "could_not": None}
    desk.story.say(desk.story.desk, "check_answered", body, site_id=site, job_id=job)
    answer = desk.send(f"/jobs/{job}", f"/jobs/{job}/put-back", **heard("new vent"))
    assert answer.location == f"/jobs/{job}"
    assert f"Noted as said only: the heater stays left off. {AGAINST}" in desk.read(f"/jobs/{job}")
    assert "1 stands off" in lists(desk)[0]


def test_what_only_the_close_leaves_off_is_told_as_its_visit_noted_it(desk: Desk) -> None:
    """The entry was put back by its name while its visit went on, and that visit still closed as left off."""
    site = desk.story.address()
    job = desk.story.book(site)
    desk.story.open(site, job)
    entry = desk.story.walk(site, job, ("left_off", LEFT_OFF))[0]
    back = {"words": "ok", "left_off_ids": [entry["id"]]}
    desk.story.say(desk.story.desk, "put_back", back, site_id=site, job_id=job, schema=2)
    desk.story.walk(site, job, ("job_closed", {"state": "left_off"}))
    assert "cracked vent" in lists(desk)[0]
    later = desk.story.book(site)
    assert "cracked vent" in desk.read(f"/jobs/{later}/sheet")


def test_the_desk_types_a_number_or_nothing_for_the_co(desk: Desk) -> None:
    _site, job = left_off(desk)
    refused = desk.send(f"/jobs/{job}", f"/jobs/{job}/put-back", **heard("new vent", "fine"))
    assert refused.status_code == 422
    assert "Only the number that they read" in refused.text


def found_in_service(desk: Desk) -> tuple[str, str]:
    """A second visit reads clean air and finds the heater running; then a part is waited for."""
    site, _first = left_off(desk)
    second = desk.story.book(site)
    desk.story.open(site, second)
    desk.story.walk(site, second, ("reading_taken", {"check": None, "quantity": "co_room_ppm", "value": 0}))
    desk.story.walk(site, second, ("put_back", {"words": "Found in service: ok"}))
    desk.story.walk(site, second, ("job_closed", {"state": "waiting_part"}))
    return site, second


FOUND = "Said to be in service when Tom Torch came; shown by nobody to be safe"


def test_found_in_service_it_stays_in_the_register_louder_and_on_the_list_of_what_is_to_do(desk: Desk) -> None:
    site, second = found_in_service(desk)
    off, back = lists(desk)
    assert "1 stands off" in off
    assert FOUND in off
    assert "“ok”. It may be running unsafe: ring there." in off
    assert back == ""
    assert "found unsafe: a heater left off was found in service, shown by nobody to be safe" in desk.read("/jobs")
    for page in (desk.read(f"/jobs/{second}"), desk.read(f"/addresses/{site}")):
        assert f"{FOUND}: “ok” · said by Tom Torch" in page
        assert SAID_ONLY not in page, "the timeline has the same word"
    sheet = desk.read(f"/jobs/{second}/sheet")
    assert "was left off on another visit, and was found in service" in sheet
    assert f"{FOUND} “ok”" in sheet
    for contradiction in ("It stays off", "stands off", "is back in service", "Leave the tag"):
        assert contradiction not in sheet


def test_the_visit_that_left_it_off_says_first_that_it_was_found_in_service(desk: Desk) -> None:
    """A head that says "left off and tagged" reads as if it were off."""
    site, second = found_in_service(desk)
    first = next(
        one for one in re.findall("#job-([0-9a-f-]+)", desk.client.get(f"/addresses/{site}").text) if one != second
    )
    head = desk.read(f"/addresses/{site}").partition("What to know first")[2].partition("Logbook")[0]
    assert re.search("^ ?Left off, and found in service found in service .+: shown by nobody to be safe", head)
    page = desk.client.get(f"/jobs/{first}").text
    said = r'data-kind="bad"><strong>Left off, and found in service .+: shown by nobody to be safe\.</strong>'
    assert re.search(said, page)
    assert "This heater stands off" not in page
    assert re.search(said, desk.client.get(f"/addresses/{site}").text)
    assert "A heater left off at this address was found in service" in desk.read(f"/jobs/{second}")
    sheet = desk.read(f"/jobs/{first}/sheet")
    assert "Your heater was left off, and was found in service" in sheet
    assert ", on another visit" in sheet
    assert "It stays off" not in sheet


HEATER = new_id()
RUNNING, LISTED = "It may be running unsafe", "found in service, shown by nobody"


@pytest.mark.parametrize("same", [True, False])
def test_shut_off_again_by_another_visit_nobody_is_told_any_more_that_it_runs(desk: Desk, *, same: bool) -> None:
    """Unless both described one heater, and not the same one."""
    site, second = found_in_service(desk)
    third = desk.story.book(site)
    desk.story.open(site, third)
    for job, heater in ((second, HEATER), (third, HEATER if same else new_id())):
        desk.story.walk(site, job, ("appliance_described", {"appliance_id": heater, "kind": "power_vent"}))
    desk.story.walk(site, third, ("left_off", LEFT_OFF))
    assert (RUNNING not in lists(desk)[0]) is same
    assert (LISTED not in desk.read("/jobs")) is same
    assert ("Ring us at once" not in desk.read(f"/jobs/{second}/sheet")) is same
    page = desk.client.get(f"/addresses/{site}").text
    assert (f'data-kind="bad"><strong>{FOUND}' not in page) is same
    assert FOUND in page


def test_of_two_that_stand_off_the_one_that_was_found_and_put_back_is_on_no_list(desk: Desk) -> None:
    site, first, left, _right = two_left_off(desk)
    second = desk.story.book(site)
    desk.story.open(site, second)
    found = {"words": "Found in service: ok", "left_off_ids": [left]}
    desk.story.say(desk.story.hand, "put_back", found, site_id=site, job_id=second, schema=2)
    desk.story.walk(site, second, ("job_closed", {"state": "declined"}))
    assert RUNNING in lists(desk)[0]
    assert LISTED in desk.read("/jobs")
    desk.send(f"/jobs/{first}", f"/jobs/{first}/put-back", **heard("new vent"), left_off_ids=[left])
    assert "1 stands off" in lists(desk)[0]
    assert RUNNING not in lists(desk)[0]
    assert LISTED not in desk.read("/jobs")


def test_what_is_to_do_is_as_many_on_every_tab_and_says_the_danger_first(desk: Desk) -> None:
    found_in_service(desk)
    pages = [desk.read(f"/jobs?show={tab}") for tab in ("to_do", "closed", "all")]
    assert {one for page in pages for one in re.findall("To do [0-9]+", page)} == {
        "To do 2"
    }  # who left it off told nobody
    assert f"{LISTED} to be safe waiting for a part, nothing booked" in pages[0]


def test_found_in_service_and_shut_off_again_it_stands_off_as_before(desk: Desk) -> None:
    site, _first = left_off(desk)
    second = desk.story.book(site)
    desk.story.open(site, second)
    desk.story.walk(site, second, ("put_back", {"words": "Found in service: ok"}), ("left_off", LEFT_OFF))
    assert "It may be running unsafe" not in lists(desk)[0]
    assert "found in service, shown by nobody" not in desk.read("/jobs")
    assert "Do not use it, light it or switch it on." in desk.read(f"/jobs/{second}/sheet")
