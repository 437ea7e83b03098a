"""Every screen, one after the other, on the demo's content: for the pictures and for what must hold on all of them."""

import json
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path

from playwright.sync_api import Page

from e2e.company import opened
from e2e.technician import answer_anyhow, wait_until
from webapp.invent.demo import open_demo
from webapp.invent.scenario import DEMO_PEOPLE, DemoPerson
from webapp.people.queries import get_person_by_login
from webapp.people.service import make_enrol_code

MOST_ANSWERS = 90
CODE_MINUTES = 60
IMPORT_EXAMPLE = Path(__file__).parents[1] / "fixtures" / "import_example.csv"
# What tells one step of the walk from the next, and that the engine has said what the next one is.
STANDS = """[document.querySelector("[data-check]")?.dataset.check, document.querySelector("h1")?.innerText,
  document.querySelectorAll(".figure strong").length].join()"""
SETTLED = "[data-check], .pad, .dock a"
READY = "document.querySelector('[data-ready]')?.dataset.ready === 'true'"


@dataclass(frozen=True)
class Demo:
    """The store of the demo, and who walks through it."""

    data: Path
    technician: DemoPerson
    dispatcher: DemoPerson
    owner: DemoPerson

    def enrol_code(self) -> str:
        """Return a fresh code for the technician's phone."""
        with opened(self.data) as database, database.writing() as session:
            person = get_person_by_login(session, self.technician.login)
            if person is None:
                raise RuntimeError("the demo has no such technician")
            return make_enrol_code(session, person.id, minutes=CODE_MINUTES)


def make_demo(data: Path) -> Demo:
    """Make the demo's store."""
    open_demo(data, datetime.now(UTC), tell=lambda _words: None)
    first = {
        role: next(who for who in DEMO_PEOPLE if who.role == role) for role in ("technician", "dispatcher", "owner")
    }
    return Demo(data=data, **first)


def phone_tour(page: Page, demo: Demo, address: str) -> Iterator[str]:
    """Go through the phone's screens; at each the page stands still and its name is given."""
    page.goto(f"{address}/phone/")
    page.wait_for_selector("#code")
    yield "sign-in"
    page.fill("#code", demo.enrol_code())
    page.click("form.sign-in button")
    wait_until(page, READY, seconds=40)
    yield "jobs"
    card = page.locator("[data-job]").filter(has=page.locator(".before")).filter(has_not=page.locator(".tag")).first
    job = card.get_attribute("data-job") or ""
    card.click()
    page.wait_for_selector("[data-start]")
    yield "job"
    page.click("[data-start]")
    page.wait_for_selector("[data-check]")
    yield "gate"
    yield from _stop(page)
    yield from _walk(page)
    yield from _beside_the_walk(page, job)
    yield from _finish(page, job)
    _go(page, "#/phone")
    yield "phone"
    _go(page, "#/no-such-page")
    yield "no-such-page"


def _stop(page: Page) -> Iterator[str]:
    """The answer that ends the walk, and its undoing."""
    page.locator("section.dock [data-answer]").last.click()
    page.wait_for_selector(".saved")
    yield "stop"
    page.click("[data-undo]")
    page.click("[data-take-it-back]")
    page.wait_for_selector("section.dock [data-answer]")


def _walk(page: Page) -> Iterator[str]:
    seen: set[str] = set()
    for _ in range(MOST_ANSWERS):
        kind = _kind_of_screen(page)
        if kind is None:
            break
        if kind not in seen:
            seen.add(kind)
            yield f"walk-{kind}"
            yield from _more_of(page, kind)
        before = page.evaluate(STANDS)
        answer_anyhow(page)
        wait_until(page, f"{STANDS} !== {json.dumps(before)}")
        page.wait_for_selector(SETTLED)
    yield "walk-ended"


def _kind_of_screen(page: Page) -> str | None:
    if page.locator(".pad").count():
        return "number-pad"
    if not page.locator("[data-check]").count():
        return None
    if page.locator('[data-answer="flashes"]').count():
        return "code"
    return "figures" if page.locator(".figure").count() else "question"


def _more_of(page: Page, kind: str) -> Iterator[str]:
    """What opens on top of a check: the reasons for not checking, the pad for a figure."""
    if kind == "question":
        page.click("[data-could-not]")
        page.wait_for_selector('[data-answer="no_access"]')
        yield "could-not-check"
        page.get_by_text("Back to the answers").click()
    if kind == "figures":
        page.locator(".figure").first.click()
        page.click('[data-key="3"]')
        yield "number-pad"
        page.click("[data-pad-cancel]")


