"""Command line: `python -m webapp.trade --list`, and `python -m webapp.trade NAME < args.json`."""

from __future__ import annotations

import json
import sys

from .calls import CALLS
from .phone import call

# Unit or meaning of each argument: for who reads the list, so no phone carries it.
MEANINGS = {
    "procedure": "compiled",
    "procedure_hash": "as given by load_procedure",
    "events": "event envelopes, any order",
    "off_before": "[{event_id, wall, what_words, why_words, appliance_ids, room_co_ppm}] that other visits left off",
    "found": "lines of found_unsafe of other visits to the address",
    "person_id": "who asks",
    "evidence": "[{check, outcome}]",
    "failed": "causes whose proof failed",
    "run": "a proof_run of schema 2 as it is being noted; left out: the last one of the events",
    "ladder": "CO rule set of the firm",
    "words": "English, as somebody typed them",
    "check": "check id",
    "readings": "[{quantity, value}], value in the quantity's unit; null is no continuity",
    "answers": "[{check, outcome}] so far",
    "suction_in_wc": "in. w.c.",
    "make_point_in_wc": "in. w.c., from the switch's label",
    "tap": "what the switch is tapped to",
    "limit_ohm": "ohm; null is no continuity",
    "leads_ohm": "ohm, leads touched together",
    "co_room_ppm": "ppm",
    "straight_ft": "ft",
    "elbows_90": "count",
    "elbows_45": "count",
    "limit_ft": "equivalent ft at most, from the sheet",
    "feet_per_90": "ft for each, from the sheet",
    "feet_per_45": "ft for each, from the sheet",
    "limit_elbows": "count at most, from the sheet",
    "limit_min_ft": "equivalent ft at least, from the sheet",
    "terminal_ft": "ft, where the sheet counts the terminal",
    "above_ground_in": "in., lower edge of the terminal above the ground",
    "opening_beside_ft": "ft, sideways to the nearest door, window or opening for air",
    "opening_over_ft": "ft, above that opening; below it is minus",
    "inlet_over_ft": "ft, above an inlet with a fan within 10 ft; below it is minus",
    "nominal_in": "in., pipe size",
    "gaps_in": "in. of straight pipe between elbows, in order",
    "outlet_gap_in": "in. of straight pipe between blower and first elbow",
    "codes": "[{flash_groups | text, meaning_words, could_be}], the model's table",
    "flashes": "count, where it flashes in one group",
    "flash_groups": "as tapped: 2-4",
    "text": "as shown",
    "named": "contacts or parts that the code's line points at",
    "source_v": "V",
    "load_ohm": "ohm, of the coil or other load",
    "meter_ohm": "ohm",
    "contact_ohms": "ohm each; an open contact about 1e9",
    "contacts": "[{id, normally: closed | open}] in the order of the chain",
    "to_common_v": "V, after the source and after each contact",
    "low_impedance": "whether the meter's low-impedance setting was used",
    "across_v": "V across each",
    "ohms": "ohm each; null is no continuity",
    "source_mv": "mV, open",
    "source_ohm": "ohm, of the source itself",
    "extra_ohm": "ohm, of contacts and wires between them",
    "couple_open_mv": "mV, off the valve or read before with the same flame",
    "couple_open_min_mv": "mV, from the maker's sheet",
    "couple_closed_mv": "mV",
    "couple_closed_min_mv": "mV, from the maker's sheet",
    "holds": "whether the pilot held",
    "drop_out_seconds": "s, from pilot out to the click",
    "drop_out_limit_seconds": "s, from the maker's sheet",
    "drop_out_mv": "mV at the click",
    "pile_open_mv": "mV",
    "pile_open_min_mv": "mV, from the maker's sheet",
    "pile_loaded_mv": "mV at the pile",
    "valve_loaded_mv": "mV at the valve",
    "pile_loaded_min_mv": "mV, from the maker's sheet",
    "cutoff_ohm": "ohm; null is no continuity",
    "quantity": "as in reading_taken",
    "value": "in the unit of the quantity, or in from_unit",
    "from_unit": "unit",
    "to_unit": "unit",
}


def main(argv: list[str]) -> int:
    """List the calls, or run one with JSON from standard input; 0 when it answered, 1 when it refused, 2 for usage."""
    if argv == ["--list"]:
        for name, _function, words, described in CALLS:
            print(f"{name}: {words}")
            for argument, holds in described:
                kind = " | ".join(holds) if isinstance(holds, tuple) else holds
                print(f"    {argument} ({kind}): {MEANINGS[argument]}")
        return 0
    if len(argv) != 1:
        print("usage: python -m webapp.trade --list | NAME < args.json", file=sys.stderr)
        return 2
    answer = json.loads(call(argv[0], sys.stdin.read()))
    print(json.dumps(answer, indent=2, sort_keys=True))
    return 0 if "ok" in answer else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
