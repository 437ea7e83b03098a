"""Every page of the office, in both themes and at both sizes: nothing that axe finds, nothing that scrolls sideways."""

import json
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page
from sqlalchemy.orm import Session

from e2e.axe import axe_violations, faint_colours, sticks_out
from e2e.company import Company, opened
from e2e.desk import sign_in_at_the_desk
from e2e.phone import DESK_SIZE, PHONE_SIZE, Desk
from e2e.server import Server
from tests import factories
from tests.sites.stories import Story
from webapp.models.ids import new_id

LONG_STREET = "1284 Upper Konstantinopolitanischerweg 14B"
PHOTO = {"sha256": "ab" * 32, "length_bytes": 9, "media_type": "image/jpeg", "width_px": 1, "height_px": 1}

OUT_OF_SIGHT = """[...document.querySelectorAll('.newest-in-sight thead th:last-child, .jobs .mark')].filter(one => {
  const frame = one.closest('.table-frame').getBoundingClientRect(), at = one.getBoundingClientRect();
  return at.left < frame.left - 1 || at.right > frame.right + 1;
}).map(one => one.textContent)"""
"""The newest readings of an address, and who else goes there: what nobody is to scroll for."""


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
        story.walk(site, job, ("left_off", left), ("left_off", left | {"what_words": "the other one"}), ("hummed", {}))
        story.days_later(12)
        for _ in range(2):
            story.whole_visit(site)  # three readings of one quantity: a drawing beside them
        waiting = story.book(site)
        alarm = _more_that_wants_the_office(story)
    return {"site": site, "job": job, "waiting": waiting, "alarm": alarm}


def _more_that_wants_the_office(story: Story) -> str:
    """Somebody below too long, a caller's alarm, a heater put back, two entries in doubt; the alarm's job."""
    mill, mil = story.address("7 Copperkettle Mill", phone="555-0155"), story.address("7 Coperkettle Mill")
    asked = {"smell_of_gas": "yes", "co_alarm": "unsure", "unwell": "no", "water_leak": "not_asked"}
    call = {**asked, "lately": ["serviced"], "said": ["gas_out"], "no_hot_water_since": "2026-02-26"}
    alarm = new_id()
    story.say(story.desk, "call_taken", call, site_id=mill, job_id=alarm)
    booked = {"complaint": "no_hot_water", "complaint_words": "cold", "procedure_name": "toy_vent"}
    booked["technician_id"] = story.technician.id
    story.say(story.desk, "job_booked", booked, site_id=mill, job_id=alarm)
    story.walk(mill, alarm, ("due_out", {"due_out_wall": "2026-03-02T15:10:00Z", "ring_phone": "(041) 555-0155"}))
    back = story.book(mil)
    left = {"what_words": "heater", "why_words": "cracked vent", "told_words": "nobody at home"}
    story.walk(mil, back, ("left_off", left), ("put_back", {"words": "new vent, hot run held"}))
    nobody = {name: words for name, words in booked.items() if name != "technician_id"}
    story.say(story.desk, "job_booked", nobody, schema=2, site_id=mil, job_id=new_id())
    cancelled = story.book(mil)
    story.say(story.desk, "job_cancelled", {"why": "works again"}, site_id=mil, job_id=cancelled)
    return alarm


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
        "/jobs?show=cancelled",
        "/heaters-off",
        "/addresses/in-doubt",
        f"/addresses/{told['site']}/same-as",
        f"/addresses/{told['site']}/same-as?q=mill",
        f"/jobs/{told['alarm']}",
        "/addresses",
        "/addresses?q=nothing+like+it",
        f"/addresses/{told['site']}",
        f"/addresses/{told['site']}/correct",
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
    for name in ("smell_of_gas-yes", "co_alarm-unsure", "unwell-yes", "water_leak-yes"):
        page.check(f"#{name}")
    look("/jobs/book with the words to say")
    page.click("button[data-lamp]")
    page.wait_for_selector("#faults:focus")  # on a long page nobody takes a refused form for a saved one
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
@pytest.mark.parametrize("size", [DESK_SIZE, PHONE_SIZE], ids=["desk", "phone"])
def test_axe_finds_nothing_on_any_page_of_the_office_and_none_scrolls_sideways(
    server: Server,
    company: Company,
    told: dict[str, str],
    queue_file: Path,
    new_desk: Callable[..., Desk],
    size: dict[str, object],
) -> None:
    """In the light, only colours are looked at anew: nothing else of a theme differs (tests/look)."""
    page = new_desk(**size, color_scheme="dark").start()
    found: dict[str, object] = {}

    def look(name: str) -> None:
        if problems := sticks_out(page) + axe_violations(page) + page.evaluate(OUT_OF_SIGHT):
            found[f"{name} in the dark"] = problems
        page.emulate_media(color_scheme="light")
        if problems := sticks_out(page) + faint_colours(page):
            found[f"{name} in the light"] = problems
        page.emulate_media(color_scheme="dark")

    page.goto(f"{server.address}/sign-in")
    look("/sign-in")
    sign_in_at_the_desk(page, server.address, company.dispatcher)
    every_page(page, server.address, told, queue_file, look)
    page.click(".office-person button")
    sign_in_at_the_desk(page, server.address, company.owner)
    person = f"/people/{company.technician.id}"
    for path in ("/held", "/held/jobs?list=open&days=90", "/held/jobs?list=back&days=30", person, "/jobs"):
        page.goto(f"{server.address}{path}")
        page.evaluate("for (const folded of document.querySelectorAll('details')) folded.open = true")
        look(path)
    assert found == {}


