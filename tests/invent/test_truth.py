"""The hidden truth can be found again: causes by the procedure's priors, failures by the rates that were drawn with.

Outside checks: scipy's exact binomial and Poisson limits,
and scipy's product-limit estimate (Kaplan & Meier 1958) of censored data.
"""

from __future__ import annotations

import math
from collections import Counter
from functools import cache
from typing import Any

import pytest
import scipy

from tests.invent.toy import CAUSES, toy_story

JOBS = 9_000
FAR_OUT = 1e-4  # each limit is missed by chance once in ten thousand seeds


@cache
def truth() -> list[dict[str, Any]]:
    story = toy_story(JOBS)
    return [story.truth_of(visit, written) for visit, written in story.visits()]


def repaired(*, right: bool) -> list[dict[str, Any]]:
    return [t for t in truth() if t["rate_per_day"] and t["right"] is right and t["state"] == "closed"]


def test_new_faults_follow_the_priors() -> None:
    new = Counter(t["cause"] for t in truth() if t["why"] == "new")
    for cause, prior in CAUSES:
        low, high = scipy.stats.binom.interval(1 - FAR_OUT, new.total(), prior)
        assert low <= new[cause] <= high, cause


def test_the_named_cause_is_right_as_often_as_stated() -> None:
    named = [t["right"] for t in truth() if t["ending"] != "not_seen_today"]
    low, high = scipy.stats.binom.interval(1 - FAR_OUT, len(named), 0.80)
    assert low <= sum(named) <= high


def test_a_return_follows_the_visit_that_it_names_at_the_same_address() -> None:
    by_number = {t["number"]: t for t in truth()}
    returns = [t for t in truth() if t["why"] == "return"]
    assert len(returns) > 800
    assert all(by_number[t["before"]]["site_id"] == t["site_id"] for t in returns)
    followed = {t["before"] for t in returns}
    came_back = {t["number"] for t in truth() if t["came_back"]}
    assert followed == came_back


@pytest.mark.parametrize("right", [True, False])
@pytest.mark.parametrize("days", [30.0, 90.0, 365.0])
def test_kaplan_meier_finds_the_share_still_holding(right: bool, days: float) -> None:
    rows = repaired(right=right)
    sample = scipy.stats.CensoredData(
        uncensored=[t["return_day"] for t in rows if t["came_back"]],
        right=[t["watched_days"] for t in rows if not t["came_back"]],
    )
    curve = scipy.stats.ecdf(sample).sf
    expected = sum(math.exp(-t["rate_per_day"] * days) for t in rows) / len(rows)
    limits = curve.confidence_interval(1 - FAR_OUT, method="log-log")
    assert limits.low.evaluate(days) <= expected <= limits.high.evaluate(days)


def test_a_wrong_repair_holds_far_less_than_a_right_one() -> None:
    def back_by_90(rows: list[dict[str, Any]]) -> float:
        return sum(t["came_back"] and t["return_day"] <= 90 for t in rows) / len(rows)

    assert back_by_90(repaired(right=False)) > 4 * back_by_90(repaired(right=True))


@pytest.mark.parametrize("cause", [name for name, _ in CAUSES[:-1]])
@pytest.mark.parametrize("right", [True, False])
def test_each_cause_fails_again_at_its_own_rate(cause: str, right: bool) -> None:
    rows = [t for t in repaired(right=right) if t["cause"] == cause]
    watched = [min(t["watched_days"], t["return_day"]) for t in rows]
    expected = sum(t["rate_per_day"] * days for t, days in zip(rows, watched, strict=True))
    seen = sum(t["came_back"] for t in rows)
    low, high = scipy.stats.poisson.interval(1 - FAR_OUT, expected)
    assert low <= seen <= high


def test_the_technician_who_leaves_twice_as_much_behind_can_be_told() -> None:
    by_skill: dict[float, list[float]] = {}
    for t in repaired(right=True):
        entry = by_skill.setdefault(t["skill"], [0.0, 0.0])
        entry[0] += t["came_back"]
        entry[1] += min(t["watched_days"], t["return_day"])
    assert 2.0 in by_skill
    seen, watched = by_skill[2.0]
    others = [sum(v[i] for k, v in by_skill.items() if k != 2.0) for i in (0, 1)]
    assert seen / watched > 1.4 * others[0] / others[1]
