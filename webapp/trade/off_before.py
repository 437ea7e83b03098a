"""Heaters that stand off at the address since other visits, and what that asks of this one."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import Any

    from .advice_types import OffBefore
    from .procedure_types import Need
    from .record_types import Record

# No check has this id: it is met by naming a cause, by a repair, or by putting back what stands off.
_KNOWN_FIRST: Need = {
    "check": "left_off",
    "outcomes": [],
    "words": "What the heater was left off for known: the cause named, or put back",
}
STANDS_OFF = "It was left off at an earlier visit and stands off: put it back in service first, or leave it off."


def off_before(record: Record, elsewhere: list[Any]) -> list[OffBefore]:
    """What other visits left off and neither they nor this one put back, in the order given.

    `elsewhere`: entries of other jobs of the address, each with the appliances that its job described, less those that
    another job put back, or that were noted before a `put_back` without names, also one of this job: only clocks can
    say that. One of them is another heater where both jobs described one each and not the same; in doubt it is this.
    Range: any record. Example: a `put_back` that names an entry ends it here. Source: docs/adr/0131, 0170, 0180.
    """
    ended = [one for note in record["put_back"] if note["counts"] for one in note["left_off_ids"] or []]
    ours = {line["appliance_id"] for line in record["appliances"]}
    return [
        {
            "event_id": str(one.get("event_id")),
            "wall": str(one.get("wall") or ""),
            "what_words": str(one.get("what_words") or ""),
            "why_words": str(one.get("why_words") or ""),
            "other_heater": is_another(ours, one.get("appliance_ids")),
        }
        for one in elsewhere
        if one.get("event_id") not in ended
    ]


def stands_off_before(before: list[OffBefore]) -> bool:
    """Whether this job's heater is, or may be, one that an earlier visit left off."""
    return len([one for one in before if not one["other_heater"]]) > 0


def known_first(record: Record, before: list[OffBefore]) -> list[Need]:
    """What waits before any burner runs while a heater stands off: nobody fires it to see why it was left off.

    Met by a cause named in this job, or by a repair. Source: trade practice; an expert guess as a rule.
    """
    if not record["heater_off"] and not stands_off_before(before):
        return []
    return [] if record["causes"] or record["repairs"] else [_KNOWN_FIRST]


def is_another(ours: set[str], theirs: Any) -> bool:
    """Whether two jobs described one heater each, and not the same; in doubt they are at one."""
    named = {one for one in theirs if isinstance(one, str)} if isinstance(theirs, list) else set()
    return len(ours) == 1 and len(named) == 1 and ours != named
