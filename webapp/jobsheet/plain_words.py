"""The trade's words as a householder understands them. A test holds that no shipped procedure has a cause without."""

from __future__ import annotations

CAUSES = {
    # the power-vented heater
    "terminal_blocked": "The end of the vent pipe outside was blocked.",
    "water_in_sag": "Water was standing in a low part of the vent pipe.",
    "run_over_limit": "The vent pipe is longer, or has more bends, than the heater's maker allows.",
    "elbows_close": "Bends in the vent pipe are too close together, or too close to the heater.",
    "restrictor_wrong": "A fitting that narrows the vent pipe was wrong for this pipe.",
    "joint_leak_at_blower": "A joint of the vent pipe at the heater's blower was leaking.",
    "condensate_drain_blocked": "The drain for the water that collects in the vent was blocked.",
    "dilution_closed": "The opening that lets room air into the vent was closed off.",
    "tube_off": "A small hose that tells the heater whether its vent is drawing was off, split or kinked.",
    "tube_wet": "There was water or dirt in a small hose that tells the heater whether its vent is drawing.",
    "switch_drifted": "The switch that checks whether the vent is drawing did not work as it should.",
    "blower_weak": "The blower that pushes the burnt gas outside was too weak.",
    "blower_no_power": "No electric power reached the blower.",
    "open_connection": "An electric connection in the heater's safety circuit was open.",
    "limit_failed": "A safety switch that watches for too much heat had failed.",
    "tank_overheats": "The water in the tank was getting too hot.",
    "igniter_failed": "The part that lights the burner had failed.",
    "flame_signal_weak": "The heater could not sense its own flame well enough.",
    "gas_low": "Too little gas, or none, reached the heater.",
    "air_starved": "The burner was getting too little air.",
    "house_negative": "The house was pulling air back against the heater's vent.",
    "wind_or_place": "Wind, or the place where the vent ends outside, was working against the vent.",
    "water_on_burner": "Water was dripping onto the burner.",
    "vapour_sensor": "A sensor for flammable vapours had shut the heater off.",
    "temperature_probe": "The part that measures the water's temperature was giving wrong readings.",
    "control_failed": "The heater's control had failed.",
    "no_call": "The heater was not being asked to heat, by its setting or its thermostat.",
    "none_of_these": "The cause was none of those that are usual.",
    # the standing-pilot heater
    "couple_weak": "The pilot's sensor, which keeps the gas open, was too weak.",
    "pilot_flame_weak": "The small flame that always burns, the pilot, was too weak.",
    "intake_plugged": "The screen through which the burner gets its air was plugged.",
    "tco_open": "A safety cut-off at the burner had opened.",
    "eco_open": "A safety cut-off for water that is too hot had opened.",
    "draft_wrong": "The burnt gas was not drawn up the vent as it should be.",
    "couple_connection": "A connection of the pilot's sensor, which keeps the gas open, was bad.",
    "demand_or_setting": "Hot water ran short: the setting, the inside of the tank, or more use than it can supply.",
    "door_not_sealed": "The door in front of the burner was not sealed.",
}

REPAIRS = {
    "clear_terminal": "The end of the vent pipe outside was cleared.",
    "restrap_vent": "Water was drained from the vent pipe, and the pipe was strapped to slope.",
    "rework_run": "The vent pipe was shortened or made larger, to what the maker's sheet allows.",
    "rework_elbows": "The bends of the vent pipe were spaced as the maker's sheet says.",
    "set_restrictor": "The fitting that narrows the vent pipe was set as the maker's sheet says.",
    "reseal_joint": "A joint or gasket of the vent was made tight.",
    "clear_drain": "The drain of the vent was cleared.",
    "open_dilution": "The opening that lets room air into the vent was freed.",
    "new_tube": "The small hose to the vent's switch was replaced or refitted.",
    "drain_tube": "The small hose to the vent's switch was drained and cleared.",
    "new_switch": "The vent's switch was replaced with one of the same kind.",
    "new_blower": "The blower was cleaned or replaced.",
    "restore_power": "Power to the blower was restored.",
    "remake_connection": "A connection was cleaned or made anew.",
    "new_limit": "The heat safety switch was replaced with one of the same kind.",
    "lower_and_flush": "The setting was lowered, or the tank was flushed.",
    "new_igniter": "The part that lights the burner was replaced.",
    "clean_flame_rod": "The flame sensor was cleaned, or its ground connection restored.",
    "restore_gas": "The gas supply was put right.",
    "clean_intake": "The way in which the burner gets its air was cleaned.",
    "bring_air": "More air was brought in for the burner.",
    "move_terminal": "The end of the vent pipe outside was moved or shielded.",
    "stop_leak": "The leak was stopped, or the heater was replaced.",
    "clear_vapour": "What gave off the vapours was removed, and the sensor was dealt with.",
    "new_probe": "The part that measures the water's temperature was replaced.",
    "new_control": "The heater's control was replaced.",
    "restore_call": "The setting or the thermostat was put right.",
    "new_couple": "The pilot's sensor, which keeps the gas open, was replaced.",
    "clean_pilot": "The pilot was cleaned, or its small parts were replaced.",
    "new_tco": "The reason was removed, and the burner's safety cut-off was replaced with one of the same kind.",
    "find_overheat": "The reason for the overheating was removed.",
    "mend_draft": "The vent was cleared, or air was brought in.",
    "set_and_flush": "The setting, a part inside the tank, or deposits in it were put right.",
    "seal_door": "The burner's door and its seal were refitted or replaced.",
}

