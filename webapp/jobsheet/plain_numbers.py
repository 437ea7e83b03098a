"""Numbers as a householder understands them, where the procedure calls them in the trade's own words.

The others are plain as they are. A test holds that what is named here is a number that some procedure asks for.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from webapp.sites.procedure_words import ProcedureWords

PLAIN = {
    "blower_amps": "Electric current of the blower",
    "breaks_at_in_wc": "Draw at which the vent's switch lets go",
    "chain_volts": "Voltage where the safety switches stopped",
    "co_air_free_limit_ppm": "Our limit for CO in the burnt gas",
    "co_air_free_ppm": "CO in the burnt gas, air-free",
    "couple_closed_min_mv": "Maker's least voltage of the pilot's sensor, connected",
    "couple_closed_mv": "Voltage of the pilot's sensor, connected",
    "couple_open_min_mv": "Maker's least voltage of the pilot's sensor by itself",
    "couple_open_mv": "Voltage of the pilot's sensor by itself",
    "cutoff_ohm": "Resistance of the heat safety switch",
    "drop_out_limit_seconds": "Maker's longest time for the gas to shut off",
    "drop_out_mv": "Voltage at which the gas shut off",
    "drop_out_seconds": "Time until the gas shut off with the pilot out",
    "flame_min_ua": "Maker's least current through the flame",
    "flame_ua": "Current through the flame",
    "flue_o2_percent": "Oxygen in the burnt gas",
    "gas_inlet_in_wc": "Gas pressure at the heater, burner on",
    "gas_inlet_min_in_wc": "Least gas pressure, by the plate",
    "gas_static_in_wc": "Gas pressure at the heater, burner off",
    "igniter_amps": "Electric current of the part that lights the burner",
    "igniter_ohm": "Resistance of the part that lights the burner, cold",
    "limit_ohm": "Resistance of the heat safety switch",
    "make_point_in_wc": "Draw that the vent's switch needs, by its label",
    "makes_at_in_wc": "Draw at which the vent's switch closes",
    "manifold_in_wc": "Gas pressure at the burner",
    "pile_loaded_min_mv": "Maker's least voltage of the pilot's sensor, working",
    "pile_loaded_mv": "Voltage of the pilot's sensor, working",
    "pile_open_min_mv": "Maker's least voltage of the pilot's sensor by itself",
    "pile_open_mv": "Voltage of the pilot's sensor by itself",
    "room_pa": "Pressure in the room, all fans on",
    "stack_temp_f": "Temperature of the burnt gas",
    "suction_in_wc": "How strongly the vent draws",
    "suction_parted_in_wc": "How strongly it draws with the vent opened",
    "suction_tap_in_wc": "How strongly it draws where the small hose begins",
    "thermistor_ohm": "Resistance of the part that measures the water's temperature",
    "thermistor_table_ohm": "Resistance that the maker's table wants",
    "valve_loaded_mv": "Voltage that reaches the gas control",
    "vent_temp_f": "Temperature of the vent pipe",
}


def number_name(check: str | None, quantity: str, words: ProcedureWords) -> tuple[str, str]:
    """What the number is called, and its unit."""
    name, unit = words.reading(check, quantity)
    return PLAIN.get(quantity, name), unit
