"""Is this reading right? We compare it with the maker's figure that was typed in; we supply none ourselves."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .co_ladders import co_step
from .vent import vent_run

if TYPE_CHECKING:
    from typing import Literal, TypedDict

    Tap = Literal["suction", "pressure", "differential"]

    class ReadingOutcome(TypedDict):
        """A proposal for the check's answer: an outcome id, null where the reading cannot tell, and why in words."""

        outcome: str | None
        words: str

    class Plausible(TypedDict):
        state: Literal["usual", "unusual", "implausible", "unknown_quantity"]
        words: str


# Under this a gauge reads nothing (common practice, no source).
NOTHING_IN_WC = 0.02
# A margin that a hot run may eat: gas that heats takes 12 % of the suction (computed from density, docs/trade.md).
MARGIN = 1.15
# Ohms of a closed contact, leads taken off (expert guesses).
CONTACT_GOOD_OHM = 1.0
CONTACT_DOUBTFUL_OHM = 10.0
LEADS_GOOD_OHM = 2.0

# Quantity, unit, hard low, hard high, usual low, usual high (expert guesses: they warn, they never correct).
RANGES = [
    ("suction_in_wc", "in. w.c.", -6.0, 6.0, 0.1, 2.0),
    ("make_point_in_wc", "in. w.c.", -6.0, 6.0, 0.1, 2.0),
    ("room_pa", "Pa", -60.0, 30.0, -10.0, 5.0),
    ("gas_inlet_in_wc", "in. w.c.", 0.0, 60.0, 5.0, 14.0),
    ("manifold_in_wc", "in. w.c.", 0.0, 16.0, 3.0, 11.0),
    ("flue_o2_percent", "% dry", 0.0, 20.9, 3.0, 12.0),
    ("co_room_ppm", "ppm", 0.0, 10000.0, 0.0, 9.0),
    ("co_air_free_ppm", "ppm", 0.0, 10000.0, 0.0, 100.0),
    ("stack_temp_f", "degF", 32.0, 1200.0, 100.0, 550.0),
    ("input_btu_h", "Btu/h", 10000.0, 400000.0, 30000.0, 199900.0),
    ("flame_ua", "uA DC", 0.0, 20.0, 1.0, 6.0),
    ("limit_ohm", "ohm", 0.0, 50000000.0, 0.0, 1.0),
    ("leads_ohm", "ohm", 0.0, 100.0, 0.0, 1.0),
    ("igniter_ohm", "ohm", 0.0, 50000000.0, 1.0, 300.0),
    ("thermistor_ohm", "ohm", 50.0, 500000.0, 500.0, 40000.0),
    ("water_temp_f", "degF", 32.0, 212.0, 100.0, 160.0),
    ("water_psi", "psi", 0.0, 250.0, 40.0, 80.0),
    ("nominal_in", "in.", 1.5, 6.0, 2.0, 4.0),
    ("straight_ft", "ft", 0.0, 300.0, 5.0, 120.0),
    ("limit_ft", "ft", 0.0, 400.0, 20.0, 180.0),
    ("limit_min_ft", "ft", 0.0, 400.0, 2.0, 30.0),
    ("terminal_ft", "ft", 0.0, 40.0, 0.0, 10.0),
    ("above_ground_in", "in.", 0.0, 400.0, 12.0, 120.0),
    ("opening_beside_ft", "ft", 0.0, 100.0, 4.0, 40.0),
    ("opening_over_ft", "ft", -60.0, 60.0, 1.0, 30.0),
    ("inlet_over_ft", "ft", -60.0, 60.0, 3.0, 30.0),
    ("elbows_90", "elbows", 0.0, 20.0, 1.0, 6.0),
    ("elbows_45", "elbows", 0.0, 20.0, 0.0, 4.0),
    ("line_volts", "V AC", 0.0, 300.0, 108.0, 132.0),
    ("chain_volts", "V AC", 0.0, 140.0, 22.0, 29.0),
    ("blower_amps", "A", 0.0, 15.0, 0.3, 4.0),
    ("couple_open_mv", "mV", -50.0, 100.0, 10.0, 35.0),
    ("couple_closed_mv", "mV", -50.0, 100.0, 8.0, 20.0),
    ("couple_open_min_mv", "mV", 0.0, 100.0, 10.0, 35.0),
    ("couple_closed_min_mv", "mV", 0.0, 100.0, 5.0, 20.0),
    ("drop_out_mv", "mV", 0.0, 100.0, 1.0, 6.0),
    ("drop_out_seconds", "s", 0.0, 600.0, 10.0, 180.0),
    ("drop_out_limit_seconds", "s", 0.0, 600.0, 30.0, 180.0),
    ("pile_open_mv", "mV", -1000.0, 1200.0, 300.0, 850.0),
    ("pile_loaded_mv", "mV", -1000.0, 1200.0, 150.0, 500.0),
    ("valve_loaded_mv", "mV", -1000.0, 1200.0, 150.0, 500.0),
    ("pile_open_min_mv", "mV", 0.0, 1200.0, 300.0, 850.0),
    ("pile_loaded_min_mv", "mV", 0.0, 1200.0, 100.0, 500.0),
    ("cutoff_ohm", "ohm", 0.0, 50000000.0, 0.0, 0.5),
    ("vent_temp_f", "degF", 32.0, 400.0, 60.0, 150.0),
    ("vent_limit_f", "degF", 100.0, 500.0, 140.0, 200.0),
    ("flame_min_ua", "uA DC", 0.0, 20.0, 0.2, 2.0),
    ("gas_inlet_min_in_wc", "in. w.c.", 0.0, 60.0, 4.0, 12.0),
    ("co_air_free_limit_ppm", "ppm", 0.0, 10000.0, 100.0, 400.0),
    ("thermistor_table_ohm", "ohm", 50.0, 500000.0, 500.0, 40000.0),
    ("makes_at_in_wc", "in. w.c.", -6.0, 6.0, 0.1, 2.0),
    ("breaks_at_in_wc", "in. w.c.", -6.0, 6.0, 0.1, 2.0),
    ("gas_static_in_wc", "in. w.c.", 0.0, 60.0, 5.0, 14.0),
    ("minutes_to_stop", "min", 0.0, 240.0, 0.0, 60.0),
    ("igniter_volts", "V", 0.0, 300.0, 20.0, 132.0),
    ("igniter_amps", "A", 0.0, 15.0, 0.2, 5.0),
    ("minutes_since_fired", "min", 0.0, 100000.0, 0.0, 600.0),
]


