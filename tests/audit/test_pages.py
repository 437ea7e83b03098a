"""The owner's pages as a browser reads them: every number opens the jobs that make it."""

from __future__ import annotations

import csv
import io
import re
from html import unescape

import pytest
from sqlalchemy.orm import Session

from tests.audit.conftest import History, OwnersDesk
from tests.factories import OfficeDeviceFactory, PersonFactory
from tests.sites.stories import PROCEDURE
from webapp.audit import service
from webapp.audit.figures import Row, Window
from webapp.audit.service import Table
from webapp.extensions import Database
from webapp.models import JobOutcome

ROW_OF_FORTY = Row("x", (Window(90, {"back": 2, "over": 40}),))
ROW_OF_TWO = Row("x", (Window(90, {"back": 0, "over": 2}),))


def figures(page: str) -> list[tuple[int, str]]:
    """Every number of the page that is a link, and where it leads."""
    found = re.findall(r'<a class="figure-link" href="([^"]+)">([\d,]+)<', page)
    return [(int(count.replace(",", "")), unescape(path)) for path, count in found]


def told(history: History) -> None:
    """Something for every section of the page."""
    one, two = history.story.address("1 Mill Lane"), history.story.address("2 Mill Lane")
    history.visit(one, 0, action="new_switch")
    history.visit(one, 40, action="new_switch", run=None)
    history.visit(one, 60, complaint="noise", close="not_proven", run=False)
    history.visit(two, 5, action=None, close="waiting_part", run=None)
    history.visit(two, 9, cause="screen_shut", action="clear_screen")
    history.visit(two, 290)
    for number in range(3, 36):
        history.visit(history.story.address(f"{number} Mill Lane"), 7 * number % 200)


def test_every_number_opens_just_so_many_jobs(history: History, owner: OwnersDesk) -> None:
    told(history)
    page = owner.client.get("/held").text
    found = figures(page)
    assert len(found) > 30
    for count, path in dict.fromkeys(found):
        shown = owner.read(path)
        assert f" {count} {'job' if count == 1 else 'jobs'}, the newest first." in shown, path
        saved = owner.client.get(path.replace("/jobs?", "/jobs.csv?")).text
        assert len(list(csv.reader(io.StringIO(saved)))) == count + 1, path


def test_a_list_is_called_as_its_number_is_on_the_page(history: History, owner: OwnersDesk) -> None:
    history.visit(history.story.address("1 Mill Lane"), 0, action="seat_tube")
    history.visit(history.story.address("2 Mill Lane"), 0, action="clear_screen")
    for path in ("/held/jobs?list=changed-clear_screen", "/held/jobs?list=unread-clear_screen-not_read"):
        assert "Cleared it: " in owner.read(path)


def test_a_second_visit_that_was_agreed_on_is_called_that_and_more_closes_than_repairs_are_explained(
    history: History, owner: OwnersDesk
) -> None:
    site = history.story.address("2 Mill Lane")
    history.visit(site, 5, action="clear_screen", close="waiting_part", run=None)
    history.visit(site, 9, cause="screen_shut", action="clear_screen")
    planned = owner.read("/held/jobs?list=planned")
    assert "the second visit that was agreed on after the job before" in planned
    assert "itself a return" not in planned
    page = owner.read("/held")
    assert "Of 2 jobs closed after a repair, 1 more than the 1 repair above: here those count too that ended" in page


def test_the_file_says_once_that_it_is_utf_8(history: History, owner: OwnersDesk) -> None:
    told(history)
    answer = owner.client.get("/held/jobs.csv?list=over&days=90")
    assert answer.headers["Content-Type"].count("charset=utf-8") == 1
    assert answer.data.startswith(b"\xef\xbb\xbfclosed_or_called,")


def test_a_long_list_goes_on_behind_its_last_job(history: History, owner: OwnersDesk) -> None:
    told(history)
    path, seen, pages = "/held/jobs?list=over&days=90", [], 0
    while path:
        page = owner.client.get(path).text
        seen += re.findall(r'class="when"><a class="row-link" href="/jobs/([0-9a-f-]+)"', page)
        further = re.search(r'<a class="button" href="([^"]+)">Older jobs', page)
        path, pages = unescape(further[1]) if further else "", pages + 1
    assert pages == 2
    assert len(seen) == len(set(seen)) == 37


