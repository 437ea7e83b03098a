"""A sign-in that runs out in the middle of a call costs nothing that was typed."""

from e2e.company import Company
from e2e.desk import ask_only_for_pages, sign_in_at_the_desk
from e2e.phone import Desk
from e2e.server import Server


def test_what_was_typed_comes_back_after_signing_in_again(desk: Desk, server: Server, company: Company) -> None:
    page = desk.start()
    ask_only_for_pages(page)
    sign_in_at_the_desk(page, server.address, company.dispatcher)
    page.goto(f"{server.address}/jobs/book")
    typed = {"street": "78 Tryout Lane", "town": "Brae", "complaint_words": "it hums and it is cold"}
    for name, words in typed.items():
        page.fill(f"#{name}", words)
    page.select_option("#complaint", index=1)
    page.select_option("#technician_id", index=1)
    page.check("#co_alarm-unsure")
    page.check("#lately-moved")
    page.context.clear_cookies()
    page.click("button[data-lamp]")
    page.get_by_text("Sign in and go back to it").click()
    page.fill("#login", company.dispatcher.login)
    page.fill("#password", company.dispatcher.password)
    page.click("main button[type=submit]")
    page.wait_for_selector("#brought-back:not([hidden])")
    assert {name: page.input_value(f"#{name}") for name in typed} == typed
    assert page.is_checked("#co_alarm-unsure")
    assert page.is_checked("#lately-moved")
    assert not page.is_checked("#smell_of_gas-yes")
    page.click("button[data-lamp]")
    page.wait_for_url("**/jobs/0*")
    page.goto(f"{server.address}/jobs/book")
    assert page.input_value("#street") == ""
    assert page.locator("#brought-back").is_hidden()


def test_somebody_else_at_the_same_desk_is_not_shown_it(desk: Desk, server: Server, company: Company) -> None:
    page = desk.start()
    sign_in_at_the_desk(page, server.address, company.dispatcher)
    page.goto(f"{server.address}/jobs/book")
    page.fill("#street", "78 Tryout Lane")
    page.click(".office-person button")
    sign_in_at_the_desk(page, server.address, company.owner)
    page.goto(f"{server.address}/jobs/book")
    assert page.input_value("#street") == ""
