"""What was noted unsafe and taken back: it counts for nothing, and whoever comes next still reads that it was said."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .co_ladders import least_raised_ppm
from .unmarked import UNMARKED

if TYPE_CHECKING:
    from .record_types import Corrected, Mark, Record


def unsafe_taken_back(record: Record) -> list[Corrected]:
    """As a correction to nothing, `to_by` being whoever took it back; of a check with its figure the figure alone.

    Unsafe is what is so by its id alone, and CO in the room that any rule set calls raised.
    Range: any record. Example: 90 ppm at 09:05, taken back at 09:06. Source: docs/adr/0220.
    """
    back = record["taken_back"]
    by_whom = {one["event_id"]: one["by"] for one in back["withdrawals"]}
    found: list[Corrected] = []
    for reading in back["readings"]:
        if reading["quantity"] == "co_room_ppm" and (reading["value"] or 0.0) >= least_raised_ppm():
            figure = _line(reading["check"], reading["by"], by_whom)
            figure["quantity"], figure["value"] = reading["quantity"], reading["value"]
            found.append(figure)
    figured = [one["check"] for one in found]
    for answer in back["answers"]:
        if answer["check"] not in figured and answer["outcome"] in UNMARKED.get(answer["check"], []):
            line = _line(answer["check"], answer["by"], by_whom)
            line["outcome"] = answer["outcome"]
            found.append(line)
    return found


def _line(check: str | None, by: Mark, by_whom: dict[str, Mark]) -> Corrected:
    return {
        "check": check,
        "outcome": None,
        "quantity": None,
        "value": None,
        "by": by,
        "to_outcome": None,
        "to_value": None,
        "to_by": by_whom[by["event_id"]] if by["event_id"] in by_whom else by,
    }