def suction_outcome(suction_in_wc: float, make_point_in_wc: float, tap: Tap) -> ReadingOutcome:
    """Suction at the pressure switch against the make point printed on it: none, short, marginal or enough.

    A suction tap and a differential pair fall when the vent is blocked: the size of the reading must stand above the
    make point, by 15 % cold, because hot gas takes about 12 % away. A pressure tap on the discharge side rises when
    the vent is blocked: the reading must stay under the point, by the same margin. in. w.c.; the sign of a suction
    may be noted or not. Range: -6 to 6 in. w.c., make point not 0.
    Example: 0.30 against a make point of 0.36 on a suction tap is "short".
    Source: common practice, no source; margin from docs/trade.md; the point itself is typed from the part's label.
    """
    size, point = abs(suction_in_wc), abs(make_point_in_wc)
    if point == 0.0:
        return {"outcome": None, "words": "Type the make point from the switch's label first."}
    if tap == "pressure":
        if size >= point:
            return {
                "outcome": "short",
                "words": "At or over its point: the vent pushes back, and the switch is right to open.",
            }
        if size * MARGIN >= point:
            return {"outcome": "marginal", "words": "Close under its point: likely to open on a hot run."}
        return {"outcome": "enough", "words": "Well under its point."}
    if size < NOTHING_IN_WC:
        return {"outcome": "none", "words": "No reading: blower, tube or tap."}
    if size < point:
        return {"outcome": "short", "words": "Under the make point: the switch is right not to make."}
    if size < point * MARGIN:
        return {"outcome": "marginal", "words": "Less than 15 % over the make point: it may open on a hot run."}
    return {"outcome": "enough", "words": "Over the make point with margin."}


