"""CO in the room before the repair and after it: a figure of its own to compare, also where another visit read it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .co_ladders import least_raised_ppm
from .off_before import is_another
from .ordering import LAST, fold_place, in_order
from .written import to_a_hundredth

if TYPE_CHECKING:
    from typing import Any

    from .record_types import Record


def room_compared(record: Record, run: Any, elsewhere: list[Any]) -> str | None:
    """In words where CO was raised before and the run read less than any rule set calls raised; null otherwise.

    `elsewhere`: what other visits left off, with the most that each of them read in the room (`room_co_ppm`); what was
    read when another heater was left off proves nothing of this one.
    Range: any record. Example: "CO in the room: 84 ppm when it was left off, 2 ppm in the hot run." Source: ours.
    """
    after, raised = run.get("co_room_ppm"), least_raised_ppm()
    if after is None or after >= raised:
        return None
    heaters = {line["appliance_id"] for line in record["appliances"]}
    theirs = [one.get("room_co_ppm") for one in elsewhere if not is_another(heaters, one.get("appliance_ids"))]
    known = [(ppm, "before the repair") for ppm in _before_repair(record)]
    known += [(ppm, "when it was left off") for ppm in theirs if isinstance(ppm, (int, float))]
    over: list[tuple[float, str]] = in_order([one for one in known if one[0] >= raised], key=lambda one: -one[0])
    if not over:
        return None
    most, when = over[0]
    return (
        "CO in the room: "
        + to_a_hundredth(most)
        + " ppm "
        + when
        + ", "
        + to_a_hundredth(after)
        + " ppm in the hot run."
    )


def _before_repair(record: Record) -> list[float]:
    """What this visit read before its first repair, the most first."""
    first = fold_place(record["repairs"][0]["by"]) if record["repairs"] else LAST
    read = [one for one in record["readings"] if one["quantity"] == "co_room_ppm" and fold_place(one["by"]) < first]
    return [max([one["value"] for one in read])] if read else []
