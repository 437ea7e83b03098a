"""One very long word in a list pushes no column out of sight."""

from e2e.axe import axe_violations, sticks_out
from e2e.company import Company
from e2e.desk import sign_in_at_the_desk
from e2e.phone import Desk
from e2e.server import Server

LONG = "Warmwasserspeichersicherheitsventil" * 3
HIDDEN = "(frame => frame.scrollWidth - frame.clientWidth)(document.querySelector('.table-frame'))"


def test_a_very_long_street_name_and_complaint_leave_the_other_columns_in_sight(
    desk: Desk, server: Server, company: Company
) -> None:
    page = desk.start()
    page.set_viewport_size({"width": 1280, "height": 800})
    sign_in_at_the_desk(page, server.address, company.dispatcher)
    page.goto(f"{server.address}/jobs/book")
    for name in ("street", "town", "customer_name", "complaint_words"):
        page.fill(f"#{name}", LONG)
    page.select_option("#complaint", index=1)
    page.select_option("#technician_id", index=1)
    page.click("button[data-lamp]")
    page.wait_for_url("**/jobs/0*")
    for path in ("/jobs", "/addresses"):
        page.goto(f"{server.address}{path}")
        assert page.get_by_text(LONG).first.is_visible()
        assert page.evaluate(HIDDEN) == 0, path


def test_a_very_long_word_in_a_call_without_an_address_leaves_the_page_as_wide_as_a_phone(
    desk: Desk, server: Server, company: Company
) -> None:
    page = desk.start()
    page.set_viewport_size({"width": 390, "height": 844})
    sign_in_at_the_desk(page, server.address, company.dispatcher)
    page.goto(f"{server.address}/jobs/book")
    page.fill("#phone", "555-0142")
    page.fill("#complaint_words", LONG)
    page.select_option("#complaint", index=1)
    page.check("#site-later")
    page.click("button[data-lamp]")
    page.wait_for_url("**/jobs/0*")
    for path in ("/jobs", "/addresses/in-doubt"):
        page.goto(f"{server.address}{path}")
        assert page.get_by_text(LONG).first.is_visible()
        assert sticks_out(page) == [], path
        assert axe_violations(page) == [], path
