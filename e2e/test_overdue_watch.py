"""The place that tells who is overdue below says when it does not know, and only as long as it does not."""

from e2e.company import Company
from e2e.desk import sign_in_at_the_desk
from e2e.phone import Desk
from e2e.server import Server

LOOKED_AT_AGAIN = "document.dispatchEvent(new Event('visibilitychange'))"


def test_without_an_answer_or_signed_out_the_place_says_that_it_does_not_know(
    desk: Desk, server: Server, company: Company
) -> None:
    page = desk.start()
    sign_in_at_the_desk(page, server.address, company.dispatcher)
    page.goto(f"{server.address}/jobs/book")
    doubt = page.locator(".overdue-doubt")
    assert doubt.count() == 0
    page.route("**/jobs/overdue", lambda route: route.abort())
    page.evaluate(LOOKED_AT_AGAIN)
    doubt.get_by_text("who is overdue below since then is not known here").wait_for()
    page.unroute("**/jobs/overdue")
    page.evaluate(LOOKED_AT_AGAIN)
    doubt.wait_for(state="detached")
    page.context.clear_cookies()
    page.evaluate(LOOKED_AT_AGAIN)
    doubt.get_by_text("You are signed out").wait_for()
    assert doubt.get_by_role("link", name="Sign in (new tab)").is_visible()
