"""Conversions against NIST SP 811 (2008), appendix B.8 (factors typed from it), and scipy's CODATA/NIST constants."""

from __future__ import annotations

import itertools

import pytest
from scipy import constants

from webapp.trade.units import UNITS, convert

# (value, from, to, expected, relative tolerance, source)
CASES = [
    (1, "in_wc", "Pa", 249.0889, 1e-7, "NIST SP 811 B.8, inch of water, 4 degC"),
    (1, "psi", "Pa", 6894.757, 1e-7, "NIST SP 811 B.8"),
    (1, "psi", "Pa", constants.psi, 1e-6, "scipy"),
    (1, "in_hg", "Pa", 3386.389, 1e-7, "NIST SP 811 B.8, inch of mercury, conventional"),
    (1, "btu_h", "W", constants.Btu_IT / 3600, 1e-6, "scipy, IT Btu"),
    (1, "ft3", "L", 28.31685, 1e-7, "NIST SP 811 B.8"),
    (1, "ft", "m", constants.foot, 1e-12, "scipy"),
    (1, "in", "mm", 25.4, 1e-12, "exact"),
    (1, "cfm", "L_s", 0.4719474, 1e-7, "NIST SP 811 B.8"),
    (1, "cfh", "m3_s", constants.foot**3 / 3600, 1e-6, "scipy"),
    (1, "us_gal", "L", constants.gallon * 1000, 1e-6, "scipy"),
    (1, "us_gpm", "L_s", 0.06309020, 1e-7, "NIST SP 811 B.8"),
    (32, "degF", "degC", 0, 1e-12, "definition"),
    (212, "degF", "degC", 100, 1e-12, "definition"),
    (-40, "degF", "degC", -40, 1e-12, "definition"),
    (0, "degC", "K", 273.15, 1e-12, "definition"),
    (90, "degF_difference", "K_difference", 50, 1e-12, "a difference, not a point"),
    (11, "in_wc", "kPa", 2.74, 1e-3, "the trade: 11 in. w.c. is 2.74 kPa"),
    (11, "in_wc", "mbar", 27.4, 1e-3, "the trade: and 27.4 mbar"),
    (11, "in_wc", "psi", 0.40, 1e-2, "the trade: and 0.40 psi"),
    (1, "psi", "in_wc", 27.68, 1e-4, "the trade: 27.68 in. w.c. at 4 degC"),
    (1, "mbh", "btu_h", 1000, 1e-12, "the trade: M is a thousand here"),
    (1, "mmbtu_h", "btu_h", 1_000_000, 1e-12, "the trade: MM is a million"),
]


@pytest.mark.parametrize(("value", "from_unit", "to_unit", "expected", "tolerance", "source"), CASES)
def test_a_value_converts_as_the_source_says(value, from_unit, to_unit, expected, tolerance, source, both):
    answer = both("convert", {"value": value, "from_unit": from_unit, "to_unit": to_unit})["ok"]
    assert answer["value"] == pytest.approx(expected, rel=tolerance, abs=1e-10), source
    assert answer["unit"] == to_unit


def test_there_and_back_is_the_same_for_every_pair():
    for one, other in itertools.permutations(UNITS, 2):
        if UNITS[one][0] == UNITS[other][0]:
            assert convert(convert(123.4, one, other), other, one) == pytest.approx(123.4, rel=1e-12)


@pytest.mark.parametrize(("from_unit", "to_unit"), [("in_wc", "ft"), ("degF", "degF_difference"), ("inches", "Pa")])
def test_what_does_not_measure_the_same_is_refused(from_unit, to_unit, both):
    assert both("convert", {"value": 1, "from_unit": from_unit, "to_unit": to_unit})["error"]["code"] == "unknown_unit"