def limit_outcome(limit_ohm: float | None, leads_ohm: float | None) -> ReadingOutcome:
    """A normally closed limit, dead and lifted off its wires: closed, poor contact or open.

    Ohms less the leads; null ohms is no continuity (OL). Range: 0 up.
    Example: 0.4 ohm with leads of 0.3 is "closed".
    Source: common practice, no source; the 1 and 10 ohm steps are expert guesses. Closed when cold does not clear a
    limit that resets by itself.
    """
    if leads_ohm is None or leads_ohm > LEADS_GOOD_OHM:
        return {"outcome": None, "words": "Touch the leads together first: they must beep and read near 0 ohm."}
    if limit_ohm is None:
        return {"outcome": "open", "words": "Open: it has done its job. Ask why it got hot."}
    net = max(limit_ohm - leads_ohm, 0.0)
    if net <= CONTACT_GOOD_OHM:
        return {"outcome": "closed", "words": "Closed now. A limit that resets by itself may still have opened hot."}
    if net <= CONTACT_DOUBTFUL_OHM:
        return {"outcome": "poor", "words": "It conducts badly: a worn or burnt contact. A beeper would forgive it."}
    return {"outcome": "open", "words": "Open: it has done its job. Ask why it got hot."}


def co_outcome(co_room_ppm: float, ladder: str) -> ReadingOutcome:
    """Room CO against the rule set that the firm chose: acceptable, raised, or leave, with the step's own words. ppm.

    Range: 0 to 10,000. Example: 12 ppm is "acceptable" by code_appendix and "raised" by protocol_9_36_70.
    Source: beside each step in co_ladders.py; sources disagree and are not averaged. Symptoms in anybody mean leave at
    any number.
    """
    step = co_step(co_room_ppm, ladder)
    if step is None:
        return {"outcome": None, "words": "Choose the rule set of your firm first."}
    memory = ", figure from memory" if step["mark"] == "from memory" else ""
    return {"outcome": step["outcome"], "words": step["words"] + " (" + step["source"] + memory + ".)"}


# The arguments of `run_outcome`, in their order.
RUN_ARGUMENTS = (
    "straight_ft",
    "elbows_90",
    "elbows_45",
    "limit_ft",
    "feet_per_90",
    "feet_per_45",
    "limit_elbows",
    "limit_min_ft",
    "terminal_ft",
)


def run_outcome(
    straight_ft: float,
    elbows_90: float,
    elbows_45: float,
    limit_ft: float | None,
    feet_per_90: float | None,
    feet_per_45: float | None,
    limit_elbows: float | None,
    limit_min_ft: float | None = None,
    terminal_ft: float | None = None,
) -> ReadingOutcome:
    """The vent run against the maker's sheet: within, over, under its least length, or cannot be told.

    As `vent_run` in vent.py counts it, without the spacing of its elbows. Feet and counts. Range: 0 up.
    Example: 30 ft and four 90s at 5 ft each are 50 ft. Source: the sheet; arithmetic only.
    A run over the sheet is over: no physics here makes it good.
    """
    found = vent_run(
        {
            "nominal_in": 0.0,
            "straight_ft": straight_ft,
            "elbows_90": elbows_90,
            "elbows_45": elbows_45,
            "feet_per_90": feet_per_90,
            "feet_per_45": feet_per_45,
            "terminal_ft": terminal_ft,
            "limit_ft": limit_ft,
            "limit_min_ft": limit_min_ft,
            "limit_elbows": limit_elbows,
        }
    )
    return {"outcome": found["outcome"], "words": found["words"]}


def plausible(quantity: str, value: float) -> Plausible:
    """Whether a number looks like this quantity at all. It warns; it never corrects and never refuses.

    Range: any number. Example: a suction of 36 in. w.c. is implausible (0.36 was meant).
    Source: expert guesses, docs/trade.md. Suctions are judged by size, whatever their sign.
    """
    for name, unit, hard_low, hard_high, usual_low, usual_high in RANGES:
        if name == quantity:
            if value < hard_low or value > hard_high:
                return {
                    "state": "implausible",
                    "words": "Hardly possible in " + unit + ": read it again, check the unit.",
                }
            size = abs(value) if hard_low == -hard_high else value
            if size < usual_low or size > usual_high:
                return {"state": "unusual", "words": "Unusual in " + unit + ". Keep it if you saw it twice."}
            return {"state": "usual", "words": "As usual."}
    return {"state": "unknown_quantity", "words": "No usual range is known for this."}
