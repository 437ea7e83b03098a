"""What a visit did not look at, and a test run that cannot have lasted as it says, are told plainly and fairly."""

from __future__ import annotations

import pytest
from sqlalchemy.orm import Session

from tests.jobsheet.test_true_and_short import GATE, answers, walked
from tests.office.conftest import Desk
from tests.sites.stories import Story
from webapp.models import Job

LOOKS = {
    "terminal": "clear",
    "joints": "sound",
    "slope": "falls_right",
    "burn_marks": "clean",
    "manual_limit": "none_tripped",
    "tp_valve": "sound",
}
NONE_MADE = "No look for safety was made on this visit. Nobody has shown that "


def sheet_of(desk: Desk, job: str) -> str:
    return desk.read(f"/jobs/{job}/sheet")


def pages(desk: Desk, session: Session, job: str) -> list[str]:
    return [desk.read(f"/jobs/{job}"), desk.read(f"/addresses/{session.get_one(Job, job).site_id}")]


@pytest.mark.parametrize("state", ["waiting_part", "declined", "handed_over", "replaced", "not_seen_today"])
def test_whoever_was_turned_away_at_the_door_has_shown_nothing(
    state: str, desk: Desk, story: Story, session: Session
) -> None:
    job = walked(story, session, ("job_closed", {"state": state}))
    assert f"{NONE_MADE}the heater runs safely." in sheet_of(desk, job)
    for page in pages(desk, session, job):
        assert f"{NONE_MADE}it runs safely." in page


def test_the_looks_that_were_not_made_are_named_in_plain_words(desk: Desk, story: Story, session: Session) -> None:
    some = GATE | LOOKS
    del some["smell_of_gas"], some["co_room"], some["joints"]
    job = walked(story, session, *answers(**some), ("job_closed", {"state": "handed_over"}))
    told = "Not looked at on this visit: smell of gas; carbon monoxide in the room; joints and kind of the vent pipe."
    assert f"{told} Nobody has shown that the heater runs safely." in sheet_of(desk, job)
    told = "Not looked at on this visit: smell of gas; CO in the room; joints and pipe."
    for page in pages(desk, session, job):
        assert f"{told} Nobody has shown that it runs safely." in page


@pytest.mark.parametrize(
    "acts",
    [
        [*answers(**GATE | LOOKS), ("job_closed", {"state": "handed_over"})],
        [
            ("left_off", {"what_words": "x", "why_words": "y", "told_words": "z"}),
            ("job_closed", {"state": "handed_over"}),
        ],
        [("job_closed", {"state": "left_off"})],
        [*answers(**GATE)],  # not over yet
    ],
)
def test_where_all_was_looked_at_or_it_stands_off_or_is_not_over_nothing_is_said(
    acts: list, desk: Desk, story: Story, session: Session
) -> None:
    job = walked(story, session, *acts)
    for page in [sheet_of(desk, job), *pages(desk, session, job)]:
        assert "Nobody has shown" not in page


def run(minutes: float, **more: object) -> tuple[str, dict]:
    return "proof_run", {"passed": True, "minutes": minutes, "restarts": 3, "looks_done": []} | more


def test_a_run_noted_at_once_after_the_repair_is_told_with_what_the_clock_says(
    desk: Desk, story: Story, session: Session
) -> None:
    repaired = ("repair_made", {"action": "other", "words": "vent glued"})
    job = walked(story, session, *answers(**GATE), repaired, ("note", {"words": "x"}))
    site = session.get_one(Job, job).site_id
    story.say(story.hand, *run(0.5), site_id=site, job_id=job)
    assert "By the clock" not in sheet_of(desk, job)
    wall = story.at.isoformat().replace("+00:00", "Z")
    story.say(story.hand, *run(10.0), site_id=site, job_id=job, at_wall=wall)
    story.walk(site, job, ("job_closed", {"state": "proven"}))
    assert (
        "By the clock this run was noted less than a minute after the run before it: 10 minutes do not lie between. "
        "The clock or the figure may be wrong; ask us."
    ) in sheet_of(desk, job)
    for page in pages(desk, session, job):
        assert "after the run before it: 10 minutes cannot have passed." in page


def test_a_run_of_its_whole_minutes_is_told_without_a_remark(desk: Desk, story: Story, session: Session) -> None:
    job = walked(story, session, *answers(**GATE), ("repair_made", {"action": "other"}), run(10.0))
    assert "By the clock" not in sheet_of(desk, job)
    assert "cannot have passed" not in desk.read(f"/jobs/{job}")
