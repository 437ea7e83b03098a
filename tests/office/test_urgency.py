"""What wants the office most stands on top, and each row says why it stands there."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest

from tests.office.conftest import Desk
from webapp.models.base import wall_time
from webapp.models.ids import new_id
from webapp.sync.queries import groups_worked_at

NOT_ASKED = dict.fromkeys(("smell_of_gas", "co_alarm", "unwell", "water_leak"), "not_asked") | {
    "lately": [],
    "said": [],
}
LEFT_OFF = {"what_words": "heater", "why_words": "cracked vent", "told_words": "Mrs Vale"}


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(autouse=True)
def _now(desk: Desk) -> None:
    """These stories happen today: the order depends on the clock."""
    desk.story.at = datetime.now(UTC) - timedelta(hours=8)


def booked(desk: Desk, street: str, **call: Any) -> tuple[str, str]:
    """A new address with a job; what was asked on the phone, where something was."""
    site, job_id = desk.story.address(street), new_id()
    if call:
        desk.story.say(desk.story.desk, "call_taken", NOT_ASKED | call, site_id=site, job_id=job_id)
    body = {"complaint": "no_hot_water", "complaint_words": "cold", "procedure_name": "toy_vent"}
    body["technician_id"] = desk.story.technician.id
    desk.story.say(desk.story.desk, "job_booked", body, site_id=site, job_id=job_id)
    return site, job_id


def due_out(desk: Desk, place: tuple[str, str], minutes_from_now: float, ring: str | None = "555-0100") -> None:
    due = wall_time(datetime.now(UTC) + timedelta(minutes=minutes_from_now))
    desk.story.open(*place)
    desk.story.walk(*place, ("due_out", {"due_out_wall": due, "ring_phone": ring}))


def days_ago(days: int) -> str:
    return (datetime.now().astimezone().date() - timedelta(days=days)).isoformat()


def streets(desk: Desk, path: str = "/jobs") -> list[str]:
    return re.findall(r'class="row-link"[^>]*>([^<]*)<', desk.client.get(path).text)


def row_of(desk: Desk, street: str, path: str = "/jobs") -> str:
    page = desk.client.get(path).text
    row = next(row for row in page.split("<tr")[2:] if street in row)
    return " ".join(re.sub(r"<[^>]+>", " ", row.partition(">")[2]).split())


def test_the_five_reasons_stand_in_their_order_and_each_row_says_its_own(desk: Desk) -> None:
    """Booked in the wrong order on purpose."""
    booked(desk, "5 Rest Road")
    site, _job = booked(desk, "4 Return Road")
    desk.story.whole_visit(site)
    desk.story.book(site)
    booked(desk, "3b Cold Road", no_hot_water_since=days_ago(2))
    booked(desk, "3a Cold Road", no_hot_water_since=days_ago(6))
    booked(desk, "2 Alarm Road", co_alarm="yes", no_hot_water_since=days_ago(1))
    below = booked(desk, "1b Below Road")
    due_out(desk, below, -12)
    longer = booked(desk, "1a Below Road")
    due_out(desk, longer, -95)
    assert streets(desk)[:5] == ["1a Below Road", "1b Below Road", "2 Alarm Road", "3a Cold Road", "3b Cold Road"]
    assert streets(desk)[5] == "4 Return Road"
    assert streets(desk)[6:] == ["5 Rest Road", "4 Return Road"]  # the first call from there was no return
    assert re.search(r"^due out .*\d\d:\d\d, overdue 12 min, ring 555-0100", row_of(desk, "1b Below Road"))
    assert row_of(desk, "2 Alarm Road").startswith("caller alarm no hot water since yesterday")
    assert row_of(desk, "3a Cold Road").startswith("no hot water for 6 days")
    assert row_of(desk, "4 Return Road").startswith("1 visit here before") or "2 visits here" in row_of(
        desk, "4 Return Road"
    )
    assert row_of(desk, "5 Rest Road").startswith("waiting ")


def book_for_nobody(desk: Desk, street: str, **call: Any) -> tuple[str, str]:
    site, job_id = desk.story.address(street), new_id()
    if call:
        desk.story.say(desk.story.desk, "call_taken", NOT_ASKED | call, site_id=site, job_id=job_id)
    body = {"complaint": "no_hot_water", "complaint_words": "cold", "procedure_name": "toy_vent"}
    desk.story.say(desk.story.desk, "job_booked", body, schema=2, site_id=site, job_id=job_id)
    return site, job_id


def test_where_nobody_goes_yet_stands_on_top_of_its_own_class_and_says_so(desk: Desk) -> None:
    booked(desk, "1 Plain Road")
    booked(desk, "1 Cold Road", no_hot_water_since=days_ago(9))
    booked(desk, "1 Gas Road", smell_of_gas="yes")
    book_for_nobody(desk, "2 Plain Road")
    book_for_nobody(desk, "2 Cold Road", no_hot_water_since=days_ago(2))
    book_for_nobody(desk, "2 Gas Road", smell_of_gas="yes")
    wanted = ["2 Gas Road", "1 Gas Road", "2 Cold Road", "1 Cold Road", "2 Plain Road", "1 Plain Road"]
    assert streets(desk) == wanted
    assert desk.read("/jobs").count("nobody is going yet caller alarm") == 1
    assert desk.client.get("/jobs").text.count('class="why-first">nobody is going yet<') == 3


def test_somebody_is_sent_with_one_tap_from_the_list_and_only_then_a_phone_has_the_job(desk: Desk) -> None:
    _site, job_id = book_for_nobody(desk, "2 Plain Road")
    phone = groups_to_see(desk)
    assert phone == set()
    page = desk.client.get("/jobs")
    assert f'name="technician_id" value="{desk.story.technician.id}"' in page.text
    answer = desk.send("/jobs", f"/jobs/{job_id}/move", technician_id=desk.story.technician.id, back="list")
    assert answer.location == "/jobs"
    told = desk.read("/jobs")
    assert "Tom Torch goes. The phone hears of it as soon as it has signal." in told
    assert "nobody is going yet" not in told
    assert len(groups_to_see(desk)) == 1


def groups_to_see(desk: Desk) -> set[str]:
    desk.story.session.rollback()  # reads anew
    since = datetime.now(UTC) - timedelta(days=30)
    return groups_worked_at(desk.story.session, desk.story.technician.id, since=since)


def test_a_technician_who_came_out_or_is_not_due_yet_is_not_overdue(desk: Desk) -> None:
    out, not_due = booked(desk, "1 Out Road"), booked(desk, "2 Below Road")
    due_out(desk, out, -30)
    due_out(desk, not_due, 45)
    desk.story.walk(*out, ("came_out", {}))
    words = desk.read("/jobs")
    assert "overdue" not in words.partition("As of")[2]
    assert "due out" in row_of(desk, "2 Below Road")
    assert "due out" not in row_of(desk, "1 Out Road")


def test_nobody_to_ring_is_said_and_not_left_blank(desk: Desk) -> None:
    due_out(desk, booked(desk, "1 Below Road"), -5, ring=None)
    assert "overdue 5 min, no number to ring was given" in row_of(desk, "1 Below Road")
    job_id = re.findall(r'class="row-link" href="(/jobs/[^"]+)"', desk.client.get("/jobs").text)[0]
    assert "overdue 5 min; no number to ring was given" in desk.read(job_id)


def test_a_technician_below_on_a_cancelled_job_still_stands_on_top(desk: Desk) -> None:
    place = booked(desk, "1 Below Road")
    due_out(desk, place, -20)
    desk.story.say(desk.story.desk, "job_cancelled", {"why": "works again"}, site_id=place[0], job_id=place[1])
    booked(desk, "2 Other Road", smell_of_gas="yes")
    assert streets(desk) == ["1 Below Road", "2 Other Road"]
    assert "To do 2" in desk.read("/jobs")


def test_a_heater_left_off_without_a_word_to_the_office_stays_on_the_list_when_its_job_is_closed(desk: Desk) -> None:
    site, job_id = booked(desk, "1 Off Road")
    desk.story.open(site, job_id)
    desk.story.walk(site, job_id, ("left_off", LEFT_OFF), ("job_closed", {"state": "left_off"}))
    assert row_of(desk, "1 Off Road").startswith("heater left off, office not told")
    told = {"told_wall": wall_time(datetime.now(UTC)), "who_words": "Dora"}
    desk.story.walk(site, job_id, ("office_told", told))
    assert "1 Off Road" not in desk.read("/jobs")


def test_a_caller_of_today_stands_before_a_heater_left_off_a_while_ago(desk: Desk) -> None:
    site, job_id = booked(desk, "2 Off Road")
    desk.story.open(site, job_id)
    desk.story.walk(site, job_id, ("left_off", LEFT_OFF), ("job_closed", {"state": "left_off"}))
    booked(desk, "1 Alarm Road", smell_of_gas="yes")
    assert streets(desk) == ["1 Alarm Road", "2 Off Road"]


def test_a_heater_put_back_by_a_later_job_is_off_no_more_until_that_is_taken_back(desk: Desk) -> None:
    site, job_id = booked(desk, "1 Off Road")
    desk.story.open(site, job_id)
    desk.story.walk(site, job_id, ("left_off", LEFT_OFF), ("job_closed", {"state": "left_off"}))
    other = desk.story.address("1 Off Rd")
    desk.story.say(desk.story.desk, "same_address", {"other_site_id": other}, site_id=site)
    later = desk.story.book(other)
    assert re.search("no hot water since (today|yesterday)", row_of(desk, "1 Off Rd"))  # it was eight hours ago
    back = desk.story.walk(other, later, ("put_back", {"words": "new vent, proved"}))[0]
    words = desk.read("/jobs")
    assert "office not told" not in words
    assert "no hot water since" not in words
    desk.story.say(desk.story.hand, "withdrawn", {}, site_id=other, job_id=later, replaces=[back["id"]])
    assert "office not told" in desk.read("/jobs")


def test_a_wrong_day_from_somewhere_breaks_no_list(desk: Desk) -> None:
    place = booked(desk, "1 Below Road")
    due_out(desk, place, -5)
    assert desk.client.get("/jobs?rank=9&from=x&after=y&key=%27").status_code == 200
    assert desk.client.get("/jobs?rank=1&from=2026-11-25T08:19:09%2B00:00&after=zzz&key=9").status_code == 200


def test_the_pages_of_the_list_hold_every_job_once_across_all_ranks(desk: Desk) -> None:
    for number in range(60):
        call = {"no_hot_water_since": days_ago(number % 4)} if number % 3 == 0 else {}
        call |= {"unwell": "yes"} if number % 7 == 0 else {}
        booked(desk, f"{number} Paging Road", **call)
    seen: list[str] = []
    ranks: list[int] = []
    path = "/jobs"
    while path:
        page = desk.client.get(path).text
        seen += re.findall(r'class="row-link"[^>]*>([^<]*)<', page)
        ranks += [int(rank) for rank in re.findall(r'data-rank="(\d)"', page)]
        before, found, _after = page.partition(">Later jobs<")
        path = before.rpartition('href="')[2].partition('"')[0].replace("&amp;", "&") if found else ""
    assert sorted(seen) == sorted(f"{number} Paging Road" for number in range(60))
    assert ranks == sorted(ranks)
    assert set(ranks) == {2, 4, 6}


def test_the_list_says_as_of_when_it_is_and_how_many_are_overdue(desk: Desk) -> None:
    due_out(desk, booked(desk, "1 Below Road"), -5)
    page = desk.client.get("/jobs").text
    assert re.search(r"As of \d\d:\d\d\.", page)
    assert 'data-told="1 technician overdue below ground"' in page
    assert "<title>1 overdue: To do" in page
    assert "http-equiv" not in page.lower()
