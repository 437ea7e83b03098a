"""Gas is smelled where nothing is sent: the list, the job's page and the stop say so, also after a new start."""

from playwright.sync_api import expect

from e2e.company import Company
from e2e.phone import Chromium
from e2e.server import Server
from e2e.technician import asked, begin, book, sign_in, wait_until
from e2e.thumb import answer

NOT_SENT = "Not sent: the office does not know yet."


def test_a_stop_that_nobody_was_sent_is_said_first_after_a_new_start(
    company: Company, server: Server, phone: Chromium
) -> None:
    booked = book(company)
    page = phone.start()
    sign_in(page, company, company.technician, server.address)
    phone.context.set_offline(True)
    begin(page, booked.job_id)
    assert asked(page) == "smell_of_gas"
    answer(page, "smell_of_gas", "smell")
    expect(page.locator("[data-stop-tell]")).to_contain_text(NOT_SENT)
    wait_until(page, "document.querySelector('[data-undo]') !== null")

    phone.close()
    page = phone.start(offline=True)
    page.goto(f"{server.address}/phone/")
    card = page.locator(f'[data-job="{booked.job_id}"]')
    expect(card.locator("[data-danger]")).to_have_text("Stop. Smell of gas")
    expect(card).not_to_contain_text("go on")
    card.click()
    expect(page.locator("h1")).to_have_text("Stop")
    expect(page.locator("[data-stop-tell]")).to_contain_text(NOT_SENT)
    page.click("text=Back")
    expect(page.locator("[data-stop]")).to_have_text("Stop: what to do now")
