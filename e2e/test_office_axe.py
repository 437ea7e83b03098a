"""Every page of the office, in both themes and at both sizes: nothing that axe finds, nothing that scrolls sideways."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page
from sqlalchemy.orm import Session

from e2e.axe import axe_violations
from e2e.company import Company, Worker, opened
from e2e.phone import DESK_SIZE, PHONE_SIZE, Chromium
from e2e.server import Server
from tests import factories
from tests.sites.stories import Story
from webapp.models.ids import new_id

LONG_STREET = "1284 Upper Konstantinopolitanischerweg 14B"
PHOTO = {"sha256": "ab" * 32, "length_bytes": 9, "media_type": "image/jpeg", "width_px": 1, "height_px": 1}


def sign_in_at_the_desk(page: Page, address: str, worker: Worker) -> None:
    page.goto(f"{address}/sign-in")
    page.fill("#login", worker.login)
    page.fill("#password", worker.password)
    page.click("main button[type=submit]")
    page.wait_for_url("**/jobs")


@pytest.fixture
def told(company: Company) -> dict[str, str]:
    """An address where much happened: ids of it, of a closed job and of one that waits."""
    with opened(company.data) as database, database.writing() as session:
        _use(session)
        story = Story(session)
        site = story.address(LONG_STREET, phone="555-0142", customer_name="Mrs Vale", access_words="side gate")
        job = story.whole_visit(site, passed=False)
        other = story.another_technician("Una Under")
        seated = {"check": "tube", "outcome": "seated", "could_not": None}
        story.say(other, "check_answered", seated, site_id=site, job_id=job)
        wrong = story.walk(site, job, ("note", {"words": "wrong door"}), ("photo_taken", {**PHOTO, "check": "tube"}))[0]
        story.say(story.hand, "withdrawn", {}, site_id=site, job_id=job, replaces=[wrong["id"]])
        agreed = {
            "told_words": "cracked vent",
            "scope_words": "new vent",
            "decision": "declined",
            "name_words": "Łukasz Größenwörter",
            "signature_path": "M10 20L300 180L590 40",
        }
        story.walk(site, job, ("work_agreed", agreed))
        left = {"what_words": "heater", "why_words": "cracked vent", "told_words": "Mrs Vale"}
        story.walk(site, job, ("left_off", left), ("hummed", {}))
        story.days_later(12)
        for _ in range(2):
            story.whole_visit(site)  # three readings of one quantity: a drawing beside them
        waiting = story.book(site)
    return {"site": site, "job": job, "waiting": waiting}


def _use(session: Session) -> None:
    for name in dir(factories):
        if name.endswith("Factory"):
            getattr(factories, name)._meta.sqlalchemy_session = session


@pytest.fixture
def queue_file(tmp_path: Path, company: Company, told: dict[str, str]) -> Path:
    """One entry that cannot be read, and one that will be kept apart: it is of a person who does not send it."""
    maker = factories.EventMaker(company.technician.id, new_id())
    stranger = maker.make("note", {"words": "from the cellar"}, site_id=told["site"], job_id=told["job"])
    content = {"format": "undercroft-queue", "version": 1, "events": [{"kind": "note"}, stranger]}
    path = tmp_path / "queue.json"
    path.write_text(json.dumps(content), "utf-8")
    return path


def every_page(page: Page, address: str, told: dict[str, str], queue_file: Path, look: Callable[[str], None]) -> None:
    """Go to every page and every state of it that looks different."""
    for path in (
        "/jobs",
        "/jobs?show=open",
        "/jobs?show=all",
        "/addresses",
        "/addresses?q=nothing+like+it",
        f"/addresses/{told['site']}",
        f"/jobs/{told['job']}",
        f"/jobs/{told['waiting']}",
        f"/jobs/{told['job']}/sheet",
        f"/jobs/{told['waiting']}/sheet",
        "/jobs/book",
        f"/jobs/book?site={told['site']}",
        "/queues",
        "/people",
        f"/jobs/{new_id()}",
    ):
        page.goto(f"{address}{path}")
        page.evaluate("for (const folded of document.querySelectorAll('details')) folded.open = true")
        look(path)
    page.goto(f"{address}/jobs/book")
    page.fill("#phone", "555-0142")
    page.wait_for_selector("#matches .choice")
    look("/jobs/book with what is known")
    page.click("button[data-lamp]")
    page.wait_for_selector("#faults")
    look("/jobs/book with faults")
    page.goto(f"{address}/queues")
    page.set_input_files("#queue_file", queue_file)
    page.click("text=Read it in")
    page.wait_for_selector("[role=status]")
    look("/queues with results")
    page.goto(f"{address}/people")
    page.click("main form.actions button")
    page.wait_for_selector("#enrol-code")
    look("the code for a phone")


@pytest.mark.slow
@pytest.mark.parametrize("theme", ["dark", "light"])
@pytest.mark.parametrize("size", [DESK_SIZE, PHONE_SIZE], ids=["desk", "phone"])
def test_axe_finds_nothing_on_any_page_of_the_office_and_none_scrolls_sideways(
    server: Server,
    company: Company,
    told: dict[str, str],
    queue_file: Path,
    new_chromium: Callable[..., Chromium],
    size: dict[str, object],
    theme: str,
) -> None:
    page = new_chromium("desk", **size, color_scheme=theme).start()
    found: dict[str, object] = {}

    def look(name: str) -> None:
        wide = page.evaluate("document.documentElement.scrollWidth > document.documentElement.clientWidth")
        problems = axe_violations(page) + (["scrolls sideways"] if wide else [])
        if problems:
            found[name] = problems

    page.goto(f"{server.address}/sign-in")
    look("/sign-in")
    sign_in_at_the_desk(page, server.address, company.dispatcher)
    every_page(page, server.address, told, queue_file, look)
    assert found == {}


def test_a_dispatcher_books_with_the_keyboard_alone(server: Server, company: Company, desk: Chromium) -> None:
    page = desk.start()
    sign_in_at_the_desk(page, server.address, company.dispatcher)
    page.goto(f"{server.address}/jobs/book")
    assert page.evaluate("document.activeElement.id") == "street"
    page.keyboard.type("9 Lock Street")
    page.keyboard.press("Tab")
    page.keyboard.type("Harrowby")
    page.keyboard.press("Tab")
    page.keyboard.type("555-0188")
    page.wait_for_selector("text=it will be a new address")
    while page.evaluate("document.activeElement.id") != "complaint":
        page.keyboard.press("Tab")
    page.keyboard.type("No hot")
    page.keyboard.press("Tab")
    page.keyboard.type("cold since six")
    page.keyboard.press("Tab")
    page.keyboard.type(company.technician.name)
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_selector("text=Booked.")
    assert page.inner_text("h1") == "9 Lock Street"
    assert "cold since six" in page.inner_text("main")


def test_the_first_stop_of_the_keyboard_is_the_way_past_the_menu(
    server: Server, company: Company, desk: Chromium
) -> None:
    page = desk.start()
    sign_in_at_the_desk(page, server.address, company.dispatcher)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the page"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"


def test_looking_for_an_address_leaves_what_is_chosen_alone(
    server: Server, company: Company, told: dict[str, str], desk: Chromium
) -> None:
    page = desk.start()
    sign_in_at_the_desk(page, server.address, company.dispatcher)
    page.goto(f"{server.address}/jobs/book")
    page.fill("#phone", "555-0142")
    page.check(f"#site-{told['site']}")
    page.fill("#street", "1284 upper")
    page.wait_for_timeout(600)
    assert page.is_checked(f"#site-{told['site']}")
    assert "sensing tube off its port" in page.inner_text("#matches")
