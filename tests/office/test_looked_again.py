"""What was unsafe and only looked at again stays on the list, the address page, the job's page and the sheet."""

from __future__ import annotations

import re
from typing import Any

import pytest
from sqlalchemy.orm import Session

from tests.office.conftest import Desk
from tests.office.test_unsafe_on_site import WALKED, answered, on_the_job, walked_today
from tests.office.test_urgency import row_of, streets
from webapp.jobsheet.telling_again import NO_RUN, NOT_BEFORE, NOT_KNOWN, TITLE
from webapp.trade.history import history_entry

LEAVE, ACCEPTABLE = answered("co_room", "leave"), answered("co_room", "acceptable")


@pytest.fixture(autouse=True)
def _today(desk: Desk, session: Session) -> None:
    walked_today(desk, session)


def ppm(value: float) -> tuple[str, dict[str, Any]]:
    return "reading_taken", {"check": "co_room", "quantity": "co_room_ppm", "value": value}


def pages_of(desk: Desk, place: tuple[str, str]) -> list[str]:
    site, job = place
    return [desk.read(path) for path in (f"/addresses/{site}", f"/jobs/{job}", f"/jobs/{job}/sheet")]


def test_90_ppm_that_were_aired_away_are_told_with_what_was_read_after_them(desk: Desk) -> None:
    place = on_the_job(desk, "1 Carbon Road", ppm(90), LEAVE, ppm(2), ACCEPTABLE)
    row = row_of(desk, "1 Carbon Road")
    assert "found unsafe: CO in the room: Leave now, 90 ppm" in row
    assert "nobody noted what put it right" in row
    desk.story.walk(*place, ("job_closed", {"state": "waiting_part", "words": "gasket"}))
    for page in pages_of(desk, place):
        assert "90 ppm" in page
        assert "looked at again" in page
        assert "2 ppm" in page
        assert "obody noted what put it right" in page


@pytest.mark.parametrize("state", ["waiting_part", "declined", "handed_over", "replaced"])
def test_closed_with_it_the_job_stays_red_among_what_is_to_do(desk: Desk, state: str) -> None:
    place = on_the_job(desk, "1 Carbon Road", ppm(90), LEAVE, ppm(2), ACCEPTABLE)
    desk.story.walk(*place, ("job_closed", {"state": state, "words": "runs it as it is"}))
    row = row_of(desk, "1 Carbon Road")
    assert row.startswith("found unsafe: CO in the room: Leave now, 90 ppm")
    sheet = desk.read(f"/jobs/{place[1]}/sheet")
    top, visit = sheet.index(TITLE), sheet.index("Your visit")
    plain = sheet.index("The room held so much carbon monoxide that everybody had to leave at once (90 ppm, ")
    assert top < plain < sheet.index(NOT_KNOWN) < sheet.index(NOT_BEFORE) < visit
    again = sheet[plain:visit]
    assert "Looked at again: The room held no more carbon monoxide than the rules allow (2 ppm, " in again
    assert "90 ppm" in sheet[visit:], "and where the findings are told"
    assert "To do 1" in desk.read("/jobs")
    part = "Waiting for a part, nothing booked: “runs it as it is”." in desk.read(f"/jobs/{place[1]}")
    assert part is (state == "waiting_part")
    again = desk.story.book(place[0])
    assert streets(desk) == ["1 Carbon Road"] * 2  # only booked: nobody has been there
    desk.story.open(place[0], again)
    assert streets(desk) == ["1 Carbon Road"]


def test_the_office_settles_it_with_why_and_a_left_off_is_told_itself(desk: Desk) -> None:
    place = on_the_job(desk, "1 Carbon Road", ppm(90), LEAVE, ppm(2), ACCEPTABLE)
    desk.story.walk(*place, ("job_closed", {"state": "declined", "words": "runs it as it is"}))
    job = f"/jobs/{place[1]}"
    assert "Closed with a danger that somebody only looked at again. Book the next visit" in desk.read(job)
    for bare in ("x", "ok", "done."):
        refused = desk.send(job, f"{job}/settle", why=bare)
        assert refused.status_code == 422
        assert "More than one word: who put it right and how, or who sees to it." in refused.text
        assert f'value="{bare}"' in refused.text
    site_id, job_id = place
    desk.story.say(desk.story.desk, "job_cancelled", {"why": "x"}, site_id=site_id, job_id=job_id)
    assert "Carbon Road" in desk.read("/jobs"), "an older desk took a bare word"
    assert desk.send(job, f"{job}/settle", why="The gas company shut it off").status_code == 303
    assert "Carbon Road" not in desk.read("/jobs")
    assert re.search("Nobody goes again: The gas company shut it off said by .+, .+[0-9]:[0-9]{2}", desk.read(job))
    assert "90 ppm" in desk.read(job)


