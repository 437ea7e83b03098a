"""Which heater a sheet is of; where it was replaced, which was put in and which was taken out."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.sites.event_words import heater_words

if TYPE_CHECKING:
    from webapp.sites.told_job import ToldJob
    from webapp.trade.record_types import Record

Row = tuple[str, str]
WHICH = "whether it was put in or taken out is not recorded"
NOT_DESCRIBED = "its plate is not recorded; our technician's words stand above"


def is_replaced(record: Record) -> bool:
    """Whether the visit ended with another heater in its place."""
    return record["closed"] is not None and record["closed"]["state"] == "replaced"


def heater_rows(told: ToldJob) -> list[Row]:
    """One row; two where the heater was replaced, as far as it is recorded which was which."""
    if not is_replaced(told.record):
        return [("Heater", _heater(told))]
    here = told.record["appliances"]
    new = here[-1] if here and told.facts.first_at.get(here[-1]["appliance_id"]) == told.job.id else None
    old = [heater_words(dict(one)) for one in here if new is None or one["appliance_id"] != new["appliance_id"]]
    old = old[-1:] or [one.words for one in told.facts.known if _was_there(told, one.appliance_id)]
    if new and not old:
        return [("Heater described on this visit", f"{heater_words(dict(new))} ({WHICH})")]
    return [
        ("Heater put in", heater_words(dict(new)) if new else NOT_DESCRIBED),
        ("Heater taken out", "; or ".join(old) or "its plate is not recorded"),
    ]


def _was_there(told: ToldJob, appliance_id: str) -> bool:
    """Described by a visit before this one."""
    first = told.facts.first_at
    order = list(first.values())
    before = order[: order.index(told.job.id)] if told.job.id in order else order
    return first.get(appliance_id) in before


def _heater(told: ToldJob) -> str:
    here = [heater_words(dict(one)) for one in told.record["appliances"]]
    if here:
        return "; ".join(dict.fromkeys(here))
    known, walked = told.facts.known, (told.words.body or {}).get("name", "")
    if len(known) == 1 and walked in ("", known[0].kind):  # of another kind, one stands there that nobody described
        return known[0].words
    return "which heater is not recorded" if known else ""