def test_what_a_share_is_of_is_said_and_a_count_stands_before_it_in_brackets(
    history: History, owner: OwnersDesk
) -> None:
    told(history)
    page = owner.read("/held")
    assert "Share of these repairs" in page
    assert re.search(r"any call from there: \d+ [^()]*show the jobs \(between \d+ and \d+ in 100\)", page)


def test_a_long_table_shows_its_most_frequent_rows_and_folds_the_others() -> None:
    said = [(str(number), ROW_OF_FORTY) for number in range(31)]
    assert Table("repair", "By repair", said).in_sight == 3
    assert Table("repair", "By repair", said[:4]).in_sight == 4
    assert Table("repair", "By repair", [*said[:8], ("few", ROW_OF_TWO)]).in_sight == 3


def test_no_row_of_a_folded_table_is_lost(history: History, owner: OwnersDesk, monkeypatch: pytest.MonkeyPatch) -> None:
    told(history)
    whole = figures(owner.client.get("/held").text)
    monkeypatch.setattr(service, "MOST_IN_SIGHT", 0)
    monkeypatch.setattr(service, "WORTH_A_FOLD", 0)
    page = owner.client.get("/held").text
    assert re.search(r"<summary>By repair: the other \d+ of \d+</summary>", page)
    assert figures(page) == whole


def test_a_share_is_said_only_where_there_are_enough(history: History, owner: OwnersDesk) -> None:
    told(history)
    page = owner.read()
    assert "between 0 and 14 in 100" in page  # 1 of 37 in 90 days: Wilson 0.0048 to 0.1382
    assert re.search(r"By repair: \d rows with fewer than 30 repairs each, too few to say", page)


def test_the_definition_stands_on_the_page(history: History, owner: OwnersDesk) -> None:
    told(history)
    page = owner.read()
    assert "unscheduled later visit to the same heater for the same complaint, counted against the job just" in page
    assert "they have not held yet" in page
    assert "Below 30 repairs nothing is said" in page


def test_a_call_before_a_late_close_is_not_lost(history: History, owner: OwnersDesk) -> None:
    """Whoever closes on the next day has no return visit by the clock: it is shown apart, with its job."""
    site = history.story.address("1 Late Lane")
    job = history.call(site, 10)
    history.story.walk(site, job, ("job_opened", {"procedure_hash": PROCEDURE["hash"]}))
    history.story.walk(site, job, ("repair_made", {"action": "seat_tube"}))
    again = history.call(site, 10.5)
    history.on_day(11)
    history.story.walk(site, job, ("job_closed", {"state": "proven"}))
    page = owner.client.get("/held").text
    assert 'href="/held/jobs?list=apart-before_close">1<' in page
    listed = owner.client.get("/held/jobs?list=apart-before_close").text
    assert f"/jobs/{job}" in listed
    assert f"/jobs/{again}" in listed
    assert "No return visit is on record" in page


def test_a_long_page_says_first_what_is_on_it(history: History, owner: OwnersDesk) -> None:
    told(history)
    page = owner.client.get("/held").text
    nav = page[page.index('<nav class="on-this-page') :]
    jumps = re.findall(r'href="#([a-z-]+)"', nav[: nav.index("</nav>")])
    assert jumps == re.findall(r'<h2 id="([a-z-]+)"', page)
    assert len(jumps) == 5


def test_a_blower_changed_unread_stands_among_the_watched_parts(history: History, owner: OwnersDesk) -> None:
    history.visit(history.story.address(), 0, action="new_blower")
    part = ("check_answered", {"check": "vent_parted", "outcome": "stays_low", "could_not": None})
    history.visit(history.story.address("2 Mill Lane"), 0, part, action="new_blower")
    page = owner.read()
    assert "nobody measured it before it was changed" in page
    assert "suction low with the vent parted, but nobody noted the tube good" in page
    assert "nobody noted the tube good" in owner.read("/held/jobs?list=unread-new_blower-half_read")


