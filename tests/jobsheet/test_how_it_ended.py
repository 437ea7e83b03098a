"""How a visit ended, told to the household: which part, to whom, what was put in, and what is open."""

from __future__ import annotations

from typing import Any

import pytest
from sqlalchemy.orm import Session

from tests.jobsheet.test_true_and_short import GATE, answers, told, walked
from tests.office.conftest import Desk
from tests.sites.stories import HELD, Story


def closed(state: str, words: str | None = None) -> tuple[str, dict[str, Any]]:
    return "job_closed", {"state": state, **({"words": words} if words else {})}


@pytest.mark.parametrize(
    ("state", "words", "after"),
    [
        ("waiting_part", "Thermocouple 24 in., ordered today", "A second visit is needed once the part is there."),
        ("handed_over", "The gas company, by phone 14:05", ""),
        ("declined", "A new control was offered, they wait", ""),
        (
            "replaced",
            "A 50 gallon tank of the same kind",
            "Numbers and answers on this sheet may be of the heater that was taken out.",
        ),
    ],
)
def test_the_sheet_quotes_the_words_of_the_close(
    desk: Desk, story: Story, session: Session, state: str, words: str, after: str
) -> None:
    sheet = told(desk, walked(story, session, *answers(**GATE), closed(state, words)))
    assert f"In our technician's words: “{words}” {after}".strip() in sheet


def test_what_went_with_a_proven_close_is_for_colleagues(desk: Desk, story: Story, session: Session) -> None:
    acts = [*answers(**GATE), ("repair_made", {"action": "seat_tube"}), HELD, closed("proven", "mind the dog")]
    assert "mind the dog" not in told(desk, walked(story, session, *acts))


def test_not_proven_says_what_now_and_blesses_nothing(desk: Desk, story: Story, session: Session) -> None:
    sheet = told(desk, walked(story, session, *answers(**GATE), closed("not_proven", "draws too little still")))
    assert "“draws too little still” The fault may come back." in sheet
    assert "Nothing on this sheet says that it will go on running." in sheet


@pytest.mark.parametrize(
    ("acts", "words"),
    [
        ([], "By this record the burner was not run on this visit: nothing here shows how it runs."),
        (answers(watch_cycle="runs"), "The burner was run on this visit."),
    ],
)
def test_a_fault_that_was_not_seen_says_whether_the_burner_was_run(
    desk: Desk, story: Story, session: Session, acts: list[tuple[str, dict[str, Any]]], words: str
) -> None:
    sheet = told(desk, walked(story, session, *answers(**GATE), *acts, closed("not_seen_today", "stood by it 20 min")))
    assert f"“stood by it 20 min” {words}" in sheet
