"""Checking the arguments of a call by its own description, so that every refusal has a name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .bodies import is_number, is_whole
from .errors import TradeError

if TYPE_CHECKING:
    from typing import Any

# One call is bounded, because memory inside a call is not given back on the phone.
MOST_ITEMS = 5000

# What each argument holds: the same word is the same thing in every call. Units and meanings are in `__main__.py`.
_HOLDS = {
    "object": "procedure run",
    "text": "procedure_hash person_id words check flash_groups text quantity from_unit to_unit",
    "list": "events",
    "objects": "evidence readings answers codes contacts off_before found",
    "texts": "failed named",
    "number": (
        "suction_in_wc make_point_in_wc limit_ohm leads_ohm co_room_ppm straight_ft elbows_90 elbows_45 "
        "limit_ft feet_per_90 feet_per_45 limit_elbows limit_min_ft terminal_ft nominal_in outlet_gap_in "
        "source_v load_ohm meter_ohm source_mv source_ohm extra_ohm couple_open_mv couple_open_min_mv "
        "couple_closed_mv couple_closed_min_mv drop_out_seconds drop_out_limit_seconds drop_out_mv "
        "pile_open_mv pile_open_min_mv pile_loaded_mv valve_loaded_mv pile_loaded_min_mv cutoff_ohm value "
        "above_ground_in opening_beside_ft opening_over_ft inlet_over_ft"
    ),
    "numbers": "gaps_in contact_ohms to_common_v across_v",
    "whole": "flashes",
    "flag": "low_impedance holds",
    "numbers_or_null": "ohms",
}
ARGUMENTS: dict[str, Any] = {name: holds for holds, names in _HOLDS.items() for name in names.split(" ")}
ARGUMENTS["ladder"] = ("?", "code_appendix", "protocol_9_36_70", "protocol_9_35_100")
ARGUMENTS["tap"] = ("suction", "pressure", "differential")


def described(names: str) -> list[tuple[str, Any]]:
    """(argument, what it holds) of each: "limit_ohm? leads_ohm?", where "?" is what may be null."""
    found: list[tuple[str, Any]] = []
    for name in names.split(" "):
        bare = name[:-1] if name[-1] == "?" else name
        found.append((bare, ARGUMENTS[bare] if bare == name else ARGUMENTS[bare] + "?"))
    return found


def check_arguments(described_as: list[tuple[str, Any]], given: dict[str, Any]) -> dict[str, Any]:
    """The arguments in the described shape; what may be left out is null. Raises missing_argument or bad_argument."""
    ready: dict[str, Any] = {}
    for name, holds in described_as:
        value = given.get(name)
        may_be_null = isinstance(holds, str) and holds[-1] == "?" or isinstance(holds, tuple) and holds[0] == "?"
        if value is None:
            if not may_be_null:
                raise TradeError("missing_argument", "Missing: " + name + ".")
        elif not _fits(value, holds[:-1] if isinstance(holds, str) and may_be_null else holds):
            raise TradeError("bad_argument", "Not as described: " + name + ".")
        if isinstance(value, list) and len(value) > MOST_ITEMS:
            raise TradeError("too_big", "More than " + str(MOST_ITEMS) + " in " + name + ".")
        ready[name] = float(value) if value is not None and holds in ("number", "number?") else value
    return ready


def _fits(value: Any, holds: Any) -> bool:
    if isinstance(holds, tuple):
        return isinstance(value, str) and value != "?" and value in holds
    if holds == "number":
        return is_number(value)
    if holds == "whole":
        return is_whole(value)
    if holds == "text":
        return isinstance(value, str)
    if holds == "flag":
        return isinstance(value, bool)
    if holds == "object":
        return isinstance(value, dict)
    if holds == "numbers":
        return isinstance(value, list) and all([is_number(one) for one in value])
    if holds == "numbers_or_null":
        return isinstance(value, list) and all([one is None or is_number(one) for one in value])
    if holds == "texts":
        return isinstance(value, list) and all([isinstance(one, str) for one in value])
    if holds == "objects":
        return isinstance(value, list) and all([isinstance(one, dict) for one in value])
    return isinstance(value, list)