def test_no_person_stands_on_the_first_page(history: History, owner: OwnersDesk) -> None:
    told(history)
    page = owner.read()
    assert history.story.technician.name not in page
    assert "There are no persons here on purpose" in page


def test_an_empty_company_is_told_when_figures_begin(owner: OwnersDesk) -> None:
    page = owner.read()
    assert "No job yet, so nothing to doubt" in page
    assert figures(owner.client.get("/held").text) == []


def test_one_booked_job_is_no_repair_yet(history: History, owner: OwnersDesk) -> None:
    history.call(history.story.address(), 299)
    page = owner.read()
    assert "1 job, 0 of them repairs" in page
    assert "No repair is closed yet" in page
    assert "No return visit is on record" in page


@pytest.mark.parametrize(
    "query",
    [
        "",
        "list=nothing",
        "list=back&days=31",
        "list=back&by=technician&of=x",
        "list=out-",
        "list=proof-",
        "list=unread",
    ],
)
def test_a_list_that_there_is_not_is_not_found(owner: OwnersDesk, query: str) -> None:
    assert owner.client.get(f"/held/jobs?{query}").status_code == 404
    assert owner.client.get(f"/held/jobs.csv?{query}").status_code == 404


@pytest.mark.parametrize("place", ["from=x&after=y", "from=-1&after=y", "from=9999999999999&after=y", "from=٣&after=y"])
def test_a_place_that_cannot_be_read_is_the_first_page(history: History, owner: OwnersDesk, place: str) -> None:
    history.visit(history.story.address(), 0)
    assert "1 job, the newest first" in owner.read(f"/held/jobs?list=over&{place}")


@pytest.mark.parametrize("role", ["technician", "dispatcher"])
@pytest.mark.parametrize("path", ["/held", "/held/jobs?list=over", "/held/jobs.csv?list=over"])
def test_only_the_owner_may_look(owner: OwnersDesk, session: Session, role: str, path: str) -> None:
    person = PersonFactory(role=role)
    with owner.client.session_transaction() as cookie:
        cookie["person_id"], cookie["device_id"] = person.id, OfficeDeviceFactory(person_id=person.id).id
    assert owner.client.get(path).status_code == 403
    assert "Did it hold?" not in owner.client.get("/jobs").text


def test_jobs_without_their_narrow_row_are_counted_as_missing(
    history: History, owner: OwnersDesk, database: Database
) -> None:
    history.visit(history.story.address(), 0)
    history.visit(history.story.address("9 Weir Road"), 0)
    with database.session() as writing:
        writing.delete(writing.query(JobOutcome).first())
        writing.commit()
    assert "1 job is not in these figures." in owner.read()


class TestTheFile:
    def test_it_is_as_rfc_4180_says(self, history: History, owner: OwnersDesk) -> None:
        """RFC 4180, section 2: CRLF, quotes around commas, quotes and line breaks, the same number of fields."""
        street = 'Flat 2, "The Weir"\nrear house'
        history.visit(history.story.address(street), 0)
        answer = owner.client.get("/held/jobs.csv?list=over&days=90")
        assert answer.headers["Content-Type"].startswith("text/csv")
        assert answer.headers["Content-Disposition"] == 'attachment; filename="jobs.csv"'
        assert answer.text.endswith("\r\n")
        assert '"Flat 2, ""The Weir""' in answer.text
        rows = list(csv.reader(io.StringIO(answer.text, newline=""), strict=True))
        assert {len(row) for row in rows} == {12}
        assert dict(zip(*rows, strict=True))["street"] == street

    @pytest.mark.parametrize("typed", ["=1+2", "+1", "-1", "@SUM(A1)", "\t=1", "\r=1"])
    def test_no_cell_is_run_by_a_spreadsheet(self, history: History, owner: OwnersDesk, typed: str) -> None:
        history.visit(history.story.address(f"{typed} Mill Lane"), 0)
        saved = owner.client.get("/held/jobs.csv?list=over&days=90").text
        rows = list(csv.reader(io.StringIO(saved, newline="")))
        assert rows[1][1] == f"'{typed} Mill Lane"
