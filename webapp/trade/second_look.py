"""A correction, or a second look: whether an unsafe word gives way to the one that its writer put in its place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .co_ladders import least_raised_ppm, surely_raised_ppm
from .moments import wall_ms
from .unmarked import UNMARKED

if TYPE_CHECKING:
    from typing import Any

    from .events import Event

# A wrong tap is seen at once: whoever gives another answer later has looked again (expert guess).
WRONG_TAP_MS = 120_000


def is_second_look(ordered: list[Event], old: Event, new: Event) -> bool:
    """Whether both stand although `new` names `old` in `replaces`: what was found unsafe is not to vanish.

    A phone that knows the difference says that it corrects (`corrects`), or names nothing. For what says neither, a
    new answer to an unsafe one, or to CO in the room that was raised, is a second look once two minutes have passed on
    the same phone's clock, on another phone, or where the clocks tell nothing. What is of another check, or no answer
    or figure at all, takes its place never; only undoing it does.
    Range: any two events. Example: 90 ppm at 06:16 and 2 ppm at 06:24 both stand. Source: docs/adr/0220.
    """
    if new["kind"] == "withdrawn" or not is_unsafe_word(old):
        return False
    if new["kind"] != old["kind"] or new["body"].get("check") != old["body"].get("check"):
        return True
    if new["body"].get("corrects") is True or _at_once(old, new):
        return False
    return old["kind"] == "check_answered" or not _called_safe(ordered, old, new)


def is_unsafe_word(event: Event) -> bool:
    """An answer that is unsafe by its id alone, or a figure of CO in the room that any rule set calls raised."""
    body: Any = event["body"]
    if event["kind"] == "check_answered":
        return body.get("outcome") in UNMARKED.get(str(body.get("check")), [])
    if event["kind"] != "reading_taken" or body.get("quantity") != "co_room_ppm":
        return False
    return type(body.get("value")) in (int, float) and body["value"] >= least_raised_ppm()


def _at_once(old: Event, new: Event) -> bool:
    before, after = wall_ms(old["at_wall"]), wall_ms(new["at_wall"])
    if old["device_id"] != new["device_id"] or before is None or after is None:
        return False
    return 0 <= after - before <= WRONG_TAP_MS


def _called_safe(ordered: list[Event], old: Event, new: Event) -> bool:
    """A figure that is raised by some rule sets alone, and was answered so by the firm's own that it is not."""
    if old["body"]["value"] >= surely_raised_ppm():
        return False
    after = False
    for event in ordered:
        if event["id"] == new["id"]:
            return False
        if event["id"] == old["id"]:
            after = True
        elif after and event["kind"] == "check_answered" and event["person_id"] == old["person_id"]:
            body: Any = event["body"]
            if body.get("check") == old["body"].get("check") and body.get("outcome") is not None:
                return not is_unsafe_word(event)
    return False


def corrections(ordered: list[Event], live: list[Event]) -> list[tuple[Event, Event]]:
    """Each unsafe word that no longer stands, with what the same person put in its place and lets stand."""
    stands = {event["id"] for event in live}
    gone = {event["id"]: event for event in ordered if event["id"] not in stands and is_unsafe_word(event)}
    found: dict[str, Event] = {}
    for event in live if gone else []:
        for one in event["replaces"]:
            old = gone.get(one)
            if old is not None and (old["person_id"], old["kind"]) == (event["person_id"], event["kind"]):
                found[one] = event
    return [(event, found[event["id"]]) for event in ordered if event["id"] in found]
