"""When a figure was taken, beside the work: one of before a repair says nothing of what the repair did."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.trade.ordering import fold_place

if TYPE_CHECKING:
    from webapp.trade.record_types import Mark, Record

BEFORE, DURING, AFTER = "before", "during", "after"
ROOM_CO = "co_room_ppm"


def beside_work(by: Mark, record: Record) -> str:
    """`before` the first repair, `after` the last one, `during` them; empty where no repair is noted."""
    repairs = [fold_place(one["by"]) for one in record["repairs"]]
    if not repairs:
        return ""
    here = fold_place(by)
    return BEFORE if here < min(repairs) else AFTER if here > max(repairs) else DURING


def room_co_since_work(record: Record) -> tuple[float, Mark] | None:
    """The last figure of CO in the room that was noted after all work, in a hot run or by itself."""
    since = [(value, by) for value, by in _room_co(record) if beside_work(by, record) in ("", AFTER)]
    return since[-1] if since else None


def last_room_co(record: Record) -> float | None:
    """The last figure of all."""
    read = _room_co(record)
    return read[-1][0] if read else None


def _room_co(record: Record) -> list[tuple[float, Mark]]:
    """In a hot run or by itself, in the fold's order."""
    told = [(one["co_room_ppm"], one["by"]) for one in record["proofs"] if one["co_room_ppm"] is not None]
    told += [(one["value"], one["by"]) for one in record["readings"] if one["quantity"] == ROOM_CO]
    return sorted(told, key=lambda one: fold_place(one[1]))


def no_room_co_since_work(record: Record) -> bool:
    """The room was read and something repaired, and no figure of the room is noted since."""
    read = any(one["quantity"] == ROOM_CO for one in record["readings"])
    return read and bool(record["repairs"]) and room_co_since_work(record) is None
