"""Who is overdue below is told on every page of the office, first, with the number to ring."""

from __future__ import annotations

import re
from html import unescape

import pytest
from flask import Flask

from tests.factories import OfficeDeviceFactory
from tests.office.conftest import Desk
from tests.office.test_urgency import booked, due_out

PAGES = ("/jobs", "/jobs?show=closed", "/jobs/book", "/heaters-off", "/addresses", "/people", "/company", "/queues")


def alarm(page: str) -> str:
    """What stands between the header and the page itself."""
    piece = page.partition("</header>")[2].partition("<main")[0]
    return " ".join(re.sub(r"<[^>]+>", " ", piece).replace("\u00a0", " ").split())


@pytest.mark.parametrize("path", [*PAGES, "/nothing-here"])
def test_every_page_tells_who_is_overdue_where_since_when_and_which_number(desk: Desk, path: str) -> None:
    place = booked(desk, "1 Below Road")
    due_out(desk, place, -12)
    page = desk.client.get(path).text
    told = alarm(page)
    assert told.startswith(f"Overdue below: {desk.story.technician.name} , 1 Below Road , due out ")
    assert "overdue 12 min . Ring 555-0100" in told.replace(" min.", " min .")
    assert 'href="tel:555-0100"' in page
    assert f'href="/jobs/{place[1]}"' in page.partition("<main")[0]
    assert "<title>1 overdue: " in page


@pytest.mark.parametrize("path", PAGES)
def test_nobody_overdue_leaves_the_place_empty(desk: Desk, path: str) -> None:
    due_out(desk, booked(desk, "2 Later Road"), 20)
    page = desk.client.get(path).text
    assert alarm(page) == ""
    assert "overdue: " not in page.partition("</title>")[0]


def test_the_place_is_asked_for_again_by_itself(desk: Desk) -> None:
    """What the script fetches every half minute is the same piece, and nothing of a page around it."""
    assert "Overdue" not in desk.client.get("/jobs/overdue").text
    place = booked(desk, "1 Below Road")
    due_out(desk, place, -1)
    piece = desk.client.get("/jobs/overdue").text
    assert "<html" not in piece
    assert f'data-who="{place[1]}"' in piece


def test_without_a_number_the_page_says_that_there_is_none(desk: Desk) -> None:
    due_out(desk, booked(desk, "1 Below Road"), -5, ring=None)
    told = alarm(desk.client.get("/jobs/book").text)
    assert "overdue 5 min . No number to ring was given." in told.replace(" min.", " min .")


@pytest.mark.parametrize(("schema", "out", "waited_for"), [(2, False, True), (2, True, False), (1, None, False)])
def test_whoever_closed_the_job_at_the_heater_is_waited_for_until_they_are_out(
    desk: Desk, schema: int, out: bool | None, waited_for: bool
) -> None:
    site, job = booked(desk, "1 Below Road")
    due_out(desk, (site, job), -12)
    place = {"site_id": site, "job_id": job}
    body = {"state": "declined"} if out is None else {"state": "declined", "out": out}
    desk.story.say(desk.story.hand, "job_closed", body, schema=schema, **place)
    assert alarm(desk.client.get("/jobs").text).startswith("Overdue below:") is waited_for
    desk.story.say(desk.story.hand, "came_out", {}, **place)
    assert alarm(desk.client.get("/jobs").text) == ""


def test_whoever_rang_in_vain_stands_on_banner_and_list_and_the_next_one_does_not_begin_anew(desk: Desk) -> None:
    place = booked(desk, "1 Below Road")
    due_out(desk, place, -12)
    job = f"/jobs/{place[1]}"
    for times in ("Rang ", "Rang 2 times, last "):
        note = re.search(r'name="note_words" value="(Rang about Tom Torch, due out [^"]+)"', desk.client.get(job).text)
        assert note
        desk.send(job, f"{job}/note", note_words=unescape(note[1]))
        told = rf"{times}\d\d:\d\d, Dora Desk: nobody answered"
        assert re.search(told, alarm(desk.client.get("/addresses").text))
        assert re.search(told.replace("R", "r"), desk.read("/jobs"))
        assert re.search(told, desk.read(job))
    due_out(desk, place, -2)
    assert "nobody answered" not in alarm(desk.client.get("/addresses").text)


def test_whose_number_it_is_stands_beside_it(desk: Desk) -> None:
    place = booked(desk, "1 Below Road")
    due_out(desk, place, -12)
    assert "overdue 12 min; ring 555-0100 (given by whoever went below)" in desk.read(f"/jobs/{place[1]}")
    assert "Ring 555-0100 (given by whoever went below)" in alarm(desk.client.get("/jobs").text)
    assert "ring 555-0100 (given by whoever went below)" in desk.read("/jobs")


def test_more_than_fit_are_counted(desk: Desk) -> None:
    for number in range(7):
        due_out(desk, booked(desk, f"{number} Below Road"), -5 - number)
    page = desk.client.get("/addresses").text
    assert "<title>7 overdue: " in page
    assert alarm(page).count("Overdue below:") == 5
    assert alarm(page).startswith(f"Overdue below: {desk.story.technician.name} , 6 Below Road")
    assert "And 2 more" in alarm(page)


def test_a_technician_at_the_desk_is_told_nothing_of_the_office(app: Flask, desk: Desk) -> None:
    due_out(desk, booked(desk, "1 Below Road"), -12)
    client = app.test_client()
    with client.session_transaction() as cookie:
        cookie["person_id"] = desk.story.technician.id
        cookie["device_id"] = OfficeDeviceFactory(person_id=desk.story.technician.id).id
    assert "1 Below Road" not in client.get("/jobs").text
    assert client.get("/jobs/overdue").status_code == 403


def test_one_who_came_out_is_told_no_more(desk: Desk) -> None:
    place = booked(desk, "1 Below Road")
    due_out(desk, place, -12)
    desk.story.walk(*place, ("came_out", {"words": None}))
    assert alarm(desk.client.get("/jobs/book").text) == ""