LOOKS = {
    "tube_back": "Test fittings out, hose back on at both ends",
    "joints_again": "Joints of the vent tight; any joint opened on this visit tested while hot",
    "terminal_again": "End of the vent outside clear",
    "tp_again": "Relief valve and its pipe in place",
    "co_again": "Carbon monoxide in the room read again, with the meter on the whole time",
    "draft_hoods": "Other heaters there tested for burnt gas spilling into the room",
    "other_hoods": "Other heaters there tested for burnt gas spilling into the room",
    "fans_on": "Tested with every fan and the dryer on",
    "panels_back": "Covers, wires and plugs back",
    "gas_joints": "Every gas joint that was opened tested for leaks",
    "hood_smoke": "Smoke drawn in at the heater's hood after five minutes",
    "door_again": "Burner's door, seal and screws back",
    "adapter_out": "Test adapter out, nut tight again",
    "label_left": "Lighting label in place and readable",
    "joint_tested": "Joint of the vent opened on this visit tested while hot, with meter and soap: nothing leaks",
    "slope_measured": "Slope of the vent measured with a level, and strapped as the maker's sheet says",
    "water_runs_off": "Water poured into the vent runs off, none stands",
    "drain_runs": "Water poured into the drain runs away",
    "tap_equal": "The same suction at both ends of the small hose",
    "wet_reason": "Reason for the water in the small hose found and gone",
    "heat_reason": "Other reasons for too much heat looked for: gone, or not there",
    "run_counted": "Vent pipe counted again, inside what the maker's sheet allows",
    "ring_as_sheet": "Fittings that narrow the vent as the maker's sheet says for this length",
    "connection_still": "Connection moved by hand while the heater is asked to heat: nothing changes",
    "dry_below": "Dry under the tank after a full heat-up",
    "vapours_gone": "Source of the vapours gone, and the room aired",
    "vent_again": "Vent joined and rising, its cap clear",
    "wires_back": "Labelled wires back on, screws tight",
    "flame_wraps": "Pilot flame blue and steady, where it should be",
    "screen_clean": "Screen of the burner's air clean all round",
    "dial_followed": "Burner follows its dial, up and down",
    "flue_gas_read": "Burnt gas read with the analyser",
    "dial_back": "Dial back where it is wanted",
}

