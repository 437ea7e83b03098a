"""Reading an event's body: which fields each kind and schema has, and whether a body has them.

Every kind and schema ever shipped stays in this table for ever. The typed shapes are in `events.py`.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import Any

# The largest whole number that both JSON engines carry exactly (2**53 - 1, RFC 8259 section 6).
LARGEST_WHOLE = 9007199254740991
LARGEST_NUMBER = 1e300

REASONS = ("no_access", "no_tool", "unsafe", "refused", "cannot_tell", "not_fitted")
REASONS_2 = REASONS + ("not_allowed",)
CLOSE_STATES = (
    "proven", "not_proven", "not_seen_today", "waiting_part", "declined", "handed_over", "replaced", "left_off",
)  # fmt: skip
CALL_ANSWERS = ("yes", "no", "unsure", "not_asked")
INSTRUMENT_KINDS = (
    "co_meter", "gas_detector", "multimeter", "manometer", "combustion_analyser", "thermometer", "other",
)  # fmt: skip
PHOTO_ABOUT = ("check", "plate", "sheet", "part_label", "damage_before", "proof", "other")

_SHOWN = ("flashes", "text", "dark", "steady")
_FUELS = ("?", "natural_gas", "propane")
_WHERE = ("plate", "sheet", "part_label")

# A field is (name, what it holds). A tuple is a choice; "?" marks what may be left out or null.
_SHAPES: list[tuple[str, int, list[tuple[str, Any]]]] = [
    ("job_booked", 1, [
        ("complaint", "text"), ("complaint_words", "text"), ("technician_id", "text"), ("procedure_name", "text"),
        ("phone", "text?"), ("due_wall", "text?"),
    ]),
    ("job_booked", 2, [
        ("complaint", "text"), ("complaint_words", "text"), ("technician_id", "text?"), ("procedure_name", "text"),
        ("phone", "text?"), ("due_wall", "text?"),
    ]),
    ("job_moved", 1, [("technician_id", "text?"), ("due_wall", "text?"), ("why", "text?")]),
    ("job_opened", 1, [("procedure_hash", "text")]),
    ("arrived", 1, [("words", "text?")]),
    ("code_read", 1, [
        ("shown", _SHOWN), ("flashes", "whole?"), ("text", "text?"), ("meaning_words", "text?"),
    ]),
    ("check_answered", 1, [
        ("check", "text"), ("outcome", "text?"), ("could_not", ("?",) + REASONS), ("words", "text?"),
        ("minutes_since_fired", "number?"),
    ]),
    ("reading_taken", 1, [
        ("check", "text?"), ("quantity", "text"), ("value", "number"), ("place", "text?"),
        ("state", ("?", "cold", "hot", "dead", "live")), ("instrument_words", "text?"),
    ]),
    ("photo_taken", 1, [
        ("sha256", "text"), ("length_bytes", "whole"), ("media_type", "text"), ("width_px", "whole"),
        ("height_px", "whole"), ("check", "text?"), ("words", "text?"),
    ]),
    ("vent_surveyed", 1, [
        ("nominal_in", "number"), ("straight_ft", "number"), ("elbows_90", "whole"), ("elbows_45", "whole"),
        ("limit_equivalent_ft", "number?"), ("limit_elbows", "whole?"), ("words", "text?"),
    ]),
    ("hunch", 1, [("cause", "text"), ("words", "text?")]),
    ("cause_named", 1, [("cause", "text"), ("words", "text?")]),
    ("repair_made", 1, [("action", "text"), ("words", "text?")]),
    ("part_used", 1, [("part_words", "text"), ("count", "whole"), ("direction", ("fitted", "removed"))]),
    ("proof_run", 1, [
        ("passed", "flag"), ("minutes", "number"), ("restarts", "whole"), ("suction_before_in_wc", "number?"),
        ("suction_hot_in_wc", "number?"), ("co_room_ppm", "number?"), ("looks_done", "texts"), ("words", "text?"),
    ]),
    ("left_off", 1, [("what_words", "text"), ("why_words", "text"), ("told_words", "text")]),
    ("note", 1, [("words", "text")]),
    ("withdrawn", 1, [("why", "text?")]),
    ("job_closed", 1, [("state", CLOSE_STATES), ("words", "text?")]),
    ("job_closed", 2, [("state", CLOSE_STATES), ("words", "text?"), ("out", "flag")]),
    ("appliance_described", 1, [
        ("appliance_id", "text"), ("kind", "text"), ("fuel", _FUELS), ("maker_words", "text?"),
        ("model_words", "text?"), ("serial_words", "text?"), ("input_btu_h", "number?"),
    ]),
    ("sheet_number", 1, [("quantity", "text"), ("value", "number"), ("where", _WHERE)]),
    ("sheet_number", 2, [
        ("quantity", "text"), ("value", "number"), ("where", _WHERE), ("model_sheet_id", "text?"),
    ]),
    ("address_given", 1, [
        ("street", "text"), ("town", "text"), ("postcode", "text?"), ("customer_name", "text?"), ("phone", "text?"),
        ("access_words", "text?"),
    ]),
    ("call_taken", 1, [
        ("smell_of_gas", CALL_ANSWERS), ("co_alarm", CALL_ANSWERS), ("unwell", CALL_ANSWERS),
        ("water_leak", CALL_ANSWERS), ("home_words", "text?"), ("since_words", "text?"),
        ("no_hot_water_since", "text?"), ("lately", "texts"), ("lately_words", "text?"), ("lights_words", "text?"),
        ("resets_tried", "whole?"), ("said", "texts"),
    ]),
    ("job_moved", 2, [
        ("technician_id", "text?"), ("due_wall", "text?"), ("why", "text?"), ("complaint", "text?"),
        ("complaint_words", "text?"), ("procedure_name", "text?"), ("phone", "text?"),
    ]),
    ("job_moved", 3, [
        ("technician_id", "text?"), ("due_wall", "text?"), ("why", "text?"), ("complaint", "text?"),
        ("complaint_words", "text?"), ("procedure_name", "text?"), ("phone", "text?"), ("due_cleared", "flag?"),
    ]),
    ("check_answered", 2, [
        ("check", "text"), ("outcome", "text?"), ("could_not", ("?",) + REASONS_2), ("words", "text?"),
        ("minutes_since_fired", "number?"),
    ]),
    ("check_answered", 3, [
        ("check", "text"), ("outcome", "text?"), ("could_not", ("?",) + REASONS_2), ("words", "text?"),
        ("minutes_since_fired", "number?"), ("corrects", "flag?"),
    ]),
    ("reading_taken", 2, [
        ("check", "text?"), ("quantity", "text"), ("value", "number"), ("place", "text?"),
        ("state", ("?", "cold", "hot", "dead", "live")), ("instrument_words", "text?"), ("corrects", "flag?"),
    ]),
    ("job_cancelled", 1, [("why", "text")]),
    ("due_out", 1, [("due_out_wall", "text"), ("ring_phone", "text?"), ("words", "text?")]),
    ("came_out", 1, [("words", "text?")]),
    ("came_out", 2, [("person_id", "text?"), ("words", "text?")]),
    ("instrument_carried", 1, [
        ("instrument_id", "text"), ("instrument_kind", INSTRUMENT_KINDS), ("serial_words", "text?"),
        ("calibrated_on", "text?"), ("bump_tested", "flag?"), ("zeroed", "flag?"), ("words", "text?"),
    ]),
    ("code_read", 2, [
        ("shown", _SHOWN), ("flashes", "whole?"), ("flash_groups", "text?"), ("text", "text?"),
        ("meaning_words", "text?"), ("model_sheet_id", "text?"),
    ]),
    ("photo_taken", 2, [
        ("sha256", "text"), ("length_bytes", "whole"), ("media_type", "text"), ("width_px", "whole"),
        ("height_px", "whole"), ("check", "text?"), ("about", PHOTO_ABOUT), ("words", "text?"),
    ]),
    ("work_agreed", 1, [
        ("told_words", "text"), ("scope_words", "text"), ("price_words", "text?"),
        ("decision", ("authorised", "declined")), ("name_words", "text?"), ("signature_path", "text?"),
    ]),
    ("proof_run", 2, [
        ("passed", "flag"), ("minutes", "number"), ("restarts", "whole"), ("quantity", "text?"),
        ("before_value", "number?"), ("after_value", "number?"), ("co_room_ppm", "number?"),
        ("co_air_free_ppm", "number?"), ("fans_on", "flag?"), ("looks_done", "texts"), ("words", "text?"),
    ]),
    ("office_told", 1, [("told_wall", "text"), ("who_words", "text"), ("words", "text?")]),
    ("put_back", 1, [("words", "text")]),
    ("put_back", 2, [("words", "text"), ("left_off_ids", "texts?")]),
    ("put_back", 3, [
        ("words", "text"), ("left_off_ids", "texts?"), ("who_words", "text"), ("when_words", "text?"),
        ("work_words", "text?"), ("co_room_ppm", "number?"),
    ]),
    ("appliance_described", 2, [
        ("appliance_id", "text"), ("kind", "text"), ("fuel", _FUELS), ("maker_words", "text?"),
        ("model_words", "text?"), ("serial_words", "text?"), ("input_btu_h", "number?"), ("location_words", "text?"),
        ("installed_year", "whole?"), ("model_sheet_id", "text?"),
    ]),
    ("sheet_confirmed", 1, [
        ("sheet_event_id", "text"), ("quantity", "text"), ("agrees", "flag"), ("read_value", "number?"),
        ("words", "text?"),
    ]),
    ("same_address", 1, [("other_site_id", "text")]),
    ("not_same_address", 1, [("other_site_id", "text")]),
    ("may_be_same_address", 1, [("other_site_id", "text")]),
]  # fmt: skip


def _field(name: str, holds: Any) -> tuple[str, Any, bool]:
    """(name, what it holds, whether it may be left out)."""
    if isinstance(holds, tuple):
        return name, holds, holds[0] == "?"
    optional = holds[-1] == "?"
    return name, holds[:-1] if optional else holds, optional


SHAPES = {(kind, schema): [_field(name, holds) for name, holds in fields] for kind, schema, fields in _SHAPES}


def is_whole(value: object) -> bool:
    """A whole number that JSON carries exactly, written 3 or 3.0; true and false are no numbers, on either engine."""
    if type(value) is int:
        return -LARGEST_WHOLE <= value <= LARGEST_WHOLE
    return type(value) is float and -LARGEST_WHOLE <= value <= LARGEST_WHOLE and value == int(value)


def is_number(value: object) -> bool:
    """A finite number."""
    if type(value) is float:
        return -LARGEST_NUMBER <= value <= LARGEST_NUMBER
    return is_whole(value)


def read_body(kind: str, schema: int, body: dict[str, Any]) -> tuple[dict[str, Any], str | None]:
    """The body's known fields (null where left out), and null, or the name of the field that cannot be read.

    Example: `read_body("note", 1, {"words": "dog"})` is `({"words": "dog"}, None)`. Source: this project's own format.
    """
    fields: dict[str, Any] = {}
    for name, holds, optional in SHAPES[(kind, schema)]:
        value = body.get(name)
        if value is None:
            if not optional:
                return fields, name
        elif not _fits(value, holds):
            return fields, name
        elif holds == "number":
            value = float(value)
        elif holds == "whole":
            value = int(value)
        fields[name] = value
    if kind == "check_answered" and (fields["outcome"] is None) == (fields["could_not"] is None):
        return fields, "outcome"
    return fields, None


def _fits(value: Any, holds: Any) -> bool:
    if holds == "text":
        return isinstance(value, str)
    if holds == "number":
        return is_number(value)
    if holds == "whole":
        return is_whole(value)
    if holds == "flag":
        return isinstance(value, bool)
    if holds == "texts":
        return isinstance(value, list) and all([isinstance(one, str) for one in value])
    return isinstance(value, str) and value != "?" and value in holds