def test_a_dispatcher_books_with_the_keyboard_alone(server: Server, company: Company, desk: Desk) -> None:
    page = desk.start()
    sign_in_at_the_desk(page, server.address, company.dispatcher)
    page.goto(f"{server.address}/jobs/book")
    assert page.evaluate("document.activeElement.id") == "smell_of_gas-yes"
    for _question in range(4):  # each is passed with one key, and says "not asked"
        page.keyboard.press("Tab")
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
    page.keyboard.press("Tab")  # since when
    page.keyboard.press("Tab")
    page.keyboard.type(company.technician.name)
    for _field in ("day", "hour", "the button"):
        page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_selector("text=Booked.")
    assert page.inner_text("h1") == "9 Lock Street"
    assert "cold since six" in page.inner_text("main")
    assert "smell of gas: not asked" in page.inner_text("main")


def test_an_answer_shows_its_words_at_once_by_the_keyboard_and_without_any_script(
    server: Server, company: Company, new_desk: Callable[..., Desk]
) -> None:
    page = new_desk(java_script_enabled=False).start()
    sign_in_at_the_desk(page, server.address, company.dispatcher)
    page.goto(f"{server.address}/jobs/book")
    gas, co, water = (page.locator(f'[data-say="{say}"]') for say in ("gas_out", "co_out", "water_away"))
    assert not any(words.is_visible() for words in (gas, co, water))
    page.locator("#smell_of_gas-yes").focus()
    page.keyboard.press("Space")
    assert gas.is_visible()
    assert "Touch no switch" in gas.inner_text()
    page.keyboard.press("ArrowRight")
    assert not gas.is_visible()  # no
    page.keyboard.press("ArrowRight")
    assert gas.is_visible()  # not sure
    page.check("#unwell-yes")
    assert co.is_visible()
    assert not water.is_visible()


def test_the_list_brings_itself_up_to_date_and_keeps_the_place_of_the_keyboard(
    server: Server, company: Company, told: dict[str, str], desk: Desk
) -> None:
    page = desk.start()
    page.clock.install()
    sign_in_at_the_desk(page, server.address, company.dispatcher)
    page.goto(f"{server.address}/jobs")
    page.focus(f'a.row-link[href$="{told["waiting"]}"]')
    with opened(company.data) as database, database.writing() as session:
        _use(session)
        story = Story(session)
        story.book(story.address("3 Newcomer Row"))
    assert "3 Newcomer Row" not in page.inner_text("main")
    page.clock.fast_forward(61_000)
    page.wait_for_selector("text=3 Newcomer Row")
    assert (page.evaluate("document.activeElement.href") or "").endswith(told["waiting"])


def test_the_first_stop_of_the_keyboard_is_the_way_past_the_menu(server: Server, company: Company, desk: Desk) -> None:
    page = desk.start()
    sign_in_at_the_desk(page, server.address, company.dispatcher)
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.textContent") == "Skip to the page"
    page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.id") == "main"


def test_looking_for_an_address_leaves_what_is_chosen_alone(
    server: Server, company: Company, told: dict[str, str], desk: Desk
) -> None:
    page = desk.start()
    sign_in_at_the_desk(page, server.address, company.dispatcher)
    page.goto(f"{server.address}/jobs/book")
    page.fill("#phone", "555-0142")
    page.check(f"#site-{told['site']}")
    page.evaluate("document.getElementById('matches').firstElementChild.dataset.before = ''")
    page.fill("#street", "1284 upper")
    page.wait_for_selector("#matches [data-before]", state="detached")
    assert page.is_checked(f"#site-{told['site']}")
    assert "sensing tube off its port" in page.inner_text("#matches")


@pytest.mark.parametrize(("size", "folded"), [(DESK_SIZE, False), (PHONE_SIZE, True)], ids=["desk", "phone"])
def test_the_owner_has_the_visits_in_sight_at_a_desk_and_one_tap_away_on_a_phone(
    server: Server,
    company: Company,
    told: dict[str, str],
    new_desk: Callable[..., Desk],
    size: dict[str, object],
    *,
    folded: bool,
) -> None:
    page = new_desk(**size).start()
    sign_in_at_the_desk(page, server.address, company.owner)
    page.goto(f"{server.address}/held")
    visit = page.locator(f'.asked-visits a[href$="{told["job"]}"]')
    summary = page.locator(".asked .narrow-fold > summary").first
    assert visit.is_visible() is not folded
    assert summary.is_visible() is folded
    if folded:
        summary.click()
        assert visit.is_visible()