def _beside_the_walk(page: Page, job: str) -> Iterator[str]:
    visit = ("below", "kit", "heater", "chain", "agreed", "office-told", "put-back", "words")
    for screen in ("checks", "suspects", "hunch", "record", "note", "left-off", *visit):
        _go(page, f"#/job/{job}/{screen}")
        yield screen


def _finish(page: Page, job: str) -> Iterator[str]:
    _go(page, f"#/job/{job}/cause")
    yield "cause"
    page.locator("[data-answer]").first.click()
    page.wait_for_selector('main[data-screen="repair"]')
    yield "repair"
    page.locator("[data-answer]").first.click()
    page.wait_for_selector('a[href$="/proof"]')
    page.click('.dock a[href$="/proof"]')
    page.wait_for_selector('main[data-screen="proof"] ol.how')  # what the rules ask for comes after the screen
    yield "proof"
    _go(page, f"#/job/{job}/close")
    yield "close"


def _go(page: Page, fragment: str) -> None:
    page.evaluate("(to) => { location.hash = to; }", fragment)
    page.wait_for_timeout(200)


def office_tour(page: Page, demo: Demo, address: str) -> Iterator[str]:
    """Go through the office's pages as the dispatcher."""
    page.goto(f"{address}/sign-in")
    yield "sign-in"
    page.fill("[name=login]", demo.dispatcher.login)
    page.fill("[name=password]", demo.dispatcher.password)
    page.click("main button")
    page.wait_for_url("**/jobs*")
    yield "jobs"
    page.locator('[data-mark="returning"]').first.click()
    yield "address"
    page.goto(f"{address}/jobs?show=closed")
    yield "jobs-closed"
    page.locator("main .row-link").first.click()
    yield "job"
    page.click('a[href$="/sheet"]')
    page.wait_for_selector(".sheet")
    yield "job-sheet"
    for path, name in (
        ("/jobs/book", "book"),
        ("/addresses", "addresses"),
        ("/heaters-off", "heaters-off"),
        ("/addresses/in-doubt", "addresses-in-doubt"),
    ):
        page.goto(address + path)
        yield name
    page.goto(f"{address}/jobs/book")
    page.locator("main form button").last.click()
    yield "book-refused"
    page.goto(f"{address}/jobs/book")
    page.check("#smell_of_gas-yes")
    yield "book-alarm"
    for path, name in (
        ("/people", "people"),
        ("/company", "company-read"),
        ("/models", "models"),
        ("/models/typed-on-site", "typed-on-site"),
        ("/queues", "queues"),
        ("/no-such-page", "no-such-page"),
    ):
        page.goto(address + path)
        yield name
    page.goto(f"{address}/models")
    page.locator("main .row-link").first.click()
    yield "model-sheet"
    page.locator('main a[href$="/change"]').click()
    page.fill("#maker_words", "")
    page.locator("main form button[data-lamp]").click()
    yield "model-sheet-refused"
    page.goto(f"{address}/addresses/import")
    yield "import"
    page.set_input_files("[name=csv_file]", IMPORT_EXAMPLE)
    page.locator("main form button").last.click()
    page.wait_for_selector("[name=kept_name]", state="attached")
    yield "import-dry-run"
    page.goto(f"{address}/people")
    page.locator('form[action$="/enrol-code"] button').first.click()
    yield "enrol-code"


def owner_tour(page: Page, demo: Demo, address: str) -> Iterator[str]:
    """Go through the pages that only the owner may open."""
    page.goto(f"{address}/sign-in")
    page.fill("[name=login]", demo.owner.login)
    page.fill("[name=password]", demo.owner.password)
    page.click("main button")
    page.wait_for_url("**/jobs*")
    page.goto(f"{address}/company")
    yield "company"
    page.goto(f"{address}/people/new")
    page.locator("main form button").last.click()
    yield "person-refused"
    page.goto(f"{address}/people")
    page.locator("main .row-link").first.click()
    yield "person"
    page.goto(f"{address}/held")
    yield "first-page"
    page.evaluate("for (const folded of document.querySelectorAll('details')) folded.open = true")
    yield "first-page-unfolded"
    page.locator("main .figure-link").first.click()
    page.wait_for_selector("main .table")
    yield "jobs-of-a-figure"
