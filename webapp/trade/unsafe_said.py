"""Every unsafe word that was ever given in a job, also one that was answered again since: it was thought so then."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .envelope import mark
from .ordering import fold_place
from .unmarked import UNMARKED

if TYPE_CHECKING:
    from typing import Any

    from .events import Event
    from .record_types import Mark


def unsafe_said(events: list[Event]) -> list[Mark]:
    """Who said so and when, by the ids that are unsafe in every procedure. Range: any events in fold order."""
    return [mark(event) for event in events if event["kind"] == "check_answered" and _is_unsafe(event["body"])]


def _is_unsafe(body: dict[str, Any]) -> bool:
    check = body.get("check")  # whatever came: junk is no answer
    return isinstance(check, str) and body.get("outcome") in UNMARKED.get(check, [])


def last_before(marks: list[Mark], by: Mark) -> Mark | None:
    """The last of them that was given before this one."""
    before = [one for one in marks if fold_place(one) < fold_place(by)]
    return before[-1] if before else None


def is_any_after(marks: list[Mark], by: Mark) -> bool:
    """Whether any of them was given after this one."""
    return len([one for one in marks if fold_place(one) > fold_place(by)]) > 0
