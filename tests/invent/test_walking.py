"""Walks on the shipped procedure: its own order, its own rows.

Outside check: scipy's exact binomial limits around the procedure's rows.
"""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest
import scipy

from webapp.invent.chance import stream
from webapp.invent.order import WalkOrder, record_of
from webapp.invent.phases import phase_of
from webapp.invent.walking import Step, walk
from webapp.procedures import compiled
from webapp.trade.walk import advise

PROCEDURE: dict[str, Any] = dict(compiled("power_vent"))
CHECKS = {check["id"]: check for check in PROCEDURE["checks"]}
CAUSES = [cause["id"] for cause in PROCEDURE["causes"]]
FAR_OUT = 1e-4


def walks(cause: str, count: int, **more: Any) -> list[list[Step]]:
    order = WalkOrder()
    return [walk(stream(number, cause), PROCEDURE, cause, order.next_check, **more) for number in range(count)]


@pytest.fixture(scope="module")
def of_terminal() -> list[list[Step]]:
    return walks("terminal_blocked", 250, patience=1.0)


def test_every_walk_passes_the_gate_first_and_in_order(of_terminal: list[list[Step]]) -> None:
    gate = PROCEDURE["gate"]
    assert all([step.check["id"] for step in steps[: len(gate)]] == gate for steps in of_terminal)


def test_a_check_is_asked_twice_only_where_a_later_one_has_undone_it(of_terminal: list[list[Step]]) -> None:
    for steps in of_terminal:
        last: dict[str, int] = {}
        for place, step in enumerate(steps):
            name = step.check["id"]
            if name in last:
                undone_by = {"power": "powered", "firing": "fires", "parting": "parts_vent"}[step.check["undone_by"]]
                assert any(between.check[undone_by] for between in steps[last[name] + 1 : place]), name
            last[name] = place


def test_outcomes_follow_the_row_of_the_true_cause(of_terminal: list[list[Step]]) -> None:
    found = Counter(
        step.outcome for steps in of_terminal for step in steps if step.check["id"] == "terminal" and step.outcome
    )
    total = found.total()
    assert total > 200
    place = CAUSES.index("terminal_blocked")
    for outcome, row in CHECKS["terminal"]["rows"].items():
        low, high = scipy.stats.binom.interval(1 - FAR_OUT, total, row[place])
        assert low <= found[outcome] <= high, outcome


def test_nothing_fires_before_all_that_must_stand_stands(of_terminal: list[list[Step]]) -> None:
    fired = 0
    for steps in of_terminal + walks("gas_low", 60, patience=1.0):
        stood: dict[str, str] = {}
        for step in steps:
            if step.check["fires"]:
                fired += 1
                for need in PROCEDURE["may_fire"]:
                    if need["check"] in stood or not need.get("if_answered"):
                        assert stood.get(need["check"]) in need["outcomes"], (step.check["id"], need["check"])
            if step.outcome:
                stood[step.check["id"]] = step.outcome
    assert fired > 5


def test_the_next_check_is_the_one_that_the_phone_would_offer_after_a_finding_that_is_not_normal() -> None:
    order, asked = WalkOrder(), 0
    for steps in walks("tube_off", 40):
        lines = [(step.check["id"], step.outcome) for step in steps]
        for place in range(len(PROCEDURE["gate"]), len(steps) - 1):
            step = steps[place]
            if step.outcome and not step.normal:
                offered = advise(PROCEDURE, record_of(lines[: place + 1]))["next"]  # type: ignore[arg-type]
                assert order.next_check(PROCEDURE, lines[: place + 1]) == (offered and offered["check"])
                asked += 1
    assert asked > 20


def test_an_unsafe_visit_ends_at_the_look_that_says_so() -> None:
    for steps in walks("terminal_blocked", 30, unsafe=True):
        stop = next(outcome for outcome in steps[-1].check["outcomes"] if outcome["id"] == steps[-1].outcome)
        assert stop["stop_words"]
        assert steps[-1].check["id"] in PROCEDURE["gate"]


def test_a_safe_visit_never_walks_past_words_that_say_stop(of_terminal: list[list[Step]]) -> None:
    for steps in of_terminal:
        for step in steps:
            assert not any(o["stop_words"] for o in step.check["outcomes"] if o["id"] == step.outcome)


def test_the_code_mostly_tells_the_phase_in_which_a_watched_cycle_stops() -> None:
    shown = Counter(phase_of(stream(n, "phase"), PROCEDURE, "igniter_failed") for n in range(400))
    assert shown.most_common(1)[0][0] == "no_flame"
    assert 0.7 < shown["no_flame"] / 400 < 1.0
    assert len(shown) > 2, "a control may remember an older stop"
