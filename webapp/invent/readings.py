"""Plausible numbers for an outcome: what the trade's own rules would read back as that outcome.

Suctions are shares of the model's make point, the rest are ranges; all are expert guesses that belong to no heater.
Hot suction is about 0.88 of cold, because hot gas is thinner (computed from density, docs/trade.md).
"""

from __future__ import annotations

import random
from typing import Any

from webapp.invent.chance import between, whole
from webapp.invent.makers import Model

HOT_OF_COLD = 0.88
Range = tuple[float, float]
ENOUGH: Range = (1.25, 1.9)
SHORT: Range = (0.45, 0.93)

# (check, outcome) → quantity → share of the make point
_OF_MAKE_POINT: dict[tuple[str, str], dict[str, Range]] = {
    ("suction_at_switch", "enough"): {"suction_in_wc": ENOUGH},
    ("suction_at_switch", "marginal"): {"suction_in_wc": (1.03, 1.12)},
    ("suction_at_switch", "short"): {"suction_in_wc": SHORT},
    ("suction_at_switch", "none"): {"suction_in_wc": (0.0, 0.02)},
    ("suction_at_switch", "high"): {"suction_in_wc": (2.2, 2.8)},
    ("suction_hot", "holds"): {"suction_in_wc": (1.1, 1.6)},
    ("suction_hot", "falls_through"): {"suction_in_wc": (0.6, 0.9)},
    ("vent_parted", "was_enough"): {"suction_parted_in_wc": ENOUGH},
    ("vent_parted", "comes_up"): {"suction_parted_in_wc": ENOUGH},
    ("vent_parted", "stays_low"): {"suction_parted_in_wc": SHORT},
    ("tap_and_switch", "same"): {"suction_tap_in_wc": (0.8, 1.8)},
    ("tap_and_switch", "tap_good_switch_low"): {"suction_tap_in_wc": ENOUGH},
    ("switch_pump", "on_point"): {"makes_at_in_wc": (0.96, 1.04), "breaks_at_in_wc": (0.86, 0.94)},
    ("switch_pump", "off_point"): {"makes_at_in_wc": (1.3, 1.9), "breaks_at_in_wc": (1.1, 1.25)},
}
# A tap on the discharge side rises when the vent is blocked: the point must not be reached.
_OF_MAKE_POINT_PRESSURE: dict[str, Range] = {
    "enough": (0.4, 0.8), "marginal": (0.89, 0.97), "short": (1.05, 1.6), "none": (0.0, 0.02), "high": (1.7, 2.2),
}  # fmt: skip
# (check, outcome) → quantity → range; no range: there is no number to write down (OL, or the tool was not there)
_RANGES: dict[tuple[str, str], dict[str, Range | None]] = {
    ("co_room", "acceptable"): {"co_room_ppm": (0, 6)},
    ("co_room", "raised"): {"co_room_ppm": (32, 66)},
    ("co_room", "outside"): {"co_room_ppm": (40, 66)},
    ("co_room", "leave"): {"co_room_ppm": (75, 240)},
    ("co_room", "not_measured"): {"co_room_ppm": None},
    ("leads_beep", "beep"): {"leads_ohm": (0.1, 0.5)},
    ("leads_beep", "silent"): {"leads_ohm": None},
    ("limit_continuity", "closed"): {"limit_ohm": (0.2, 0.9)},
    ("limit_continuity", "poor"): {"limit_ohm": (2.5, 9.0)},
    ("limit_continuity", "open"): {"limit_ohm": None},
    ("vent_warmth", "warm"): {"minutes_since_fired": (1, 25)},
    ("vent_warmth", "too_hot"): {"minutes_since_fired": (1, 10)},
    ("vent_warmth", "cold_long_off"): {"minutes_since_fired": (90, 900)},
    ("igniter_ohms", "as_sheet"): {"igniter_ohm": (45, 85)},
    ("igniter_ohms", "open_or_off"): {"igniter_ohm": None},
    ("probe_ohms", "on_table"): {
        "thermistor_ohm": (3_950, 4_150), "thermistor_table_ohm": (4_000, 4_100), "water_temp_f": (100, 140),
    },
    ("probe_ohms", "off_table"): {
        "thermistor_ohm": (300, 450), "thermistor_table_ohm": (4_000, 4_100), "water_temp_f": (100, 140),
    },
    ("blower_volts", "present"): {"line_volts": (114, 124)},
    ("blower_volts", "absent"): {"line_volts": (0, 3)},
    ("blower_amps", "as_plate"): {"blower_amps": (0.8, 2.4)},
    ("blower_amps", "off_plate"): {"blower_amps": (4.3, 7)},
    ("flame_current", "steady"): {"flame_ua": (1.8, 4.5), "flame_min_ua": (0.8, 1.2)},
    ("flame_current", "low"): {"flame_ua": (0.1, 0.7), "flame_min_ua": (0.8, 1.2)},
    ("gas_pressure", "inside"): {
        "gas_inlet_in_wc": (5.5, 8), "gas_inlet_min_in_wc": (4.6, 5.2), "gas_static_in_wc": (8.2, 10),
        "manifold_in_wc": (3.3, 4.2),
    },
    ("gas_pressure", "low_or_swings"): {
        "gas_inlet_in_wc": (2, 4.2), "gas_inlet_min_in_wc": (4.6, 5.2), "gas_static_in_wc": (7, 9),
        "manifold_in_wc": (1.4, 2.6),
    },
    ("room_pressure", "near_zero"): {"room_pa": (-3, 1)},
    ("room_pressure", "well_below"): {"room_pa": (-18, -7)},
    ("flue_gas", "clean"): {
        "flue_o2_percent": (5, 9), "co_air_free_ppm": (8, 70), "co_air_free_limit_ppm": (180, 220),
        "stack_temp_f": (290, 380),
    },
    ("flue_gas", "co_high_or_o2_low"): {
        "flue_o2_percent": (0.8, 2.6), "co_air_free_ppm": (260, 1_400), "co_air_free_limit_ppm": (180, 220),
        "stack_temp_f": (340, 460),
    },
    ("terminal_place", "too_near"): {"above_ground_in": (4, 10)},
    ("set_point", "as_wanted"): {"water_temp_f": (115, 130)},
    ("set_point", "high_or_rumbling"): {"water_temp_f": (145, 160)},
    ("set_point", "turned_down"): {"water_temp_f": (90, 105)},
    ("igniter_volts", "present"): {"igniter_volts": (112, 124), "igniter_amps": (2.6, 4.4)},
    ("igniter_volts", "absent"): {"igniter_volts": (0, 3), "igniter_amps": None},
    ("draw_test", "stays_hot"): {"water_temp_f": (115, 135)},
    ("draw_test", "soon_lukewarm"): {"water_temp_f": (80, 98)},
    ("follows_dial", "follows"): {"water_temp_f": (112, 138)},
    ("follows_dial", "never_starts"): {"water_temp_f": (50, 75)},
    ("follows_dial", "never_stops"): {"water_temp_f": (150, 160)},
    ("tco_continuity", "closed"): {"cutoff_ohm": (0.1, 0.3)},
    ("tco_continuity", "poor"): {"cutoff_ohm": (0.9, 6)},
    ("tco_continuity", "open"): {"cutoff_ohm": None},
    ("tco_continuity", "not_fitted"): {"cutoff_ohm": None},
    ("eco_continuity", "closed"): {"cutoff_ohm": (0.1, 0.3)},
    ("eco_continuity", "poor"): {"cutoff_ohm": (0.9, 6)},
    ("eco_continuity", "open"): {"cutoff_ohm": None},
    ("couple_open", "enough"): {"couple_open_mv": (27, 33), "couple_open_min_mv": (15, 25)},
    ("couple_open", "low"): {"couple_open_mv": (5, 13), "couple_open_min_mv": (15, 25)},
    ("couple_open", "none"): {"couple_open_mv": (0, 0.5), "couple_open_min_mv": (15, 25)},
    ("couple_closed", "enough"): {"couple_closed_mv": (12, 13.4), "couple_closed_min_mv": (8, 11)},
    ("couple_closed", "low"): {"couple_closed_mv": (2, 6), "couple_closed_min_mv": (8, 11)},
    ("couple_closed", "high_but_drops"): {"couple_closed_mv": (17, 20), "couple_closed_min_mv": (8, 11)},
    ("drop_out", "in_time"): {
        "drop_out_seconds": (25, 80), "drop_out_mv": (1.5, 5.5), "drop_out_limit_seconds": (90, 180),
    },
    ("drop_out", "too_slow"): {
        "drop_out_seconds": (195, 290), "drop_out_mv": (0.3, 1), "drop_out_limit_seconds": (90, 180),
    },
    ("drop_out", "drops_early"): {
        "drop_out_seconds": (5, 18), "drop_out_mv": (9.5, 14), "drop_out_limit_seconds": (90, 180),
    },
    ("pile_open", "enough"): {"pile_open_mv": (680, 800), "pile_open_min_mv": (400, 600)},
    ("pile_open", "low"): {"pile_open_mv": (150, 380), "pile_open_min_mv": (400, 600)},
    ("pile_open", "none"): {"pile_open_mv": (0, 8), "pile_open_min_mv": (400, 600)},
    ("pile_loaded", "enough"): {
        "pile_loaded_mv": (350, 370), "valve_loaded_mv": (335, 350), "pile_loaded_min_mv": (150, 300),
    },
    ("pile_loaded", "low"): {
        "pile_loaded_mv": (100, 108), "valve_loaded_mv": (98, 100), "pile_loaded_min_mv": (150, 300),
    },
    ("pile_loaded", "lost_on_the_way"): {
        "pile_loaded_mv": (335, 420), "valve_loaded_mv": (210, 295), "pile_loaded_min_mv": (150, 300),
    },
}  # fmt: skip


