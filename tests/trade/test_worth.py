"""What a check is worth: values worked out before this project began, and the published ordering of repairs."""

from __future__ import annotations

import itertools
import math

import pytest

from tests.trade.making import small_procedure
from webapp.trade.rank import entropy_bits
from webapp.trade.tables import Tables
from webapp.trade.worth import bits, first_repair, minutes_if_asked, repair_minutes_expected

# A tiny planner instance: four causes, two checks, repairs of 20, 30 and 40 minutes, a second trip of 120.
TINY = small_procedure(
    {"a": 0.5, "b": 0.3, "c": 0.15, "none_of_these": 0.05},
    {
        "look": {
            "no": {"a": 0.1, "b": 0.9, "c": 0.9, "none_of_these": 0.7},
            "yes": {"a": 0.9, "b": 0.1, "c": 0.1, "none_of_these": 0.3},
        },
        "meter": {
            "no": {"a": 0.95, "b": 0.05, "c": 0.9, "none_of_these": 0.7},
            "yes": {"a": 0.05, "b": 0.95, "c": 0.1, "none_of_these": 0.3},
        },
    },
    look={"minutes": 1},
    meter={"minutes": 8},  # three and five to fetch it
)
TINY["second_trip_minutes"] = 120
TINY["causes"][3]["repairs"] = []
for repair, minutes in zip(TINY["repairs"], (20, 30, 40, 0), strict=True):
    repair["minutes"] = minutes
TABLES = Tables(TINY)
PRIOR = [0.5, 0.3, 0.15, 0.05]


def test_the_tiny_instance_comes_out_as_worked_out():
    look, meter = TINY["checks"]
    assert entropy_bits(PRIOR) == pytest.approx(1.647731, abs=1e-6)
    assert bits(TABLES, look, PRIOR) == pytest.approx(0.510101, abs=1e-6)
    assert bits(TABLES, meter, PRIOR) == pytest.approx(0.581287, abs=1e-6)
    assert repair_minutes_expected(TABLES, PRIOR) == pytest.approx(49.0)
    assert first_repair(TABLES, PRIOR) == 0
    assert minutes_if_asked(TABLES, look, PRIOR) == pytest.approx(45.4)
    assert minutes_if_asked(TABLES, meter, PRIOR) == pytest.approx(48.6)


def test_bits_are_the_mutual_information_by_its_definition():
    """I(C;O) = sum p(c,o) log2 p(c,o) / (p(c) p(o)), Cover & Thomas 2.3, term by term."""
    for check in TINY["checks"]:
        rows = TABLES.rows[check["id"]]
        chance = {o: sum(PRIOR[h] * row[h] for h in range(4)) for o, row in rows.items()}
        by_definition = sum(
            PRIOR[h] * row[h] * math.log2(PRIOR[h] * row[h] / (PRIOR[h] * chance[o]))
            for o, row in rows.items()
            for h in range(4)
        )
        assert bits(TABLES, check, PRIOR) == pytest.approx(by_definition, abs=1e-12)


def test_a_flat_check_tells_nothing_and_none_tells_more_than_is_unknown(shipped):
    tables = Tables(shipped)
    p = [cause["prior"] for cause in shipped["causes"]]
    for check in shipped["checks"]:
        told = bits(tables, check, p)
        assert 0 <= told <= min(entropy_bits(p), math.log2(len(check["outcomes"]))) + 1e-12
        flat = all(len(set(row)) == 1 for row in check["rows"].values())
        assert flat or check["id"] not in shipped["gate"]
        assert (told == pytest.approx(0, abs=1e-8)) == flat, check["id"]  # priors are rounded to nine places


def test_repairs_by_chance_over_minutes_are_the_best_order():
    """p = (.1, .2, .3, .4), minutes (1, 5, 4, 10): best order 0, 2, 1, 3 costs 11.6 (Kadane & Simon 1977)."""
    procedure = small_procedure(dict(zip("abcd", (0.1, 0.2, 0.3, 0.4), strict=True)), {})
    minutes = (1, 5, 4, 10)
    for repair, each in zip(procedure["repairs"], minutes, strict=True):
        repair["minutes"] = each
    p = [0.1, 0.2, 0.3, 0.4]

    def cost(order):
        return sum(minutes[h] * (1 - sum(p[k] for k in order[:n])) for n, h in enumerate(order))

    every = {order: cost(order) for order in itertools.permutations(range(4))}
    assert min(every.values()) == pytest.approx(11.6)
    assert cost((3, 2, 1, 0)) == pytest.approx(14.0)  # by chance alone
    assert repair_minutes_expected(Tables(procedure), p) == pytest.approx(min(every.values()))


def test_help_is_called_where_it_is_cheaper_than_any_repair():
    cheap_help = {**TINY, "second_trip_minutes": 15}
    assert first_repair(Tables(cheap_help), PRIOR) is None
    assert repair_minutes_expected(Tables(cheap_help), PRIOR) == 15


def test_one_sure_cause_costs_its_repair():
    assert repair_minutes_expected(TABLES, [0.0, 1.0, 0.0, 0.0]) == pytest.approx(30)
