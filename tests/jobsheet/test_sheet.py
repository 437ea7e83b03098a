from __future__ import annotations

import io
import re
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

import pytest
from pypdf import PdfReader
from sqlalchemy import update
from sqlalchemy.orm import Session

from tests.office.conftest import Desk
from tests.sites.stories import HELD, START, Story
from webapp.extensions import Database
from webapp.jobsheet.pdf import draw_pdf
from webapp.jobsheet.service import read_sheet
from webapp.models import CompanySetting, Person
from webapp.models.ids import new_id
from webapp.people.licences import set_licence
from webapp.people.staff import change_role

LONG_STREET = "1284 Upper Konstantinopolitanischerweg 14B"
LONG_WORD = "Donaudampfschifffahrtsgesellschaftskapitänskajütenschlüsselanhängerbefestigung"
AGREED = {
    "told_words": "The vent leaks at two joints",
    "scope_words": "Seal both joints and test again",
    "price_words": "$240, parts included",
    "decision": "authorised",
    "name_words": "Łukasz Größenwörter",
    "signature_path": "M10 20L300 180M310 20L590 20",
}
PROOF = {
    "passed": True, "minutes": 25, "restarts": 3, "quantity": "suction_in_wc", "before_value": 0.31,
    "after_value": 0.58, "co_room_ppm": 1, "fans_on": True, "looks_done": ["joints"],
}  # fmt: skip
LEFT_OFF = {"what_words": "heater", "why_words": "cracked vent", "told_words": "Mrs Vale, by me at the door"}


def pdf_of(desk: Desk, job: str) -> PdfReader:
    answer = desk.client.get(f"/jobs/{job}/sheet.pdf")
    assert (answer.status_code, answer.mimetype) == (200, "application/pdf")
    return PdfReader(io.BytesIO(answer.data), strict=True)


def words_of(reader: PdfReader) -> str:
    """All the text, with single spaces, and without the places where lines broke."""
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def letters_of(text: str) -> str:
    """Without any spaces: for what had to break inside a word."""
    return "".join(text.split())


def whole_job(story: Story, **address: str) -> str:
    site = story.address(**address)
    job = story.book(site, words="cold since morning")
    story.open(site, job)
    story.walk(
        site,
        job,
        ("arrived", {}),
        ("hunch", {"cause": "screen_shut", "words": "smells of birds"}),
        ("note", {"words": "the customer is a grump"}),
        ("check_answered", {"check": "tube", "outcome": "off", "could_not": None, "words": "my own mutter"}),
        ("check_answered", {"check": "limit", "outcome": None, "could_not": "no_access"}),
        (
            "reading_taken",
            {
                "check": "suction", "quantity": "suction_in_wc", "value": 0.31, "state": "cold", "place": "switch",
                "instrument_words": "gauge 7",
            },
        ),
        ("reading_taken", {"check": "limit", "quantity": "limit_ohm", "value": 0.4, "state": "dead"}),
        ("work_agreed", AGREED),
        ("cause_named", {"cause": "tube_off", "words": "I do not trust the ranking"}),
        ("repair_made", {"action": "seat_tube", "words": "with a new clip"}),
        ("part_used", {"part_words": "clip", "count": 2, "direction": "fitted"}),
        ("part_used", {"part_words": "old clip", "count": 1, "direction": "removed"}),
    )  # fmt: skip
    story.say(story.hand, "proof_run", PROOF, site_id=site, job_id=job, schema=2)
    story.walk(site, job, ("job_closed", {"state": "proven"}))
    return job


def test_a_sheet_tells_found_numbers_agreed_done_run_and_end(desk: Desk, story: Story) -> None:
    page = desk.read(f"/jobs/{whole_job(story)}/sheet")
    for words in (
        "12 Mill Lane, Harrowby",
        "Called about No hot water",
        "“cold since morning”",
        "Repaired, and the repair held in the test run.",
        "A small hose that tells the heater whether its vent is drawing was off, split or kinked.",
        "In the trade's words: sensing tube off its port.",
        "How strongly the vent draws 0.31 in. w.c. switch, heater cold, 14:",
        "gauge 7",
        "Resistance of the heat safety switch 0.4 Ω power off",
        "The vent leaks at two joints",
        "$240, parts included",
        "Agreed: the work may be done",
        "Signed on the screen: Łukasz Größenwörter",
        "Seated the sensing tube. With a new clip.",
        "Part fitted 2 × clip",
        "Part removed 1 × old clip",
        "The heater was run for 25 minutes and started again 3 times. It kept running as it should.",
        "How strongly the vent draws 0.31 in. w.c. before the work, 0.58 in. w.c. after it",
        "CO in the room 1 ppm",
        "Every fan and the dryer on yes",
        "Joints of the vent",
        "Sensing tube, both ends: off at the housing",
        "Could not reach it: Limit, dead",
        "Smell of gas: touch no switch",
        "parts per million",
    ):
        assert words in page, words


