"""What a check is worth now: bits it would tell, and whether it would change what to do."""

from __future__ import annotations

from math import log
from typing import TYPE_CHECKING

from .rank import LN_2
from .tables import mean_over

if TYPE_CHECKING:
    from .procedure_types import Check
    from .tables import Tables


def bits(tables: Tables, check: Check, p: list[float]) -> float:
    """Expected information of a check, in bits: H(p) - sum over outcomes of P(o) H(p | o).

    Worked out as sum_h p_h sum_o r_oh log r_oh - sum_o P(o) log P(o).
    Range: 0 to log2(number of outcomes). Example: a check whose rows are flat tells 0.
    Source: mutual information, Cover & Thomas, Elements of Information Theory, 2.3-2.4 (from memory).
    """
    told = mean_over(p, tables.told[check["id"]])
    for line in tables.chances[check["id"]]:
        chance = mean_over(p, line)
        told -= chance * log(chance)
    return max(told, 0.0) / LN_2


def repair_minutes_expected(tables: Tables, p: list[float]) -> float:
    """Expected minutes from here by repairing alone: best first by p per minute, cut where calling for help is cheaper.

    ECR = min over k of sum_{i<=k} R_i (1 - sum_{j<i} p_j) + K (1 - sum_{j<=k} p_j), minutes; K is a second trip.
    Range: p sums to one. Example: one sure cause with a repair of 20 minutes gives 20.
    Source: Heckerman, Breese & Rommelse 1995, Decision-theoretic troubleshooting, CACM 38(3).
    """
    return _plan(tables, p)[0]


def first_repair(tables: Tables, p: list[float]) -> int | None:
    """The cause whose repair comes first in that plan; null where help is worth more than any repair."""
    return _plan(tables, p)[1]


def minutes_if_asked(tables: Tables, check: Check, p: list[float]) -> float:
    """ECO: the check's minutes, then repairing with what it told. Source: as above."""
    expected = check["minutes"]
    rows, lines = tables.rows[check["id"]], tables.chances[check["id"]]
    for position in range(len(lines)):
        row = rows[check["outcomes"][position]["id"]]
        chance = mean_over(p, lines[position])
        expected += chance * repair_minutes_expected(tables, [p[h] * row[h] / chance for h in range(len(p))])
    return expected


def _plan(tables: Tables, p: list[float]) -> tuple[float, int | None]:
    minutes = tables.repair_minutes
    order = []
    for h in range(len(p)):
        each = minutes[h]
        if each is not None:
            order.append((-p[h] / each, h, each))
    order.sort()  # the position makes every key unique
    second_trip = tables.procedure["second_trip_minutes"]
    best, first = second_trip, None
    spent, unsolved = 0.0, 1.0
    for _rate, h, each in order:
        spent += each * unsolved
        unsolved -= p[h]
        if spent + second_trip * unsolved < best:
            best, first = spent + second_trip * unsolved, order[0][1]
        if spent >= best:
            break
    return best, first
