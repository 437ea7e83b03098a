"""What the office keeps comes down before the basement, and what the visit around the walk writes comes up again."""

from __future__ import annotations

from io import BytesIO

from PIL import Image
from playwright.sync_api import FilePayload, Page, expect
from sqlalchemy import select

from e2e.company import Company, opened
from e2e.phone import Chromium
from e2e.server import Server
from e2e.technician import Booked, begin, book, sign_in, wait_until
from e2e.thumb import tap_along
from webapp.models import EventRow, Job, Person, Photo
from webapp.sheets.service import SheetDraft, add_sheet, change_settings
from webapp.sites.service import read_job

OFFICE_PHONE = "555-0100"
BODY = {
    "limits": [{"quantity": "make_point_in_wc", "value": 0.36, "where": "part_label"}],
    "codes": [
        {"flash_groups": "3", "text": None, "meaning_words": "Draft not proved", "could_be": ["pressure_switch"]}
    ],
    "vent": [],
    "words": None,
}

KEPT = """() => new Promise((done) => {
  const open = indexedDB.open('undercroft');
  open.onsuccess = () => {
    const get = open.result.transaction('kept').objectStore('kept').getAll();
    get.onsuccess = () => {
      open.result.close();
      done(JSON.stringify(get.result.map((row) => row.values)));
    };
  };
})"""


def keep_company_data(company: Company) -> str:
    """The owner's choices and one model sheet, through the office's own services."""
    with opened(company.data) as database, database.writing() as session:
        owner = session.get_one(Person, company.owner.id)
        change_settings(session, owner, co_ladder="protocol_9_36_70", office_phone=OFFICE_PHONE)
        return add_sheet(session, owner, SheetDraft("power_vent", "Vossquill", "Ember 50", BODY)).model_sheet_id


def go(page: Page, job: Booked, screen: str) -> None:
    page.evaluate("(to) => { location.hash = to; }", f"#/job/{job.job_id}/{screen}")
    page.wait_for_selector(f'main[data-screen="{screen.partition("/")[0]}"]')


def saved(page: Page, words: str) -> None:
    expect(page.locator(".saved")).to_contain_text(words)


def stored(company: Company, job: Booked) -> dict[str, EventRow]:
    with opened(company.data) as database, database.reading_session() as session:
        rows = session.scalars(select(EventRow).where(EventRow.site_id == job.site_id).order_by(EventRow.seq))
        return {row.kind: row for row in rows}


def test_a_visit_below_ground_with_the_company_s_sheet_and_an_unsafe_end(
    company: Company, server: Server, phone: Chromium
) -> None:
    sheet = keep_company_data(company)
    job = book(company)
    page = phone.start()
    sign_in(page, company, company.technician, server.address)
    phone.close()

    page = phone.start(offline=True)
    page.goto(f"{server.address}/phone/")
    page.click(f'[data-job="{job.job_id}"]')
    _before_going_down(page, job)
    _know_the_heater(page, job, sheet)
    _type_and_save_nothing(page, job)

    phone.kill()  # a restart without network: everything stands
    page = phone.start(offline=True)
    page.goto(f"{server.address}/phone/#/job/{job.job_id}/heater")
    expect(page.locator("[data-sheet]")).to_contain_text("0.36 in. w.c.")
    _find_what_was_typed(page, job)
    _agree_and_leave_off(page, job)

    phone.context.set_offline(False)
    wait_until(page, "document.querySelector('.queue-line')?.dataset.state === 'sent'", seconds=60)
    _read_what_came_up(company, job, sheet)


def _before_going_down(page: Page, job: Booked) -> None:
    page.click("[data-way=below]")
    expect(page.locator(f'a[href="tel:{OFFICE_PHONE.replace("-", "")}"]')).to_be_visible()
    page.click('[data-answer="60"]')
    page.wait_for_selector("[data-due-out]")
    page.wait_for_selector('main[data-screen="home"]')  # the screen goes back by itself: only then to the next
    go(page, job, "kit")
    page.click("[data-add=co_meter]")
    page.fill("#serial", "C-1187")
    page.click("[data-keep]")
    page.click("[data-instrument=co_meter] .answer")
    page.click("[data-kit-save]")
    saved(page, "instruments: 1")
    page.wait_for_selector('main[data-screen="home"]')