def test_a_job_that_was_closed_after_what_put_it_right_is_not_among_them(desk: Desk) -> None:
    place = on_the_job(desk, "1 Carbon Road", ppm(2), ACCEPTABLE)
    desk.story.walk(*place, ("job_closed", {"state": "declined", "words": "too dear"}))
    assert "Carbon Road" not in desk.read("/jobs")


def test_a_repair_after_it_waits_for_the_run_that_shows_it(desk: Desk) -> None:
    mended = ("repair_made", {"action": "other", "words": "joint glued"})
    place = on_the_job(desk, "1 Carbon Road", ppm(90), LEAVE, mended, ppm(2), ACCEPTABLE)
    assert all("no hot run after the repair has held with its number" in page for page in pages_of(desk, place))
    assert NO_RUN in desk.read(f"/jobs/{place[1]}/sheet")
    run = {"passed": True, "minutes": 12, "restarts": 2, "looks_done": [], "co_room_ppm": 2}
    desk.story.walk(*place, ("proof_run", run))
    for page in pages_of(desk, place):
        assert "no hot run after the repair" not in page
        assert NOT_BEFORE not in page
        assert "90 ppm" in page
    assert "found unsafe" not in row_of(desk, "1 Carbon Road")


def test_what_was_taken_back_stays_to_be_read_as_taken_back(desk: Desk) -> None:
    place = on_the_job(desk, "1 Carbon Road")
    typed = desk.story.walk(*place, ppm(90))
    more = {"site_id": place[0], "job_id": place[1], "replaces": [typed[0]["id"]]}
    desk.story.say(desk.story.hand, "withdrawn", {}, **more)
    for page in pages_of(desk, place):
        assert "was noted as 90 ppm at " in page
        assert "taken back at " in page


def test_a_smell_that_went_keeps_what_was_shut(desk: Desk) -> None:
    gone = answered("smell_of_gas", "no_smell")
    gone[1]["words"] = "cock shut by the gas company"
    place = on_the_job(desk, "1 Gas Road", answered("smell_of_gas", "smell"), gone)
    for page in pages_of(desk, place):
        assert "cock shut by the gas company" in page
        assert "looked at again" in page


def test_a_wrong_number_stays_to_be_read_as_corrected(desk: Desk) -> None:
    place = on_the_job(desk, "1 Typing Road")
    typed = desk.story.walk(*place, ppm(90), LEAVE)
    for old, (kind, body), schema in zip(typed, (ppm(9), ACCEPTABLE), (2, 3), strict=True):
        more = {"site_id": place[0], "job_id": place[1], "schema": schema, "replaces": [old["id"]]}
        desk.story.say(desk.story.hand, kind, {**body, "corrects": True}, **more)
    for page in pages_of(desk, place):
        assert "was noted as 90 ppm at " in page
        assert "corrected to 9 ppm at " in page
        assert "nobody noted" not in page.lower()


def test_the_next_technicians_phone_has_both_in_the_earlier_visit(desk: Desk) -> None:
    events = []
    place = on_the_job(desk, "1 Carbon Road")
    events += desk.story.walk(*place, ppm(90), LEAVE, ppm(2), ACCEPTABLE)
    entry: Any = history_entry(WALKED, events)  # type: ignore[arg-type]
    (line,) = entry["looked_again"]
    assert (line["title"], line["found_words"], line["now_words"]) == (
        "CO in the room",
        "Leave now, 90 ppm",
        "Acceptable, 2 ppm",
    )
    assert [one["value"] for one in entry["readings"]] == [90, 2]
