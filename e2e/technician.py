"""What a technician and a dispatcher do, as calls: used by the tests, the benchmarks and the screenshots."""

import time
from dataclasses import dataclass
from typing import Any

from playwright.sync_api import Page

from e2e.company import Company, Worker, opened
from webapp.models import Person
from webapp.models.ids import new_id
from webapp.office.booking import Booking, book_job

NOTHING_ASKED: dict[str, Any] = dict.fromkeys(("smell_of_gas", "co_alarm", "unwell", "water_leak"), "not_asked") | {
    "lately": [],
    "said": [],
}
READY_SECONDS = 30
POLL_MS = 20


@dataclass(frozen=True)
class Booked:
    """A booked job, and where."""

    job_id: str
    site_id: str


def book(
    company: Company, *, street: str = "14 Kiln Row", site_id: str | None = None, worker: Worker | None = None
) -> Booked:
    """Book a job through the office's service, for the technician unless another one is named."""
    booked = Booked(job_id=new_id(), site_id=site_id or new_id())
    booking = Booking(
        job_id=booked.job_id,
        site_id=booked.site_id,
        is_new=site_id is None,
        address={
            "street": street,
            "town": "Marrow Ford",
            "postcode": "",
            "customer_name": "A. Pell",
            "phone": "555-0142",
            "access_words": "Cellar door at the back",
        },
        procedure_name="power_vent",
        complaint="no_hot_water",
        complaint_words="No hot water since the morning, and the fan runs on and on",
        technician_id=(worker or company.technician).id,
        call=NOTHING_ASKED,
    )
    with opened(company.data) as database, database.writing() as session:
        dispatcher = session.get_one(Person, company.dispatcher.id)
        book_job(session, dispatcher, booking)
    return booked


def sign_in(page: Page, company: Company, worker: Worker, address: str) -> None:
    """Open the shell, type the code, and wait until the phone says that it is ready for the basement."""
    page.goto(f"{address}/phone/")
    page.fill("#code", company.enrol_code(worker))
    page.click("form.sign-in button")
    page.wait_for_selector('[data-ready="true"]', timeout=READY_SECONDS * 1000, state="attached")


def begin(page: Page, job_id: str) -> None:
    """Open a job from the list and start its walk."""
    page.click(f'[data-job="{job_id}"]')
    page.click("[data-start]")
    page.wait_for_selector("[data-check]")


def asked(page: Page) -> str:
    """Return the id of the check that is on the screen."""
    return page.get_attribute("[data-check]", "data-check") or ""


def answer_anyhow(page: Page) -> None:
    """Give whatever stands on the screen its plainest answer: the first one, a figure, the code read as dark."""
    if page.locator("[data-pad-done]").count():
        type_figure(page, "3")
    elif page.locator("[data-wanted]").count():
        page.click("[data-wanted]")
        type_figure(page, "3")
    elif page.get_by_text("Answer without counting").count():
        page.get_by_text("Answer without counting").click()
    elif page.locator('[data-answer="dark"]').count():
        page.click('[data-answer="dark"]')
    else:
        page.locator("section.dock [data-answer]").first.click()


def type_figure(page: Page, figure: str) -> None:
    """Type a figure on the shell's own pad, key by key."""
    for key in figure:
        page.click(f'[data-key="{key}"]')
    page.click("[data-pad-done]")


def wait_until(page: Page, expression: str, seconds: float = 15) -> None:
    """Wait for something in the page; asked through the debugger, since the page's policy forbids evaluated text."""
    until = time.monotonic() + seconds
    while not page.evaluate(expression):
        if time.monotonic() > until:
            raise TimeoutError(f"not within {seconds:.0f} s: {expression}")
        page.wait_for_timeout(POLL_MS)
