"""The frame around every page of the office."""

from __future__ import annotations

import re

import pytest
from flask import Flask

from tests.factories import OfficeDeviceFactory, PersonFactory
from tests.office.conftest import Desk
from tests.sites.stories import Story

JOB_ID = "01a1f866-0d00-7549-b55f-40dee42e3ae1"
PAGES = {"/jobs": "Jobs", "/jobs/book": "Book a job", "/addresses": "Addresses", "/people": "People & phones"}


def menu_of(page: str) -> list[str]:
    nav = page.partition('<nav class="office-nav"')[2].partition("</nav>")[0]
    return [words.replace("&amp;", "&") for words in re.findall(r">([^<>]+)</a>", nav)]


@pytest.mark.parametrize("path", PAGES)
def test_the_menu_marks_where_one_is_and_says_who_is_signed_in(desk: Desk, path: str) -> None:
    page = desk.client.get(path).text
    marked = re.findall(r'aria-current="page">([^<]+)</a></li>', page.partition("</nav>")[0])
    assert [words.replace("&amp;", "&") for words in marked] == [PAGES[path]]
    assert "Dora Desk" in page.partition("</header>")[0]
    assert "Sign out" in page.partition("</header>")[0]


@pytest.mark.parametrize("role", ["dispatcher", "owner"])
def test_every_page_of_the_menu_opens_for_whoever_sees_it(app: Flask, story: Story, role: str) -> None:
    client = app.test_client()
    person = PersonFactory(role=role)
    with client.session_transaction() as cookie:
        cookie["person_id"], cookie["device_id"] = person.id, OfficeDeviceFactory(person_id=person.id).id
    page = client.get("/jobs").text
    paths = re.findall(r'<li(?: class="[a-z-]+")?><a href="([^"]+)"', page.partition("</nav>")[0])
    assert "/heaters-off" in paths
    assert [client.get(path).status_code for path in paths] == [200] * len(paths)


def test_a_technician_is_led_to_the_phones_page_and_to_no_closed_door(app: Flask, story: Story) -> None:
    client = app.test_client()
    with client.session_transaction() as cookie:
        cookie["person_id"] = story.technician.id
        cookie["device_id"] = OfficeDeviceFactory(person_id=story.technician.id).id
    answer = client.get("/jobs")
    assert answer.status_code == 403
    assert menu_of(answer.text) == ["The phone's page"]


@pytest.mark.parametrize("path", ["/nothing", "/addresses/not-an-id", "/jobs/01a00000-0000-7000-8000-000000000000"])
def test_a_page_that_is_not_there_still_has_the_menu(desk: Desk, path: str) -> None:
    answer = desk.client.get(path)
    assert answer.status_code == 404
    assert "Addresses" in menu_of(answer.text)


@pytest.mark.parametrize(
    ("path", "status", "words"),
    [
        ("/nothing", 404, "There is no such page here."),
        ("/jobs?show=bogus", 404, "There is no such list of jobs."),
        ("/sign-out", 405, "only takes a form"),
    ],
)
def test_what_cannot_be_shown_is_said_in_our_words_with_a_way_home(
    desk: Desk, path: str, status: int, words: str
) -> None:
    told = desk.client.get(path)
    assert (told.status_code, words in told.text) == (status, True)
    assert "URL" not in told.text
    assert '<a class="button" href="/">' in told.text


def test_a_page_that_is_not_there_tells_a_stranger_no_more(app: Flask) -> None:
    answer = app.test_client().get("/nothing")
    assert (answer.status_code, menu_of(answer.text)) == (404, [])


@pytest.mark.parametrize("path", PAGES)
def test_no_page_carries_styles_or_scripts_of_its_own(desk: Desk, path: str) -> None:
    site = desk.story.address()
    desk.story.whole_visit(site)
    for page in (path, f"/addresses/{site}"):
        text = desk.client.get(page).text
        assert " style=" not in text
        assert "<style" not in text
        assert not re.search(r"<script(?![^>]*src=)", text)
        assert not re.search(r"\son[a-z]+=", text)


def test_what_a_call_needs_stands_in_the_menu_and_the_rest_one_step_further(desk: Desk) -> None:
    nav = desk.client.get("/company").text.partition('<nav class="office-nav"')[2].partition("</nav>")[0]
    at_once, _, further = nav.partition("<details")
    assert re.findall(r">([^<>]+)</a>", at_once) == ["Jobs", "Book a job", "Heaters off", "Addresses"]
    assert 'aria-current="page">Company</a>' in further
    assert re.search(r"<summary data-here>More<[^>]+>: Company is open", further)
    elsewhere = desk.client.get("/jobs").text.partition("<details")[2].partition("</summary>")[0]
    assert "data-here" not in elsewhere
    assert "narrow-only" not in desk.client.get("/jobs").text


def test_an_owners_longer_menu_is_folded_on_a_phone_and_nowhere_else(app: Flask, story: Story) -> None:
    client = app.test_client()
    person = PersonFactory(role="owner")
    with client.session_transaction() as cookie:
        cookie["person_id"], cookie["device_id"] = person.id, OfficeDeviceFactory(person_id=person.id).id
    nav = client.get("/addresses").text.partition('<nav class="office-nav"')[2].partition("</nav>")[0]
    at_once, _, further = nav.partition("<details")
    assert re.findall(r'class="wide-only"><a[^>]*>([^<]+)<', at_once) == ["Heaters off", "Addresses"]
    assert re.findall(r'class="narrow-only"><a[^>]*>([^<]+)<', further) == ["Heaters off", "Addresses"]
    assert "<summary data-here-on-a-phone>More" in further


@pytest.mark.parametrize(
    ("came_from", "leads_to"),
    [
        ("http://localhost/jobs/book?site=1", "/sign-in?next=/jobs/book?site%3D1"),
        ("http://localhost/company", "/sign-in?next=/company"),
        (f"http://localhost/jobs/{JOB_ID}/correct", f"/sign-in?next=/jobs/{JOB_ID}"),
        ("http://elsewhere.example/company", None),
        ("http://localhost//elsewhere.example/x", None),
    ],
)
def test_a_form_sent_after_the_sign_in_ran_out_leads_back_to_its_own_page(
    app: Flask, came_from: str, leads_to: str | None
) -> None:
    answer = app.test_client().post("/company", data={"company_name": "x"}, headers={"Referer": came_from})
    assert answer.status_code in (400, 401)
    found = re.findall(r'href="(/sign-in\?next=[^"]+)"', answer.text)
    assert found == ([leads_to] if leads_to else [])
    assert ("data-not-saved" in answer.text) == bool(leads_to)
