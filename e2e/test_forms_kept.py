"""Whatever form was typed into when a sign-in ran out: signing in again brings it back, to be sent with one press."""

from e2e.company import Company
from e2e.desk import ask_only_for_pages, sign_in_at_the_desk
from e2e.phone import Desk
from e2e.server import Server


def test_a_settings_form_comes_back_after_signing_in_again(desk: Desk, server: Server, company: Company) -> None:
    page = desk.start()
    ask_only_for_pages(page)
    sign_in_at_the_desk(page, server.address, company.owner)
    page.goto(f"{server.address}/company")
    page.fill("#own_gas_out_below", "Gas company: 555-0111.")
    page.context.clear_cookies()
    page.click("main button[data-lamp]")
    page.get_by_text("Sign in and go back to it").click()
    page.fill("#login", company.owner.login)
    page.fill("#password", company.owner.password)
    page.click("main button[type=submit]")
    page.get_by_text("Not saved yet: what you typed is back.").wait_for()
    assert page.input_value("#own_gas_out_below") == "Gas company: 555-0111."
    page.click("main button[data-lamp]")
    page.get_by_text("Saved.").wait_for()
    assert page.input_value("#own_gas_out_below") == "Gas company: 555-0111."
    assert page.get_by_text("Not saved yet").count() == 0


def test_somebody_else_who_signs_in_there_is_not_shown_it(desk: Desk, server: Server, company: Company) -> None:
    page = desk.start()
    ask_only_for_pages(page)
    sign_in_at_the_desk(page, server.address, company.owner)
    page.goto(f"{server.address}/company")
    page.fill("#own_co_out_above", "Only mine.")
    page.context.clear_cookies()
    page.click("main button[data-lamp]")
    page.get_by_text("Sign in and go back to it").click()
    page.fill("#login", company.dispatcher.login)
    page.fill("#password", company.dispatcher.password)
    page.click("main button[type=submit]")
    page.wait_for_url("**/company")
    assert "Only mine." not in page.content()
    assert "Only mine." not in page.evaluate("JSON.stringify(sessionStorage)")
