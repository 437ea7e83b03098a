"""Converting units of the trade. SI inside formulas, trade units at the edge; every factor has its source."""

from __future__ import annotations

from .errors import TradeError

# (unit, what it measures, factor to SI, offset): SI value = (value + offset) * factor.
# Factors: NIST SP 811 (2008), appendix B.8. in. w.c. is water at 4 degC (39.2 degF), 249.0889 Pa there; where a code
# prints 0.2488 kPa it is water at 60 degF (248.84 Pa). The international foot, inch and pound, the IT Btu.
_UNITS = [
    ("Pa", "pressure", 1.0, 0.0),
    ("kPa", "pressure", 1000.0, 0.0),
    ("mbar", "pressure", 100.0, 0.0),
    ("in_wc", "pressure", 249.0889, 0.0),
    ("psi", "pressure", 6894.757, 0.0),
    ("in_hg", "pressure", 3386.389, 0.0),
    ("W", "power", 1.0, 0.0),
    ("kW", "power", 1000.0, 0.0),
    ("btu_h", "power", 0.2930711, 0.0),
    ("mbh", "power", 293.0711, 0.0),
    ("mmbtu_h", "power", 293071.1, 0.0),
    ("m", "length", 1.0, 0.0),
    ("mm", "length", 0.001, 0.0),
    ("in", "length", 0.0254, 0.0),
    ("ft", "length", 0.3048, 0.0),
    ("m3", "volume", 1.0, 0.0),
    ("L", "volume", 0.001, 0.0),
    ("ft3", "volume", 0.02831685, 0.0),
    ("us_gal", "volume", 0.003785412, 0.0),
    ("m3_s", "flow", 1.0, 0.0),
    ("L_s", "flow", 0.001, 0.0),
    ("cfm", "flow", 0.0004719474, 0.0),
    ("cfh", "flow", 7.86579e-6, 0.0),
    ("us_gpm", "flow", 6.309020e-5, 0.0),
    ("K", "temperature", 1.0, 0.0),
    ("degC", "temperature", 1.0, 273.15),
    ("degF", "temperature", 5.0 / 9.0, 459.67),
    ("K_difference", "temperature_difference", 1.0, 0.0),
    ("degC_difference", "temperature_difference", 1.0, 0.0),
    ("degF_difference", "temperature_difference", 5.0 / 9.0, 0.0),
]
UNITS = {name: (measures, factor, offset) for name, measures, factor, offset in _UNITS}


def convert(value: float, from_unit: str, to_unit: str) -> float:
    """Value in `from_unit`, given in `to_unit`.

    (value + offset_from) x factor_from / factor_to - offset_to. Degrees as a point and degrees as a difference are
    different quantities (90 degF apart is 50 K apart). A column of water or mercury is at 4 and 0 degC.
    Range: any finite number. Example: 11 in. w.c. is 2.74 kPa. Source: NIST SP 811 (2008), appendix B.8.
    """
    for unit in (from_unit, to_unit):
        if unit not in UNITS:
            raise TradeError("unknown_unit", "Not a unit of the table: " + unit + ".")
    measures, factor, offset = UNITS[from_unit]
    to_measures, to_factor, to_offset = UNITS[to_unit]
    if measures != to_measures:
        raise TradeError("unknown_unit", from_unit + " and " + to_unit + " do not measure the same thing.")
    return (value + offset) * factor / to_factor - to_offset
