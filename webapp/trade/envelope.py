"""What stands before the fold: readable envelopes, one event for each id, the fold order, and which events are live."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .bodies import is_whole
from .ordering import in_order, same_json
from .second_look import is_second_look

if TYPE_CHECKING:
    from typing import Any

    from .events import Event
    from .record_types import Mark, Unreadable

_TEXTS = ("id", "site_id", "person_id", "device_id", "at_wall", "kind")
_WHOLES = ("dev_seq", "lamport", "schema")


def take_in(events: object) -> tuple[list[Event], list[Unreadable]]:
    """Readable events, once each, in fold order; and what could not be read. Never raises.

    Fold order is (lamport, device_id, dev_seq, id). An id that comes with two different contents counts as
    neither: which of the two came first must not matter. Source: docs/sync.md.
    """
    by_id: dict[str, Any] = {}
    refused: list[tuple[str, str, str]] = []
    for event in events if isinstance(events, list) else []:
        if not _has_envelope(event):
            refused.append((_text(event, "id"), _text(event, "kind"), "envelope"))
        elif event["id"] not in by_id:
            by_id[event["id"]] = event
        elif by_id[event["id"]] is None or not same_json(by_id[event["id"]], event):
            by_id[event["id"]] = None
            refused.append((event["id"], "", "id_reused"))
    kept = in_order([event for event in by_id.values() if event is not None], key=fold_key)
    return kept, unreadable_list(refused)


def fold_key(event: Event) -> tuple[int, str, int, str]:
    """The order in which events are folded, whatever the order in which they arrived."""
    return (event["lamport"], event["device_id"], event["dev_seq"], event["id"])


def live_events(ordered: list[Event]) -> list[Event]:
    """The events that stand: no live event after them, by the same person, names them in `replaces`.

    What was found unsafe stands beside a second look, whatever that one names (second_look.py). From the last to the
    first, so that a withdrawn `withdrawn` gives back what it had taken. Source: docs/sync.md.
    """
    replaced: dict[tuple[str, str], list[Event]] = {}
    live = []
    position = len(ordered)
    while position > 0:
        position -= 1
        event = ordered[position]
        by = replaced.get((event["person_id"], event["id"]))
        if by is None or not [one for one in by if not is_second_look(ordered, event, one)]:
            live.append(event)
            for one in event["replaces"]:
                replaced.setdefault((event["person_id"], one), []).append(event)
    live.reverse()
    return live


def withdrawn_events(ordered: list[Event], live: list[Event]) -> list[tuple[Event, Event]]:
    """What was taken back and is replaced by nothing new: each with the withdrawal that did it first.

    Source: docs/sync.md (`withdrawn` is pure undo, of one's own events).
    """
    by_whom: dict[tuple[str, str], Event] = {}
    for event in live:
        for one in event["replaces"]:
            key = (event["person_id"], one)
            if key not in by_whom and event["kind"] == "withdrawn":
                by_whom[key] = event
    standing = {event["id"] for event in live}
    keyed = [(event, (event["person_id"], event["id"])) for event in ordered if event["id"] not in standing]
    return [(event, by_whom[key]) for event, key in keyed if key in by_whom]


def mark(event: Event) -> Mark:
    """Who and when, for a line of the record."""
    return {
        "event_id": event["id"],
        "person_id": event["person_id"],
        "device_id": event["device_id"],
        "lamport": int(event["lamport"]),
        "at_wall": event["at_wall"],
        "clock_offset": None if event["clock_offset"] is None else int(event["clock_offset"]),
    }


def unreadable_list(refused: list[tuple[str, str, str]]) -> list[Unreadable]:
    """Each refusal once, in a fixed order."""
    once = in_order(list(set(refused)), key=lambda line: line)
    return [{"event_id": line[0], "kind": line[1], "why": line[2]} for line in once]


def _has_envelope(event: Any) -> bool:
    if not isinstance(event, dict):
        return False
    for name in _TEXTS:
        if not isinstance(event.get(name), str):
            return False
    for name in _WHOLES:
        if not is_whole(event.get(name)):
            return False
    if "job_id" not in event or event["job_id"] is not None and not isinstance(event["job_id"], str):
        return False
    if "clock_offset" not in event or event["clock_offset"] is not None and not is_whole(event["clock_offset"]):
        return False
    replaces = event.get("replaces")
    if not isinstance(event.get("body"), dict) or not isinstance(replaces, list):
        return False
    for one in replaces:
        if not isinstance(one, str):
            return False
    return True


def _text(event: Any, name: str) -> str:
    value = event.get(name) if isinstance(event, dict) else None
    return value if isinstance(value, str) else ""
