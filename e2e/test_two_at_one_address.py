"""Two technicians, two jobs, one address: what one finds and sends is on the other one's phone with its next round."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page, Playwright, expect

from e2e.company import Company
from e2e.phone import PHONE_SIZE, Chromium
from e2e.server import Server
from e2e.technician import asked, begin, book, sign_in, type_figure, wait_until
from e2e.thumb import answer

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


def test_ninety_ppm_found_by_one_stops_the_other_until_the_room_is_read_again(
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
    page.click("[data-wanted]")
    type_figure(page, "3")
    answer(page, "co_room", "acceptable")
    expect(page.locator("[data-elsewhere]")).to_have_count(0)
    assert asked(page) == "smell_of_gas"
    page.evaluate("location.hash = '#/jobs'")
    expect(page.locator("[data-danger]")).to_have_count(0)