ENDED = {
    "proven": "Repaired, and the repair held in the test run.",
    "not_proven": "Worked on, but not proven: the repair was not shown to hold.",
    "not_seen_today": "The fault did not show itself on this visit.",
    "waiting_part": "Not finished: waiting for a part.",
    "declined": "Not repaired: the repair was declined.",
    "handed_over": "Handed over to somebody else.",
    "replaced": "The heater was replaced.",
    "left_off": "The heater was left off and tagged.",
}
LEAVES_OPEN = {
    "waiting_part": "A second visit is needed once the part is there. Ask us when that is.",
    "not_proven": "The fault may come back. If it does, or if anything about the heater is unusual, leave it alone and "
    "ring us. Nothing on this sheet says that it will go on running.",
    "replaced": "Numbers and answers on this sheet may be of the heater that was taken out.",
}
LEFT_IN_USE = "It was not left off when we went: none of the looks for safety on this visit forbids its use."
LOOKS_MISSING = "Ask us before you use it: not every look for safety was made on this visit."
IN_DOUBT = "How long that run lasted is in doubt: see “The test run after the work”."
WAS_RUN = "The burner was run on this visit."
NOT_RUN = "By this record the burner was not run on this visit: nothing here shows how it runs."
NO_FIRE = {
    "watch_cycle": ("nothing_at_all", "blower_silent", "closed_at_rest", "never_makes", "flutters", "no_ignition"),
    "relight_watch": ("wont_hold", "wont_light", "no_main"),
    "pilot_flame": ("wraps_tip", "small_or_off_tip", "yellow", "dances"),
    "follows_dial": ("never_starts",),
    "couple_open": ("enough", "low", "none"),
    "couple_closed": ("enough", "low", "high_but_drops"),
    "drop_out": ("in_time", "too_slow", "drops_early"),
    "pile_open": ("enough", "low", "none"),
    "pile_loaded": ("enough", "low", "lost_on_the_way"),
}
"""Answers to checks that fire the heater which tell of no burner: it never lit, or the pilot alone was looked at."""
NOT_ENDED = {
    "booked": "Nothing is recorded of this visit yet: it is booked.",
    "open": "This visit was not finished when this sheet was made.",
    "cancelled": "This visit was cancelled: nobody went.",
}
CANCELLED_UNDER_WAY = "This visit was cancelled after it had begun."

INSTRUMENTS = {
    "co_meter": "carbon monoxide (CO) meter",
    "gas_detector": "gas leak detector",
    "multimeter": "electric meter",
    "manometer": "pressure gauge for vents and gas",
    "combustion_analyser": "analyser for burnt gas",
    "thermometer": "thermometer",
    "other": "instrument",
}

PHOTOS = {
    "plate": "The heater's rating plate",
    "sheet": "The maker's instruction sheet",
    "part_label": "The label on a part",
    "damage_before": "Damage that was there before",
    "proof": "After the work",
}

FIRST_LOOKS = {
    ("smell_of_gas", "no_smell"): "No gas was smelled.",
    ("smell_of_gas", "smell"): "There was a smell of gas.",
    ("low_smell", "no_smell"): "No gas was smelled near the floor.",
    ("low_smell", "smell"): "There was a smell of gas near the floor.",
    ("symptoms", "nobody"): "Nobody there felt unwell.",
    ("symptoms", "somebody"): "Somebody felt unwell.",
    ("scene", "safe"): "The place was dry, with room to stand and a way out.",
    ("scene", "wet_or_failing"): "Electric parts were wet, or the tank was failing.",
    ("scene", "vapours"): "There were vapors of fuel or solvent.",
    (
        "scene",
        "must_not_run",
    ): "The heater must not run: it was under water, is recalled, or its tank or vent is not fit.",
    ("scene", "cannot_reach"): "The heater could not be reached safely.",
    ("co_room", "acceptable"): "The room held no more carbon monoxide than the rules allow.",
    ("co_room", "raised"): "The room held more carbon monoxide than it should.",
    ("co_room", "outside"): "The room held carbon monoxide: everybody had to wait outside while it was aired.",
    ("co_room", "leave"): "The room held so much carbon monoxide that everybody had to leave at once.",
}
"""The first looks for safety. Their short answers are orders to the technician: "Leave now" is nobody's finding."""

UNTOLD = {
    "always_so": ("ran_well_before",),
    "as_found": ("burning",),
    "co_meter": ("on",),
    "gas_cleared": ("waited", "pilot_burning"),
    "gas_off": ("off_and_tagged",),
    "leads_beep": ("beep",),
    "lighting_label": ("read",),
    "moved_lately": ("not_touched",),
    "none_or_short": ("none_at_all",),
    "only_with": ("any_time",),
    "plug_out": ("proved_dead",),
    "scene": ("safe",),
    "source_kind": ("couple", "pile"),
    "tap_type": ("suction", "pressure", "differential"),
    "worked_on": ("not_touched",),
}
"""How a technician makes safe, tries a meter or asks around, where all is well: it tells nothing of the heater."""

STATES = {"cold": "heater cold", "hot": "heater hot", "dead": "power off", "live": "power on"}


def sentence(words: str) -> str:
    """The trade's words as a sentence, where nobody has said it plainer."""
    plain = words.strip()
    return (plain[:1].upper() + plain[1:]).rstrip(".") + "." if plain else ""
