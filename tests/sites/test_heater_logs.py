"""A logbook for each heater: what came back, what moved, what is confirmed, what nobody measured."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy.orm import Session

from tests.sites.stories import Story
from webapp.audit import returns
from webapp.models.ids import new_id
from webapp.sites import did_it_hold
from webapp.sites.heater_logs import NOT_NAMED, HeaterLog
from webapp.sites.service import read_address, read_job
from webapp.sites.timeline import grouped
from webapp.sites.trend import EDGE, HEIGHT, WIDTH, trend

CELLAR, ATTIC = new_id(), new_id()


def described(appliance_id: str, place: str) -> tuple[str, dict[str, Any]]:
    return "appliance_described", {"appliance_id": appliance_id, "kind": "power_vent", "serial_words": place}


def visit_at(story: Story, site: str, appliance_id: str | None, *, cause: str = "tube_off") -> str:
    job = story.whole_visit(site, cause=cause)
    if appliance_id:
        story.walk(site, job, described(appliance_id, "A" if appliance_id == ATTIC else "C"))
    return job


def logs_of(session: Session, site: str) -> dict[str, HeaterLog]:
    session.rollback()
    return {log.words: log for log in read_address(session, site, None).logs}


def test_visits_stand_under_the_heater_they_named_the_newest_first(story: Story, session: Session) -> None:
    site = story.address()
    jobs = []
    for heater in (CELLAR, ATTIC, CELLAR, None):
        jobs.append(visit_at(story, site, heater))
        story.days_later(5)
    logs = logs_of(session, site)
    assert list(logs) == [NOT_NAMED, "Power vent, serial C", "Power vent, serial A"]
    assert [visit.job_id for visit in logs["Power vent, serial C"].visits] == [jobs[2], jobs[0]]
    assert [visit.job_id for visit in logs[NOT_NAMED].visits] == [jobs[3]]
    assert all(log.not_said == 0 for log in logs.values())


def test_the_only_heater_takes_the_visits_that_name_none_and_says_so(story: Story, session: Session) -> None:
    site = story.address()
    visit_at(story, site, CELLAR)
    visit_at(story, site, None)
    (log,) = logs_of(session, site).values()
    assert (len(log.visits), log.not_said) == (2, 1)


def test_without_any_description_the_heater_is_not_named(story: Story, session: Session) -> None:
    site = story.address()
    visit_at(story, site, None)
    (log,) = logs_of(session, site).values()
    assert (log.words, log.appliance_id, log.not_said) == (NOT_NAMED, None, 0)


def test_a_description_that_was_taken_back_names_no_heater(story: Story, session: Session) -> None:
    site = story.address()
    job = story.whole_visit(site)
    (event,) = story.walk(site, job, described(CELLAR, "C"))
    story.say(story.hand, "withdrawn", {}, site_id=site, job_id=job, replaces=[event["id"]])
    assert list(logs_of(session, site)) == [NOT_NAMED]


def test_a_visit_to_the_other_heater_is_no_return_visit(story: Story, session: Session) -> None:
    site = story.address()
    first = visit_at(story, site, CELLAR)
    story.days_later(5)
    visit_at(story, site, ATTIC)
    story.days_later(5)
    third = visit_at(story, site, CELLAR)
    session.rollback()
    visits = {visit.job_id: visit for visit in read_address(session, site, None).visits}
    came_back = visits[first].came_back
    assert came_back is not None
    assert came_back.job_id == third
    assert came_back.words.startswith("Return visit after 10 days, same cause")
    alone = read_job(session, first).visit.came_back
    assert alone == came_back
    assert visits[third].came_back is None
    assert any(said.words.startswith("Held so far") for said in visits[third].held)


def test_a_visit_that_named_no_heater_may_have_been_a_return_visit(story: Story, session: Session) -> None:
    site = story.address()
    first = visit_at(story, site, CELLAR)
    visit_at(story, site, ATTIC)
    unnamed = visit_at(story, site, None)
    session.rollback()
    visits = {visit.job_id: visit for visit in read_address(session, site, None).visits}
    came_back = visits[first].came_back
    assert came_back is not None
    assert came_back.job_id == unnamed


def test_a_cause_that_was_found_again_is_told_before_the_visits(story: Story, session: Session) -> None:
    site = story.address()
    jobs = [story.whole_visit(site) for _ in range(2)]
    story.whole_visit(site, cause="screen_shut")
    (log,) = logs_of(session, site).values()
    (repeat,) = log.repeats
    assert repeat.words == "Sensing tube off its port: found on 2 visits"
    assert [visit.job_id for visit in repeat.visits] == jobs[::-1]


def test_two_other_causes_are_no_repeat(story: Story, session: Session) -> None:
    site = story.address()
    for _ in range(2):
        story.whole_visit(site, cause="other")
    (log,) = logs_of(session, site).values()
    assert log.repeats == []


@pytest.mark.parametrize(
    ("agreed", "told"),
    [
        (None, "typed on site, not confirmed yet"),
        ({"agrees": True}, "confirmed against the photo"),
        ({"agrees": False, "read_value": 0.41}, "the photo reads 0.41 in. w.c."),
        ({"agrees": False}, "the photo reads otherwise"),
    ],
)
def test_a_makers_figure_says_whether_the_office_has_read_the_photo(
    story: Story, session: Session, agreed: dict[str, Any] | None, told: str
) -> None:
    site = story.address()
    job = visit_at(story, site, CELLAR)
    body = {"quantity": "make_point_in_wc", "value": 0.36, "where": "part_label"}
    (typed,) = story.walk(site, job, ("sheet_number", body))
    if agreed:
        said = {"sheet_event_id": typed["id"], "quantity": "make_point_in_wc", **agreed}
        story.say(story.desk, "sheet_confirmed", said, site_id=site, job_id=job)
    (log,) = logs_of(session, site).values()
    (figure,) = log.figures
    assert (figure.words, figure.read_from, figure.confirmed) == ("make point 0.36 in. w.c.", "label on the part", told)


def test_a_figure_of_the_companys_own_sheet_is_not_said_to_be_typed_or_read_here(
    story: Story, session: Session
) -> None:
    site = story.address()
    job = visit_at(story, site, CELLAR)
    body = {"quantity": "make_point_in_wc", "value": 0.36, "where": "part_label", "model_sheet_id": new_id()}
    story.say(story.hand, "sheet_number", body, schema=2, site_id=site, job_id=job)
    (log,) = logs_of(session, site).values()
    assert [figure.line for figure in log.figures] == [
        "make point 0.36 in. w.c. (company's sheet of this model, not read on the heater)"
    ]


def test_a_figure_typed_again_does_not_hide_what_the_office_read_of_the_one_before(
    story: Story, session: Session
) -> None:
    site = story.address()
    for value in (0.36, 0.39):
        job = visit_at(story, site, CELLAR)
        body = {"quantity": "make_point_in_wc", "value": value, "where": "part_label"}
        (typed,) = story.walk(site, job, ("sheet_number", body))
        if value == 0.36:
            said = {"sheet_event_id": typed["id"], "quantity": "make_point_in_wc", "agrees": False, "read_value": 0.41}
            story.say(story.desk, "sheet_confirmed", said, site_id=site, job_id=job)
    (log,) = logs_of(session, site).values()
    (figure,) = log.figures
    assert figure.words == "make point 0.39 in. w.c."
    assert figure.confirmed == (
        "typed on site, not confirmed yet; of make point 0.36 in. w.c., typed before it: the photo reads 0.41 in. w.c."
    )


def test_the_windows_are_those_of_the_owners_figures() -> None:
    assert did_it_hold.WINDOWS_DAYS == returns.WINDOWS_DAYS


@pytest.mark.parametrize(
    ("days", "told"),
    [
        (12, "Held so far: 12 days without another visit; its 30 days are not over"),
        (29.9, "Held so far: 29 days without another visit; its 30 days are not over"),
        (31, "Held so far: 31 days without another visit; its 90 days are not over"),
        (91, "Held so far: 91 days without another visit, longer than the 90 days that count"),
    ],
)
def test_how_long_it_held_is_told_with_the_window_that_is_open(
    story: Story, session: Session, days: float, told: str
) -> None:
    story.at = datetime.now(UTC) - timedelta(days=days, hours=1)
    site = story.address()
    story.whole_visit(site)
    assert read_address(session, site, None).visits[0].held[-1].words == told


def test_a_run_that_failed_has_nothing_to_hold(story: Story, session: Session) -> None:
    site = story.address()
    story.whole_visit(site, passed=False)
    assert read_address(session, site, None).visits[0].held[-1].words.startswith("No visit since then, ")


def test_before_and_after_of_any_quantity_stand_among_the_readings(story: Story, session: Session) -> None:
    site = story.address()
    job = story.book(site)
    story.open(site, job)
    proof = {
        "passed": True, "minutes": 12, "restarts": 1, "quantity": "closed_mv", "before_value": 4.0,
        "after_value": 14.5, "co_air_free_ppm": 20, "looks_done": [],
    }  # fmt: skip
    story.say(story.hand, "proof_run", proof, site_id=site, job_id=job, schema=2)
    told = {seen.words: seen.value for seen in read_job(session, job).visit.readings}
    assert told["Closed before the repair"] == "4 mV"
    assert told["Closed in the hot run"] == "14.5 mV"
    assert told["CO air-free, hot run"] == "20 ppm"


def test_the_same_noted_thrice_stands_once_with_its_count(story: Story, session: Session) -> None:
    site = story.address()
    job = story.book(site)
    story.walk(site, job, *[("note", {"words": "wet floor"})] * 3, ("note", {"words": "dry floor"}))
    (here, *_) = grouped(read_job(session, job).visit.lines)
    assert [(line.detail, line.times) for line in here.lines] == [("“dry floor”", 1), ("“wet floor”", 3)]


def test_a_trend_keeps_its_order_and_its_box() -> None:
    drawn = trend([0.5, None, 0.2, 0.8])
    assert drawn is not None
    across = [point[0] for point in drawn.points]
    down = [point[1] for point in drawn.points]
    assert across == sorted(across)
    assert (across[0], across[-1]) == (EDGE, WIDTH - EDGE)
    assert (max(down), min(down)) == (HEIGHT - EDGE, EDGE)
    assert down.index(max(down)) == 1, "the smallest stands lowest"


@pytest.mark.parametrize("values", [[], [1.0], [1.0, 2.0], [None, 1.0, None, 2.0]])
def test_too_little_is_not_drawn(values: list[float | None]) -> None:
    assert trend(values) is None


def test_a_flat_row_is_drawn_in_the_middle() -> None:
    drawn = trend([3.0, 3.0, 3.0])
    assert drawn is not None
    assert {down for _, down in drawn.points} == {HEIGHT / 2}