def _know_the_heater(page: Page, job: Booked, sheet: str) -> None:
    go(page, job, "heater")
    page.click(f'[data-answer="{sheet}"]')
    saved(page, "heater: Vossquill Ember 50")
    page.locator(".photo input").first.set_input_files(a_picture())
    page.click("[data-photo-words]")
    page.fill("main textarea", "rust over the serial number")
    page.click("[data-photo-words-save]")
    saved(page, "words to the photo")
    page.evaluate("location.hash = '#/jobs'")
    begin(page, job.job_id)
    go(page, job, "check/control_code")
    page.click('[data-answer="flashes"]')
    tap_along(page, 3)
    expect(page.locator("h1")).to_have_text("3 flashes: Draft not proved")
    page.click("[data-code-save]")
    saved(page, "code: 3 flashes")
    go(page, job, "chain")
    expect(page.locator("[data-contact=pressure_switch]")).to_contain_text("could be open")


def _type_and_save_nothing(page: Page, job: Booked) -> None:
    go(page, job, "proof")
    page.click("[data-figure=minutes]")
    page.click('[data-key="9"]')
    page.click("[data-pad-done]")
    page.click("[data-figure=restarts]")
    page.click('[data-key="2"]')  # and not “Done”
    go(page, job, "note")
    page.fill("#note-words", "key at the caretaker's")
    wait_until(page, f"({KEPT})().then((values) => values.includes(`key at the caretaker's`))")


def _find_what_was_typed(page: Page, job: Booked) -> None:
    go(page, job, "home")
    page.click("[data-unsaved-forms] a[href$=proof]")
    expect(page.locator("[data-unsaved]")).to_contain_text("before the restart")
    expect(page.locator("[data-typed]")).to_have_text("2")
    page.click("[data-pad-done]")
    expect(page.locator("[data-figure=minutes]")).to_contain_text("9 min")
    expect(page.locator("[data-unsaved]")).to_contain_text("Not saved yet")
    go(page, job, "note")
    expect(page.locator("#note-words")).to_have_value("key at the caretaker's")
    page.click("[data-throw]")
    page.click("[data-throw-away]")
    expect(page.locator("#note-words")).to_have_value("")
    wait_until(page, f"({KEPT})().then((values) => values.includes('minutes') && !values.includes('caretaker'))")


def a_picture() -> FilePayload:
    file = BytesIO()
    Image.new("RGB", (640, 480), "gray").save(file, "PNG")
    return {"name": "plate.png", "mimeType": "image/png", "buffer": file.getvalue()}


def _agree_and_leave_off(page: Page, job: Booked) -> None:
    go(page, job, "agreed")
    page.fill("#agreed-told", "the vent is parted, nothing runs today")
    page.fill("#agreed-scope", "a new vent by somebody licensed")
    pad = page.locator("[data-signature]")
    pad.scroll_into_view_if_needed()
    box = pad.bounding_box()
    assert box is not None
    page.mouse.move(box["x"] + 20, box["y"] + 20)
    page.mouse.down()
    page.mouse.move(box["x"] + 120, box["y"] + 60, steps=12)
    page.mouse.up()
    page.click('[data-answer="authorised"]')
    saved(page, "work agreed")
    go(page, job, "left-off")
    for words in ("The heater", "Vent parted or blocked", "The customer"):
        page.get_by_role("button", name=words, exact=True).click()
    page.get_by_role("button", name="Save it").click()
    page.wait_for_selector('main[data-screen="office-told"]')
    expect(page.locator("[data-not-told]")).to_be_visible()
    page.get_by_role("link", name="Close the job first").click()
    page.click('[data-answer="left_off"]')
    page.wait_for_selector("[data-told]")
    page.fill("#told-who", "Dora")
    page.click("[data-told]")
    expect(page.locator("[data-not-told]")).to_have_count(0)


def _read_what_came_up(company: Company, job: Booked, sheet: str) -> None:
    kinds = stored(company, job)
    wanted = {
        "due_out",
        "instrument_carried",
        "appliance_described",
        "code_read",
        "work_agreed",
        "left_off",
        "office_told",
    }
    assert wanted <= set(kinds)
    assert not {"proof_run", "note"} & set(kinds)  # typed, never saved
    assert (kinds["code_read"].schema, kinds["code_read"].body["model_sheet_id"]) == (2, sheet)
    assert kinds["appliance_described"].job_id == job.job_id
    assert kinds["work_agreed"].body["signature_path"].startswith("M")
    with opened(company.data) as database, database.reading_session() as session:
        closed = session.get_one(Job, job.job_id)
        assert (closed.close_state, closed.office_not_told, closed.heater_off) == ("left_off", False, True)
        taken = kinds["photo_taken"].body
        assert (taken["about"], taken["words"]) == ("plate", "rust over the serial number")
        (photo,) = read_job(session, job.job_id).visit.photos
        assert photo.words == "The rating plate · “rust over the serial number”"
        assert session.get_one(Photo, taken["sha256"]).stored_at is not None
