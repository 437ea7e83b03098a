"""Distances of a terminal against the model codes' own figures. The sheet and local code rule; nothing here blesses."""

from __future__ import annotations

import pytest

from webapp.trade.clearances import CLEARANCES

# IRC 2018 G2427.8 (503.8), item 2, p. 618: not less than 12 inches above finished ground level.
GROUND = [(11.0, True), (11.9, True), (12.0, False), (36.0, False)]
# NYC mechanical code of 2014, 804.2, item 3 (the same figures in IFGC 503.8, from memory): at least 4 feet below,
# 4 feet horizontally from or 1 foot above any door, window or gravity air inlet. (feet beside, feet above)
OPENING = [
    (4.0, 0.0, False),
    (3.9, 0.0, True),
    (0.0, 1.0, False),
    (0.0, 0.9, True),
    (0.0, -4.0, False),
    (0.0, -3.9, True),
    (2.0, None, False),  # it may be far enough above or below
    (None, 0.0, False),
]
# The same, item 2: at least 3 feet above any forced air inlet located within 10 feet.
INLET = [(3.0, False), (2.5, True), (-1.0, True)]


def said(both, **typed):
    return both("terminal_outcome", typed)["ok"]


def is_near(both, **typed):
    return said(both, **typed)["outcome"] == "too_near"


@pytest.mark.parametrize(("above_in", "near"), GROUND)
def test_twelve_inches_above_the_ground(above_in, near, both):
    assert is_near(both, above_ground_in=above_in) is near


@pytest.mark.parametrize(("beside_ft", "over_ft", "near"), OPENING)
def test_four_feet_below_or_beside_an_opening_or_one_above(beside_ft, over_ft, near, both):
    assert is_near(both, opening_beside_ft=beside_ft, opening_over_ft=over_ft) is near


@pytest.mark.parametrize(("over_ft", "near"), INLET)
def test_three_feet_above_an_inlet_with_a_fan(over_ft, near, both):
    assert is_near(both, inlet_over_ft=over_ft) is near


def test_further_away_is_never_called_nearer(both):
    for name in ("above_ground_in", "inlet_over_ft"):
        near = [is_near(both, **{name: tenths / 10}) for tenths in range(200)]
        assert near == sorted(near, reverse=True)


def test_what_is_too_near_names_its_section_and_who_rules(both):
    words = said(both, above_ground_in=11, opening_beside_ft=1, opening_over_ft=0, inlet_over_ft=1)["words"]
    for one in CLEARANCES:
        assert one["source"] in words
    assert "The maker's sheet and local code rule" in words


def test_nothing_is_ever_called_good(both):
    assert said(both)["outcome"] is None
    assert said(both, above_ground_in=100, opening_beside_ft=50, opening_over_ft=9, inlet_over_ft=9)["outcome"] is None
    assert "above or below that opening" in said(both, opening_beside_ft=1)["words"]


def test_the_check_proposes_by_it_and_bars_no_answer(both, power_vent):
    typed = [{"quantity": "above_ground_in", "value": 11}]
    args = {"procedure_hash": power_vent["hash"], "check": "terminal_place", "readings": typed, "ladder": None}
    found = both("propose_outcome", args)["ok"]
    assert (found["outcome"], found["excluded"]) == ("too_near", [])
