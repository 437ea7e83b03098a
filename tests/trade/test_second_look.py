"""When a new word takes the place of an unsafe one, case by case: danger vanishes by no doubt and by no other check."""

from __future__ import annotations

import pytest

from tests.trade.making import event
from webapp.trade.record import fold_job
from webapp.trade.second_look import is_second_look


def at(second):
    return f"2026-11-26T06:{10 + second // 60:02}:{second % 60:02}.000Z"


def ppm(number, value, second=0, **more):
    body = {"check": "co_room", "quantity": "co_room_ppm", "value": value}
    return event(number, "reading_taken", body, at_wall=at(second), **more)


def said(number, check, outcome, second=0, **more):
    body = {"check": check, "outcome": outcome, "could_not": None if outcome else "no_access"}
    return event(number, "check_answered", body, at_wall=at(second), **more)


@pytest.mark.parametrize(
    ("second", "stands"), [(120, False), (121, True), (-1, True)], ids=["two minutes", "a second more", "went back"]
)
def test_two_minutes_by_the_phones_own_clock_are_a_wrong_tap(second, stands):
    old, new = said(1, "smell_of_gas", "smell"), said(2, "smell_of_gas", "no_smell", second)
    assert is_second_look([old, new], old, new) is stands


@pytest.mark.parametrize(
    ("value", "answers", "stands"),
    [
        (8.99, [], False),  # no rule set calls it raised
        (9, [], True),
        (9, ["acceptable"], False),
        (29.9, ["acceptable"], False),
        (30, ["acceptable"], True),  # every rule set does
        (12, ["raised"], True),
        (12, [None], True),
        (12, [None, "acceptable"], False),
    ],
)
def test_a_figure_gives_way_where_no_rule_set_or_not_the_firms_own_called_it_raised(value, answers, stands):
    ordered = [ppm(1, value)] + [said(2 + place, "co_room", outcome, 10) for place, outcome in enumerate(answers)]
    new = ppm(9, 2, 600, replaces=["e001"])
    assert is_second_look([*ordered, new], ordered[0], new) is stands


@pytest.mark.parametrize("answer", [{"person_id": "bo"}, {"number": 10}, {"check": "terminal"}])
def test_only_its_own_readers_answer_before_the_next_figure_calls_it_safe(answer):
    number, check = answer.pop("number", 2), answer.pop("check", "co_room")
    old, new = ppm(1, 12), ppm(9, 2, 600, replaces=["e001"])
    safe = said(number, check, "acceptable" if check == "co_room" else "clear", 610, **answer)
    assert is_second_look(sorted([old, new, safe], key=lambda one: one["lamport"]), old, new)


@pytest.mark.parametrize(
    ("new", "stands"),
    [
        (said(2, "terminal", "clear", 5), True),
        (ppm(2, 0, 5), True),
        (event(2, "note", {"words": "x"}), True),
        (event(2, "withdrawn", {}), False),
    ],
)
def test_an_unsafe_answer_gives_way_to_no_other_check_and_no_other_kind_but_to_its_undoing(new, stands):
    old, new = said(1, "smell_of_gas", "smell"), {**new, "replaces": ["e001"]}
    checks = {one["check"]: one for one in fold_job([old, new])["checks"]}
    assert ("smell_of_gas" in checks) is stands


def test_a_figure_takes_no_answers_place():
    old, new = said(1, "co_room", "leave"), ppm(2, 2, 5, replaces=["e001"])
    assert is_second_look([old, new], old, new)


def corrected(*events):
    return [(one["outcome"], one["to_outcome"]) for one in fold_job(list(events))["corrected"]]


def test_a_wrong_tap_corrected_twice_is_told_with_what_stands_also_once_the_second_is_undone():
    first, second = said(1, "smell_of_gas", "smell"), said(2, "smell_of_gas", None, 30, replaces=["e001"])
    third = said(3, "smell_of_gas", "no_smell", 60, replaces=["e001", "e002"])
    assert corrected(first, second, third) == [("smell", "no_smell")]
    assert corrected(first, second, third, event(4, "withdrawn", {}, replaces=["e003"])) == [("smell", None)]


def test_nobody_corrects_another_persons_word_and_no_undoing_is_a_correction():
    first = said(1, "smell_of_gas", "smell")
    assert corrected(first, said(2, "smell_of_gas", "no_smell", 30, replaces=["e001"], person_id="bo")) == []
    assert corrected(first, event(2, "withdrawn", {}, replaces=["e001"])) == []
    undone = event(2, "withdrawn", {}, replaces=["e001"])
    late = said(3, "smell_of_gas", "no_smell", 30, replaces=["e001"], person_id="bo")
    assert corrected(first, undone, late) == []