def _digits(high: float) -> int:
    return 2 if high < 3 else 1 if high < 20 else 0


def hot_suction_in_wc(rng: random.Random, model: Model, *, holds: bool) -> float:
    """Suction at the end of a hot run: well over the make point where it holds, under it where it does not."""
    return round(between(rng, *(ENOUGH if holds else SHORT)) * HOT_OF_COLD * model.make_point_in_wc, 2)


def reading_value(
    rng: random.Random, spec: dict[str, Any], at: tuple[str, str], model: Model, *, pressure_tap: bool = False
) -> float | None:
    """A number for one reading of a check and its outcome; None where there is none to write down."""
    quantity = spec["quantity"]
    share = _OF_MAKE_POINT.get(at, {}).get(quantity)
    if pressure_tap and at[0] == "suction_at_switch":
        share = _OF_MAKE_POINT_PRESSURE[at[1]]
    if share is not None:
        return round(between(rng, *share) * model.make_point_in_wc, 2)
    known = _RANGES.get(at, {})
    if quantity in known:
        found = known[quantity]
        return None if found is None else round(between(rng, *found), _digits(found[1]))
    low, high = float(spec["usual_low"]), float(spec["usual_high"])
    return round(between(rng, low, high), _digits(high))


def vent_survey(rng: random.Random, model: Model, *, over: bool) -> dict[str, float | int]:
    """A run as paced off, within the model's sheet or over it, by the sheet's own count of feet for each elbow."""
    feet_per_90, feet_per_45 = (5.0, 2.5) if model.nominal_in < 3 else (7.0, 3.5)
    elbows_90 = whole(rng, 1, max(1, model.limit_elbows - 2))
    elbows_45 = whole(rng, 0, 1)
    taken = elbows_90 * feet_per_90 + elbows_45 * feet_per_45
    room = max(model.limit_equivalent_ft - taken, 4)
    straight = room + whole(rng, 4, 30) if over else between(rng, 0.3, 0.95) * room
    return {
        "nominal_in": model.nominal_in,
        "straight_ft": float(round(straight)) if over else float(int(straight)),
        "elbows_90": elbows_90,
        "elbows_45": elbows_45,
        "limit_ft": model.limit_equivalent_ft,
        "feet_per_90": feet_per_90,
        "feet_per_45": feet_per_45,
        "limit_elbows": model.limit_elbows,
    }
