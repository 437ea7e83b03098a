"""The run counted the sheet's way: straight pipe + elbows x the sheet's feet, against the sheet's most and least.

Arithmetic by hand beside each case; no maker's table. Spacing of elbows: common practice, no source; the sheet wins.
"""

from __future__ import annotations

import itertools

import pytest

from webapp.trade.vent import OVER_WORDS, vent_run

# 30 + 4 x 5 + 1 x 2.5 = 52.5 ft
RUN = {"nominal_in": 3, "straight_ft": 30, "elbows_90": 4, "elbows_45": 1, "feet_per_90": 5, "feet_per_45": 2.5}


def count(both, **more):
    return both("vent_run", {**RUN, **more})["ok"]


def test_each_entry_of_the_count_stands_by_itself(both):
    found = count(both, terminal_ft=6)
    assert [(line["words"], line["feet"]) for line in found["lines"]] == [
        ("Straight pipe", 30),
        ("90s", 20),
        ("45s", 2.5),
        ("Terminal, as the sheet counts it", 6),
    ]
    assert found["equivalent_ft"] == pytest.approx(58.5)


@pytest.mark.parametrize(
    ("limits", "against", "outcome"),
    [
        ({"limit_ft": 60}, ("within", None, None), "within"),
        ({"limit_ft": 52.5}, ("equal", None, None), "within"),
        ({"limit_ft": 52.4}, ("over", None, None), "over"),
        ({"limit_ft": 60, "limit_min_ft": 52.5}, ("within", "equal", None), "within"),
        ({"limit_ft": 60, "limit_min_ft": 55}, ("within", "under", None), "under"),
        ({"limit_ft": 60, "limit_elbows": 5}, ("within", None, "equal"), "within"),
        ({"limit_ft": 60, "limit_elbows": 4}, ("within", None, "over"), "over"),
        ({"limit_elbows": 4}, (None, None, "over"), "over"),
        ({"limit_elbows": 6}, (None, None, "within"), None),
        ({"limit_min_ft": 90}, (None, "under", None), None),
        ({}, (None, None, None), None),
    ],
)
def test_the_sheets_most_and_least_decide(limits, against, outcome, both):
    found = count(both, **limits)
    assert (found["against_max"], found["against_min"], found["against_elbows"]) == against
    assert found["outcome"] == outcome


def test_nothing_blesses_a_run_that_is_over_one_of_the_sheets_limits():
    for most, elbows, least, gap in itertools.product((40, None), (3, 9, None), (1, 99, None), (0, 30)):
        found = vent_run(
            {
                **RUN,
                "limit_ft": most,
                "limit_elbows": elbows,
                "limit_min_ft": least,
                "outlet_gap_in": gap,
                "gaps_in": [gap],
            }
        )
        if most == 40 or elbows == 3:
            assert found["outcome"] == "over"
            assert OVER_WORDS in found["words"]
            assert "ithin" not in found["words"]


def test_without_the_sheets_feet_for_an_elbow_that_is_there_nothing_is_counted(both):
    found = both("vent_run", {**RUN, "feet_per_45": None, "limit_ft": 60})["ok"]
    assert (found["equivalent_ft"], found["outcome"]) == (None, None)
    alone = both("vent_run", {**RUN, "feet_per_45": None, "limit_ft": 2})["ok"]  # the straight pipe is longer
    assert (alone["equivalent_ft"], alone["against_max"], alone["outcome"]) == (None, "over", "over")
    straight = both("vent_run", {"nominal_in": 2, "straight_ft": 9, "elbows_90": 0, "elbows_45": 0, "limit_ft": 9})
    assert straight["ok"]["outcome"] == "within"


@pytest.mark.parametrize(
    ("nominal", "gap", "expected"),
    [
        (2, 0, "close_pair"),
        (2, 11.9, "close_pair"),
        (2, 12, None),  # five bores are 10 in.
        (3, 11.9, "close_pair"),
        (3, 12, "under_five_bores"),
        (3, 14.9, "under_five_bores"),
        (3, 15, None),
        (4, 19, "under_five_bores"),
        (4, 20, None),
    ],
)
def test_a_pair_is_flagged_under_12_inches_and_noted_under_five_bores(nominal, gap, expected, both):
    flags = count(both, nominal_in=nominal, gaps_in=[40, gap])["flags"]
    assert [flag["id"] for flag in flags] == ([expected] if expected else [])
    for flag in flags:
        assert flag["level"] == ("note" if expected == "under_five_bores" else "flag")
        assert flag["words"].startswith("Elbows 2 and 3")
        assert "the sheet wins" in flag["words"].lower()


def test_an_elbow_right_on_the_outlet_is_flagged(both):
    assert [flag["id"] for flag in count(both, outlet_gap_in=0)["flags"]] == ["on_outlet"]
    assert count(both, outlet_gap_in=18)["flags"] == []
    assert count(both)["flags"] == []


def test_flags_change_no_count_and_no_outcome(both):
    plain = count(both, limit_ft=60)
    flagged = count(both, limit_ft=60, gaps_in=[1, 1, 1], outlet_gap_in=0)
    assert len(flagged["flags"]) == 4
    assert {**flagged, "flags": []} == plain


def test_more_pipe_or_elbows_never_make_a_run_shorter():
    for straight, n90 in itertools.product(range(0, 60, 7), range(6)):
        here = vent_run({**RUN, "straight_ft": straight, "elbows_90": n90})["equivalent_ft"]
        assert vent_run({**RUN, "straight_ft": straight + 1, "elbows_90": n90})["equivalent_ft"] > here
        assert vent_run({**RUN, "straight_ft": straight, "elbows_90": n90 + 1})["equivalent_ft"] > here


def test_a_length_below_nothing_is_refused(both):
    assert both("vent_run", {**RUN, "straight_ft": -1})["error"]["code"] == "bad_argument"
