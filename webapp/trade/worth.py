"""What a check is worth now: bits it would tell, and whether it would change what to do."""

from __future__ import annotations

from math import log
from typing import TYPE_CHECKING

from .ordering import in_order
from .rank import LN_2, outcome_row

if TYPE_CHECKING:
    from .procedure_types import Check, Procedure


def bits(check: Check, p: list[float]) -> float:
    """Expected information of a check, in bits: H(p) - sum over outcomes of P(o) H(p | o).

    Range: 0 to log2(number of outcomes). Example: a check whose rows are flat tells 0.
    Source: mutual information, Cover & Thomas, Elements of Information Theory, 2.3 (from memory).
    """
    rows = _rows(check)
    told = 0.0
    for row in rows:
        chance = sum([p[h] * row[h] for h in range(len(p))])
        for h in range(len(p)):
            if p[h] > 0.0:
                told += p[h] * row[h] * log(row[h] / chance)
    return max(told, 0.0) / LN_2


def repair_minutes_expected(procedure: Procedure, p: list[float]) -> float:
    """Expected minutes from here by repairing alone: best first by p per minute, cut where calling for help is cheaper.

    ECR = min over k of sum_{i<=k} R_i (1 - sum_{j<i} p_j) + K (1 - sum_{j<=k} p_j), minutes.
    Source: Heckerman, Breese & Rommelse 1995, Decision-theoretic troubleshooting, CACM 38(3); K is a second trip.
    """
    return _plan(procedure, p)[0]


def first_repair(procedure: Procedure, p: list[float]) -> int | None:
    """The cause whose repair comes first in that plan; null where help is worth more than any repair."""
    return _plan(procedure, p)[1]


def minutes_if_asked(procedure: Procedure, check: Check, p: list[float]) -> float:
    """ECO: the check's minutes, then repairing with what it told. Source: as above."""
    expected = check["minutes"]
    for row in _rows(check):
        joint = [p[h] * row[h] for h in range(len(p))]
        chance = sum(joint)
        expected += chance * repair_minutes_expected(procedure, [one / chance for one in joint])
    return expected


def _plan(procedure: Procedure, p: list[float]) -> tuple[float, int | None]:
    minutes = _repair_minutes(procedure)
    order = in_order([h for h in range(len(p)) if minutes[h] is not None], key=lambda h: (-p[h] / minutes[h], h))
    second_trip = procedure["second_trip_minutes"]
    best, first = second_trip, None
    spent, unsolved = 0.0, 1.0
    for h in order:
        spent += minutes[h] * unsolved
        unsolved -= p[h]
        if spent + second_trip * unsolved < best:
            best, first = spent + second_trip * unsolved, order[0]
    return best, first


def _repair_minutes(procedure: Procedure) -> list[float]:
    """For each cause, its first repair's minutes; null for the one that has none."""
    known = {repair["id"]: repair["minutes"] for repair in procedure["repairs"]}
    return [known[cause["repairs"][0]] if cause["repairs"] else None for cause in procedure["causes"]]  # type: ignore[misc]


def _rows(check: Check) -> list[list[float]]:
    """The check's rows by outcome, floored and made to sum to one for each cause."""
    rows = [outcome_row(check, outcome["id"]) for outcome in check["outcomes"]]
    totals = [sum([row[h] for row in rows]) for h in range(len(rows[0]))]
    return [[row[h] / totals[h] for h in range(len(row))] for row in rows]
