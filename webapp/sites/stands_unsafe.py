"""What a visit found unsafe and left so, by what was noted: not repaired since, not looked at again, not left off."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.sites.left_off_told import shown_back
from webapp.trade.closing import put_right_first
from webapp.trade.figures_said import figures_said
from webapp.trade.findings import last_said
from webapp.trade.standing import findings_of

if TYPE_CHECKING:
    from webapp.trade.procedure_types import Procedure
    from webapp.trade.record_types import Answer, Record

Found = tuple[str, str]
"""A check and its answer."""


def stands_unsafe(procedure: Procedure | None, record: Record) -> list[Found]:
    """By the rules that the phone goes by; a figure counts as what it says, also beside "could not check".

    Empty where a heater was left off: that is said itself, and louder.
    """
    off = record["left_off"] or (record["closed"] and record["closed"]["state"] == "left_off")
    if procedure is None or off or shown_back(record):
        return []
    raw = findings_of(procedure, record)
    return [
        (need["check"], outcome)
        for need in put_right_first(procedure, record, raw, raw)
        for outcome in last_said(raw[need["check"]])
        if outcome not in need["outcomes"]
    ]


def entry_of(procedure: Procedure, record: Record, check: str, outcome: str) -> Answer:
    """The last entry that says so, of what stands."""
    return [one for one in findings_of(procedure, record)[check]["entries"] if one["outcome"] == outcome][-1]


def figures_beside(procedure: Procedure, record: Record, check: str, outcome: str) -> str:
    """The figures behind it: `, 90 ppm`."""
    asking = next(one for one in procedure["checks"] if one["id"] == check)
    return figures_said(asking, record, entry_of(procedure, record, check, outcome))
