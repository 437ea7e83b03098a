"""Two technicians at one address, on two jobs, then on one: no phone goes on by what only the other one knows."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, Playwright, expect

from e2e.company import Company, opened
from e2e.phone import PHONE_SIZE, Chromium
from e2e.server import Server
from e2e.technician import asked, begin, book, sign_in, type_figure, wait_until
from e2e.thumb import answer
from webapp.models import Person
from webapp.office.moving import Sending, move_job

NEXT_ROUND = "dispatchEvent(new Event('online'))"
SENT = "document.querySelector('.queue-line')?.dataset.state === 'sent'"


@pytest.fixture
def other_phone(playwright: Playwright, chromium_program: str, tmp_path: Path) -> Iterator[Chromium]:
    made = Chromium(playwright, chromium_program, tmp_path / "other", **PHONE_SIZE)
    yield made
    made.close()


ALL_WELL = {"smell_of_gas": "no_smell", "symptoms": "nobody", "co_meter": "on", "scene": "safe"}


def walk_to_room_co(page: Page) -> None:
    """Answer the gate before it as it should be."""
    while (check := asked(page)) in ALL_WELL:
        answer(page, check, ALL_WELL[check])


def hand_over(company: Company, job_id: str) -> None:
    """The office sends the first technician to the other one's job."""
    with opened(company.data) as database, database.writing() as session:
        move_job(session, session.get_one(Person, company.dispatcher.id), job_id, Sending(company.technician.id))


def read_the_room(page: Page, ppm: str) -> None:
    page.click("[data-wanted]")
    type_figure(page, ppm)
    answer(page, "co_room", "acceptable")


def test_ninety_ppm_of_one_stop_the_other_until_they_read_the_room_and_the_first_until_they_hear_of_it(
    company: Company, server: Server, phone: Chromium, other_phone: Chromium
) -> None:
    ours = book(company)
    theirs = book(company, site_id=ours.site_id, worker=company.other_technician)
    page = phone.start()
    sign_in(page, company, company.technician, server.address)

    there = other_phone.start()
    sign_in(there, company, company.other_technician, server.address)
    begin(there, theirs.job_id)
    walk_to_room_co(there)
    there.click("[data-wanted]")
    type_figure(there, "90")  # kept with its last key: nobody stays to answer
    expect(there.locator("h1")).to_have_text("Stop")
    wait_until(there, SENT, seconds=30)

    page.evaluate(NEXT_ROUND)
    expect(page.locator("[data-danger]")).to_contain_text("Another visit: stop. CO in the room", timeout=30_000)
    page.click(f'[data-job="{ours.job_id}"]')
    found = "Ugo Brandt: CO in the room: Leave now, 90 ppm. It has not been put right."
    expect(page.locator("[data-found-elsewhere]")).to_contain_text(found)
    page.click("[data-start]")
    expect(page.locator("h1")).to_have_text("Stop")
    expect(page.locator("main")).to_contain_text(found)
    page.click("text=It is safe now: look again")
    expect(page.locator("[data-elsewhere]")).to_contain_text("CO in the room: Leave now, 90 ppm")
    read_the_room(page, "3")
    expect(page.locator("[data-elsewhere]")).to_have_count(0)
    assert asked(page) == "smell_of_gas"
    page.evaluate("location.hash = '#/jobs'")
    expect(page.locator("[data-danger]")).to_have_count(0)

    hand_over(company, theirs.job_id)
    page.evaluate(NEXT_ROUND)
    page.click(f'[data-job="{theirs.job_id}"]', timeout=30_000)
    page.click("[data-arrive]")
    walk_to_room_co(page)
    read_the_room(page, "2")
    expect(page.locator("[data-check]")).not_to_have_attribute("data-check", "co_room")  # who had heard of it goes on
    wait_until(page, SENT, seconds=30)

    there.evaluate(NEXT_ROUND)
    expect(there.locator("[data-lifted-box]")).to_contain_text(
        "Tess Varley answered “Acceptable, 2 ppm”", timeout=30_000
    )
    expect(there.locator("h1")).to_have_text("Stop")
    there.evaluate("location.hash = '#/jobs'")
    expect(there.locator("[data-danger]")).to_contain_text("Stop. CO in the room: Leave now, 90 ppm")
    there.click(f'[data-job="{theirs.job_id}"]')
    expect(there.locator("[data-lifted]")).to_contain_text("You answered “Leave now, 90 ppm”")
    expect(there.locator("[data-handed-to]")).to_contain_text("Handed over to Tess Varley")
    there.click("[data-stop]")
    there.click("[data-read]")
    expect(there.locator("[data-lifted-box]")).to_have_count(0)
    there.evaluate("location.hash = '#/jobs'")
    expect(there.locator("[data-danger]")).to_have_count(0)