def test_the_pdf_says_every_word_that_the_page_says(desk: Desk, story: Story, session: Session) -> None:
    job = whole_job(story)
    page = desk.client.get(f"/jobs/{job}/sheet").text
    article = page.partition("<article")[2].partition("</article>")[0]
    paper = letters_of(words_of(pdf_of(desk, job)))
    told = [" ".join(piece.split()) for piece in re.findall(r">([^<>]+)<", article)]
    told = [piece.replace("&#39;", "'").replace("&amp;", "&").replace("Ω", "ohm") for piece in told if piece]
    assert len(told) > 60
    assert [piece for piece in told if letters_of(piece) not in paper] == []


def test_asides_hunches_and_reasons_of_ours_are_not_on_it(desk: Desk, story: Story) -> None:
    job = whole_job(story)
    told = desk.read(f"/jobs/{job}/sheet") + words_of(pdf_of(desk, job))
    for words in (
        "grump",
        "birds",
        "mutter",
        "ranking",
        "unit ",
        "nuisance",
        "bypass",
        "callback",
        "in 100",
        "suspect",
    ):
        assert words not in told.casefold(), words


def test_the_same_record_gives_the_same_bytes_whatever_the_clock_says(
    desk: Desk, story: Story, session: Session, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    job = whole_job(story)
    first = desk.client.get(f"/jobs/{job}/sheet.pdf").data
    sheet = read_sheet(session, job)
    monkeypatch.setattr("time.time", lambda: 4_000_000_000.0)
    assert draw_pdf(sheet, tmp_path) == first


def test_the_pdf_has_title_language_and_a_heading_for_each_part(desk: Desk, story: Story) -> None:
    reader = pdf_of(desk, whole_job(story))
    assert reader.metadata is not None
    assert (reader.metadata.title or "").startswith("Job sheet ")
    assert reader.root_object["/Lang"] == "en-US"
    assert reader.root_object["/ViewerPreferences"]["/DisplayDocTitle"], "what a screen reader says first"
    titles = [entry.title for entry in reader.outline if not isinstance(entry, list)]
    assert titles[:4] == ["Your visit", "What was found", "What was agreed before the work", "What was done"]


def test_the_file_is_named_without_the_customer(desk: Desk, story: Story) -> None:
    job = whole_job(story, street="66 Nameless Court", customer_name="Mrs Vale")
    named = desk.client.get(f"/jobs/{job}/sheet.pdf").headers["Content-Disposition"]
    assert re.fullmatch(r'inline; filename="job-sheet-2026-03-02-[0-9a-f]{8}\.pdf"', named)


def test_names_with_letters_of_other_alphabets_print_or_say_that_they_do_not(desk: Desk, story: Story) -> None:
    job = whole_job(story, customer_name="Łukasz Größenwörter", street="7 Żółć Straße", town="Дno")
    told = words_of(pdf_of(desk, job))
    assert "Łukasz Größenwörter" in told
    assert "7 Żółć Straße, ?no" in told
    assert "A ? may stand for a letter that this print does not have." in told
    assert "this print does not have" not in words_of(pdf_of(desk, whole_job(story)))


def test_long_words_and_streets_break_inside_the_paper(desk: Desk, story: Story) -> None:
    site = story.address(LONG_STREET, customer_name=LONG_WORD)
    job = story.book(site, words=LONG_WORD * 3)
    story.open(site, job)
    story.walk(site, job, ("part_used", {"part_words": LONG_WORD * 2, "count": 1, "direction": "fitted"}))
    story.say(
        story.hand,
        "work_agreed",
        {**AGREED, "told_words": LONG_WORD * 4, "name_words": LONG_WORD},
        site_id=site,
        job_id=job,
    )
    reader = pdf_of(desk, job)
    told = letters_of(words_of(reader))
    assert letters_of(LONG_STREET) in told
    assert LONG_WORD * 4 in told
    assert all(right <= float(page.mediabox.right) - 36 for page in reader.pages for right in _rights(page))


def _rights(page: Any) -> list[float]:
    """Where each piece of text ends at the earliest: its beginning, and what half an em a letter would take."""
    found: list[float] = []

    def look(text: str, _cm: Any, matrix: list[float], _font: Any, size: float) -> None:
        if text.strip():
            found.append(matrix[4] + 0.3 * size * len(text.strip()))

    page.extract_text(visitor_text=look)
    assert found
    return found


def test_a_job_that_nobody_began_has_a_sheet_that_says_so(desk: Desk, story: Story) -> None:
    job = story.book(story.address())
    told = words_of(pdf_of(desk, job))
    assert "Nothing is recorded of this visit yet: it is booked." in told
    assert "Booked on Monday, 2 March 2026" in told
    assert "Who is to come Tom Torch (no licence recorded here)" in told
    for heading in ("What was found", "What was done", "The numbers"):
        assert heading not in told


def test_a_job_whose_booking_never_came_has_one_too(desk: Desk, story: Story) -> None:
    site = story.address()
    job = new_id()
    story.walk(site, job, ("note", {"words": "first"}))
    assert "Nothing is recorded of this visit yet" in words_of(pdf_of(desk, job))


def test_many_findings_go_over_pages_and_each_page_says_which_sheet_it_is(desk: Desk, story: Story) -> None:
    site = story.address()
    job = story.book(site)
    story.open(site, job)
    for number in range(48):
        check = f"check_number_{number}"
        story.walk(site, job, ("check_answered", {"check": check, "outcome": "as_it_should_be", "could_not": None}))
        taken = {"check": check, "quantity": "suction_in_wc", "value": 0.01 * number, "place": f"place {number}"}
        story.walk(site, job, ("reading_taken", taken))
    reader = pdf_of(desk, job)
    assert len(reader.pages) >= 3
    told = words_of(reader)
    assert all(f"Check number {number}: as it should be" in told for number in range(48))
    assert all(f"place {number}," in told for number in range(48))
    for number, page in enumerate(reader.pages, 1):
        assert f"Sheet {job[-8:]}" in page.extract_text()
        assert f"Page {number} of {len(reader.pages)}" in " ".join(page.extract_text().split())
    with_numbers = [page.extract_text() for page in reader.pages if "place " in page.extract_text()]
    assert len(with_numbers) > 1
    assert all("Where and when" in text for text in with_numbers), "the table's head stands on each of its pages"


def test_a_heater_left_off_stands_first_and_largest(desk: Desk, story: Story) -> None:
    site = story.address()
    job = story.book(site)
    story.open(site, job)
    story.walk(site, job, ("left_off", LEFT_OFF), ("job_closed", {"state": "left_off"}))
    told = words_of(pdf_of(desk, job))
    assert told.startswith(
        "Job sheet Your heater was left off Do not use it, light it or switch it on. Leave the tag where it is. "
        "What was left off heater Why cracked vent Who was told Mrs Vale, by me at the door "
        "Noted by Tom Torch, Monday, 2 March"
    )
    assert "It stays off until somebody licensed" in told
    sizes: dict[str, float] = {}
    pdf_of(desk, job).pages[0].extract_text(
        visitor_text=lambda text, _cm, _tm, _font, size: sizes.setdefault(text.strip(), size)
    )
    assert sizes["Your heater was left off"] > sizes["What was found"]


def test_a_visit_that_the_first_looks_stopped_is_told_once_and_orders_nobody_out(desk: Desk, story: Story) -> None:
    site = story.address()
    job = story.book(site)
    story.open(site, job)
    story.walk(
        site,
        job,
        ("check_answered", {"check": "scene", "outcome": "safe", "could_not": None}),
        ("reading_taken", {"check": "co_room", "quantity": "co_room_ppm", "value": 210, "place": "room"}),
        ("check_answered", {"check": "co_room", "outcome": "leave", "could_not": None}),
        ("left_off", LEFT_OFF),
        ("job_closed", {"state": "left_off"}),
    )
    told = words_of(pdf_of(desk, job))
    assert told.count("The room held so much carbon monoxide that everybody had to leave at once.") == 1
    assert "Leave now" not in told
    assert "Safe to work" not in told
    assert "The place was dry" not in told, "of no use to a customer whose heater is off"
    assert "not described" not in told


def test_a_heater_that_is_back_in_service_is_not_forbidden(desk: Desk, story: Story) -> None:
    site = story.address()
    job = story.book(site)
    story.open(site, job)
    story.walk(site, job, ("left_off", LEFT_OFF), HELD, ("put_back", {"words": "new vent, tried hot"}))
    told = desk.read(f"/jobs/{job}/sheet")
    assert "back in service" in told
    assert "Do not use it" not in told


def test_a_job_closed_as_left_off_forbids_the_heater_even_without_details(desk: Desk, story: Story) -> None:
    site = story.address()
    job = story.book(site)
    story.open(site, job)
    story.walk(site, job, ("job_closed", {"state": "left_off"}))
    told = desk.read(f"/jobs/{job}/sheet")
    assert "Do not use it" in told
    assert "What was left off, and why, is not recorded." in told


def test_declined_work_without_a_signature_is_told_as_that(desk: Desk, story: Story) -> None:
    site = story.address()
    job = story.book(site)
    story.open(site, job)
    bare = {"told_words": "needs a vent", "scope_words": "new vent", "decision": "declined"}
    story.walk(site, job, ("work_agreed", bare), ("job_closed", {"state": "declined"}))
    told = desk.read(f"/jobs/{job}/sheet")
    assert "Declined: the work is not wanted" in told
    assert "Not signed on the screen." in told
    assert "no name recorded" in told
    assert "No repair is recorded on this visit." in told


def test_two_people_who_saw_it_differently_are_both_told(desk: Desk, story: Story) -> None:
    site = story.address()
    job = story.book(site)
    story.open(site, job)
    story.walk(
        site,
        job,
        ("check_answered", {"check": "tube", "outcome": "off", "could_not": None}),
        ("cause_named", {"cause": "tube_off"}),
    )
    other = story.another_technician("Una Under")
    seated = {"check": "tube", "outcome": "seated", "could_not": None}
    story.say(other, "check_answered", seated, site_id=site, job_id=job)
    story.say(other, "cause_named", {"cause": "screen_shut"}, site_id=site, job_id=job)
    told = desk.read(f"/jobs/{job}/sheet")
    assert "Seen differently by two people: Sensing tube, both ends: off at the housing / seated at both ends" in told
    assert "Two people named different causes." in told


def test_the_licence_is_printed_as_it_was_typed(desk: Desk, story: Story, database: Database) -> None:
    job = whole_job(story)
    with database.session() as writing:
        typed = {"licence_words": "Gas fitter 4711", "licence_expires_on": "2027-03-31"}
        writing.execute(update(Person).where(Person.id == story.technician.id).values(**typed))
        writing.commit()
    assert "Tom Torch, licence Gas fitter 4711, valid until Wed 31 Mar 2027" in words_of(pdf_of(desk, job))


def test_the_licence_of_the_day_stands_when_another_one_is_kept_later(
    desk: Desk, story: Story, session: Session
) -> None:
    person = story.technician.id
    set_licence(session, person, words="Gas 7", expires_on="2026-03-31", now=START - timedelta(days=400))
    job = whole_job(story)
    assert "Technician Tom Torch, licence Gas 7, valid until Tue 31 Mar 2026" in desk.read(f"/jobs/{job}/sheet")
    set_licence(session, person, words="Gas 8", expires_on="2028-03-31", now=START + timedelta(days=30))
    then = "Technician Tom Torch, licence Gas 7, valid until Tue 31 Mar 2026, as recorded then"
    for sheet in (desk.read(f"/jobs/{job}/sheet"), words_of(pdf_of(desk, job))):
        assert then in sheet
        assert "Gas 8" not in sheet


def test_a_licence_that_was_typed_after_the_visit_is_not_told_as_that_of_the_day(
    desk: Desk, story: Story, session: Session
) -> None:
    job = whole_job(story)
    set_licence(session, story.technician.id, words="Gas 8", expires_on="", now=START + timedelta(days=30))
    told = desk.read(f"/jobs/{job}/sheet")
    assert "Tom Torch (no licence was recorded here at the time of the visit; one is recorded now)" in told


def test_whoever_was_a_technician_then_is_named_when_the_office_has_them_now(
    desk: Desk, story: Story, session: Session
) -> None:
    job = whole_job(story)
    session.get_one(Person, story.technician.id).password_hash = "so that they may work at a desk"
    change_role(session, story.technician.id, "dispatcher")
    assert "Technician Tom Torch (no licence recorded here)" in desk.read(f"/jobs/{job}/sheet")


def test_the_offices_number_is_on_it_where_the_company_chose_one(desk: Desk, story: Story, database: Database) -> None:
    job = whole_job(story)
    assert "To reach us" not in desk.read(f"/jobs/{job}/sheet")
    with database.session() as writing:
        at = datetime(2026, 3, 2, tzinfo=UTC)
        writing.add(CompanySetting(name="office_phone", value="555-0100", changed_at=at, person_id=story.dispatcher.id))
        writing.commit()
    assert "To reach us 555-0100" in words_of(pdf_of(desk, job))


def test_the_companys_name_heads_page_and_paper_where_one_is_kept(desk: Desk, story: Story, database: Database) -> None:
    job = whole_job(story)
    assert "Lantern & Sons" not in words_of(pdf_of(desk, job))
    with database.session() as writing:
        at, person_id = datetime(2026, 3, 2, tzinfo=UTC), story.dispatcher.id
        writing.add(CompanySetting(name="company_name", value="Lantern & Sons", changed_at=at, person_id=person_id))
        writing.commit()
    assert "Job sheet Lantern & Sons" in words_of(pdf_of(desk, job))
    assert "Lantern & Sons" in desk.read(f"/jobs/{job}/sheet")


def test_what_the_control_showed_is_told_once(desk: Desk, story: Story) -> None:
    site = story.address()
    job = story.book(site)
    story.open(site, job)
    story.walk(site, job, ("code_read", {"shown": "flashes", "flashes": 7, "meaning_words": "draft fault"}))
    told = desk.read(f"/jobs/{job}/sheet")
    assert "The heater's own light or display showed: 7 flashes, by its label: draft fault." in told


def test_the_job_page_leads_to_the_sheet(desk: Desk, story: Story) -> None:
    job = whole_job(story)
    assert f'href="/jobs/{job}/sheet"' in desk.client.get(f"/jobs/{job}").text


def test_an_unknown_job_has_no_sheet(desk: Desk) -> None:
    for path in ("sheet", "sheet.pdf"):
        assert desk.client.get(f"/jobs/{new_id()}/{path}").status_code == 404


def test_a_technician_signed_in_at_a_desk_gets_no_sheet(desk: Desk, story: Story) -> None:
    job = whole_job(story)
    stranger = desk.client.application.test_client()
    assert stranger.get(f"/jobs/{job}/sheet.pdf").status_code == 302
    with stranger.session_transaction() as cookie:
        cookie["person_id"], cookie["device_id"] = story.technician.id, story.phone.id
    assert stranger.get(f"/jobs/{job}/sheet.pdf").status_code in {302, 403}


def test_a_heater_that_a_later_visit_put_back_is_not_forbidden_on_the_old_sheet(desk: Desk) -> None:
    site = desk.story.address()
    job = desk.story.book(site)
    desk.story.walk(site, job, ("left_off", LEFT_OFF), ("job_closed", {"state": "left_off"}))
    assert "Do not use it" in desk.read(f"/jobs/{job}/sheet")
    desk.story.days_later(2)
    later = desk.story.book(site)
    desk.story.walk(site, later, ("put_back", {"words": "Ada Pipe, new vent, hot run held"}))
    for words in (desk.read(f"/jobs/{job}/sheet"), words_of(pdf_of(desk, job))):
        assert "Do not use it" not in words
        assert "Your heater was left off on this visit, and is back in service" in words
        assert "cracked vent" in words
        assert "recorded by Wednesday, 4 March 2026, 14:06" in words
        assert "Ada Pipe, new vent, hot run held (Wednesday, 4 March 2026, 14:06, noted by Tom Torch)" in words
    page = desk.read(f"/jobs/{job}")
    assert "Put back in service by another visit : Ada Pipe, new vent, hot run held" in page
    assert "Was left off, is back in service" in desk.read(f"/addresses/{site}")


def test_a_heater_that_stands_off_is_told_on_every_sheet_of_its_address(desk: Desk, story: Story) -> None:
    site = story.address()
    before, left, elsewhere = story.book(site), story.book(site), story.book(story.address("9 Other Road"))
    story.walk(site, left, ("left_off", LEFT_OFF))
    story.days_later(2)
    after = story.book(site)
    story.walk(site, after, ("arrived", {}), ("job_closed", {"state": "waiting_part"}))
    for job in (before, after):
        told = words_of(pdf_of(desk, job))
        assert told.startswith(
            "Job sheet A heater at this address was left off on another visit, and stands off Do not use it"
        )
        assert "What was left off heater Why cracked vent When it was left off Monday, 2 March 2026, 14:" in told
    assert "on another visit" not in desk.read(f"/jobs/{left}/sheet") + desk.read(f"/jobs/{elsewhere}/sheet")
    story.walk(site, after, HELD, ("put_back", {"words": "Ada Pipe, new vent"}))
    for job in (before, after):
        assert "stands off" not in desk.read(f"/jobs/{job}/sheet")
