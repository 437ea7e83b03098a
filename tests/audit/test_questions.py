"""One fair question for each returning address, made from its record."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime
from typing import Any

import pytest
from sqlalchemy.orm import Session

from tests.audit.conftest import History
from webapp.audit.service import Returning, read_first_page

READ: tuple[str, dict[str, Any]] = (
    "reading_taken",
    {"check": "suction", "quantity": "suction_in_wc", "value": 0.31, "state": "cold"},
)
LIMIT: tuple[str, dict[str, Any]] = ("reading_taken", {"check": "limit", "quantity": "limit_ohm", "value": 0.3})
IN_VAIN: tuple[str, dict[str, Any]] = ("check_answered", {"check": "tube", "outcome": None, "could_not": "no_access"})


@pytest.fixture
def asked(session: Session) -> Callable[[], list[Returning]]:
    def read() -> list[Returning]:
        session.rollback()
        return read_first_page(session, datetime.now(UTC)).returning

    return read


def test_a_part_changed_twice_and_never_read_is_asked_first(history: History, asked: Any) -> None:
    site = history.story.address()
    history.visit(site, 200, action="new_switch")
    history.visit(site, 240, action="new_switch")
    (one,) = asked()
    assert one.question == (
        "Two visits in 40 days for “no hot water”; new switch both times, and its suction was never measured before. "
        "What was not looked at?"
    )


def test_the_same_repair_twice_is_asked_what_brings_it_back(history: History, asked: Any) -> None:
    site = history.story.address()
    for day in (200, 220, 250):
        history.visit(site, day)
    assert asked()[0].question == (
        "Three visits in 50 days for “no hot water”; seated the sensing tube each time. What brings the fault back?"
    )


def test_a_check_that_was_never_possible_is_asked_what_it_takes(history: History, asked: Any) -> None:
    site = history.story.address()
    history.visit(site, 200, IN_VAIN)
    history.visit(site, 210, IN_VAIN, action="clear_screen")
    assert "“Sensing tube, both ends” could not be checked on any of them (could not reach it)" in asked()[0].question


def test_a_check_that_one_visit_managed_is_not_asked_for(history: History, asked: Any) -> None:
    site = history.story.address()
    done: tuple[str, dict[str, Any]] = ("check_answered", {"check": "tube", "outcome": "seated", "could_not": None})
    history.visit(site, 200, IN_VAIN)
    history.visit(site, 210, done, action="clear_screen")
    assert "could not be checked" not in asked()[0].question


@pytest.mark.parametrize(
    ("run", "expected"),
    [(None, "no hot run stands recorded after the repair."), (False, "the hot run after the repair did not hold.")],
)
def test_a_repair_that_was_not_proved_is_asked_about(
    history: History, asked: Any, run: bool | None, expected: str
) -> None:
    site = history.story.address()
    history.visit(site, 200, run=run, close="not_proven")
    history.visit(site, 215, action="clear_screen")
    assert expected in asked()[0].question


def test_two_causes_are_asked_what_tells_them_apart(history: History, asked: Any) -> None:
    site = history.story.address()
    history.visit(site, 200, READ)
    history.visit(site, 215, READ, cause="screen_shut", action="clear_screen")
    assert asked()[0].question.endswith(
        "first “sensing tube off its port” was named, then “screen shut”. Which finding tells the two apart?"
    )


def test_of_three_visits_only_the_last_two_causes_are_told_as_such(history: History, asked: Any) -> None:
    site = history.story.address()
    history.visit(site, 200, READ, cause="screen_shut", action="clear_screen")
    history.visit(site, 215, READ)
    history.visit(site, 230, READ, cause="screen_shut", action="clear_nothing")
    assert asked()[0].question.endswith(
        "the last visit but one named “sensing tube off its port”, the last “screen shut”. "
        "Which finding tells the two apart?"
    )


@pytest.mark.parametrize(
    ("action", "expected"), [("new_blower", "neither its amps, its wheel"), ("new_control", "what goes in")]
)
def test_a_blower_or_a_control_changed_unread_is_asked_about(
    history: History, asked: Any, action: str, expected: str
) -> None:
    site = history.story.address()
    history.visit(site, 200, action=action)
    history.visit(site, 230)
    assert expected in asked()[0].question


def test_what_was_never_measured_is_asked_for(history: History, asked: Any) -> None:
    site = history.story.address()
    history.visit(site, 200, LIMIT)
    history.call(site, 215)
    assert asked()[0].question == (
        "One visit and another call in 15 days for “no hot water”; none of them has a reading of “suction”. "
        "What would it say?"
    )


def test_where_nothing_is_missing_the_next_visit_is_asked(history: History, asked: Any) -> None:
    site = history.story.address()
    history.visit(site, 200, LIMIT, READ)
    history.call(site, 215)
    assert asked()[0].question.endswith(". What should this visit look at that the one before did not?")


def test_five_addresses_are_asked_the_one_with_most_returns_first(history: History, asked: Any) -> None:
    for number in range(6):
        site = history.story.address(f"{number} Mill Lane")
        history.visit(site, 150 + number)
        history.visit(site, 170 + number)
        if number == 0:
            history.visit(site, 190)
    assert [one.site.street[0] for one in asked()] == ["0", "5", "4", "3", "2"]
    assert [len(one.lines) for one in asked()] == [3, 2, 2, 2, 2]


def test_who_came_back_for_something_else_is_not_asked(history: History, asked: Any) -> None:
    site, other = history.story.address(), history.story.address("9 Weir Road")
    history.visit(site, 200)
    history.visit(site, 215, complaint="noise")
    history.visit(other, 200, action=None, close="waiting_part", run=None)
    history.visit(other, 204)
    assert asked() == []


def test_no_question_names_anybody(history: History, asked: Any) -> None:
    site = history.story.address()
    history.visit(site, 200)
    history.visit(site, 240)
    names = {history.story.technician.name, *history.story.technician.name.split()}
    assert not any(name in asked()[0].question for name in names)
    assert asked()[0].question.count("?") == 1
