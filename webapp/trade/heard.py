"""Whose word was heard by whom: nobody's all-clear lifts what they had not heard that another person found unsafe."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .envelope import mark
from .findings import find_again, last_said
from .moments import moment_ms
from .ordering import fold_place, in_order
from .unmarked import is_safe

if TYPE_CHECKING:
    from .events import Event
    from .procedure_types import Check
    from .record_types import Answer, CheckFinding, Heard, Mark, Record


def heard_entries(ours: list[Event], live: list[Event]) -> list[Heard]:
    """What names another person's entry in `replaces`: it takes the place of nothing, it had that one before it.

    Range: any events. Source: docs/sync.md; docs/adr/0228.
    """
    naming = [event for event in live if event["replaces"]]
    if not naming:
        return []
    whose = {event["id"]: event["person_id"] for event in ours}
    return [
        {"event_id": one, "by": mark(event)}
        for event in naming
        for one in event["replaces"]
        if whose.get(one) not in (None, event["person_id"])
    ]


def has_heard(record: Record, event_id: str, by: Mark) -> bool:
    """Whether whoever wrote the one had the other before them."""
    return True in [one["event_id"] == event_id and one["by"]["event_id"] == by["event_id"] for one in record["heard"]]


def still_said(check: Check, record: Record, whole: CheckFinding, stands: CheckFinding) -> CheckFinding:
    """How a check stands, with every person's own last unsafe word that no later look has lifted.

    `whole`: all of its answers; `stands`: what is left of them after an arrival or a repair. A word is lifted by its
    own speaker's next one; by another person's that names it; and, as phones that name nothing must be able to, by
    one after a repair that was also noted later by the clock. What two phones without signal say past one another is
    in the fold's order by accident. Range: any. Example: "no smell" at 06:31, sent after another's "smell" of 06:36,
    lifts nothing. Source: trade practice (one nose that smells gas is enough); an expert guess as a rule.
    """
    last = {entry["by"]["person_id"]: entry for entry in whole["entries"] if entry["outcome"] is not None}
    if len(last) < 2:
        return stands
    said = [outcome["id"] for outcome in check["outcomes"] if is_safe(check, outcome)] + last_said(stands)
    back = [entry for entry in last.values() if entry["outcome"] not in said and not _is_lifted(record, entry, stands)]
    if not back:
        return stands
    places = [fold_place(entry["by"]) for entry in back]
    rest = [entry for entry in stands["entries"] if fold_place(entry["by"]) not in places]
    after = [entry for entry in rest if entry["after_repair"]]
    again = find_again(
        stands, in_order((after or rest) + [_said_since(entry, bool(after)) for entry in back], key=_place)
    )
    again["entries"] = in_order(again["entries"] + ([] if not after else _before(rest)), key=_place)
    return again


def _is_lifted(record: Record, word: Answer, stands: CheckFinding) -> bool:
    return True in [_lifts(record, answer, word) for answer in stands["entries"]]


def _lifts(record: Record, answer: Answer, word: Answer) -> bool:
    if answer["outcome"] is None or _place(answer) <= _place(word):
        return False
    if has_heard(record, word["by"]["event_id"], answer["by"]):
        return True
    return answer["after_repair"] and not word["after_repair"] and _is_noted_later(answer["by"], word["by"])


def _is_noted_later(by: Mark, than: Mark) -> bool:
    now, then = moment_ms(by), moment_ms(than)
    return now is not None and then is not None and now >= then


def _said_since(entry: Answer, after_repair: bool) -> Answer:
    again: Answer = dict(entry)  # type: ignore[assignment]  # a copy: the record stays
    again["after_repair"] = entry["after_repair"] or after_repair
    return again


def _before(entries: list[Answer]) -> list[Answer]:
    return [entry for entry in entries if not entry["after_repair"]]


def _place(entry: Answer) -> tuple[int, str, str]:
    return fold_place(entry["by"])
