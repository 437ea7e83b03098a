"""A heater that was left off and is found in service: said by whoever comes, and shown by nobody to be safe."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .ordering import fold_place

if TYPE_CHECKING:
    from .record_types import Mark, PutBackNote, Record

# What the phone puts before the words where it was found running, and not put back by whoever notes it.
FOUND_IN_SERVICE = "Found in service: "
SHUT_IT_OFF = (
    "It may be running unsafe. Shut it off again and tag it now, or make what putting it back asks. "
    "A clean reading on entry shows nothing."
)
MAY_RUN = "It was found in service, and nobody has shown it to be safe: shut it off and tag it before you go."
NOT_BACK = (
    "It was left off, found in service, and shown by nobody to be safe: shut it off and tag it, "
    "or put it back after a hot run."
)


def says_found_in_service(words: str) -> bool:
    """Whether a `put_back` says that somebody else had switched the heater on. Such a word alone ends nothing."""
    return words.startswith(FOUND_IN_SERVICE)


def found_words(note: PutBackNote) -> str:
    """What was said beside it. Example: "Found in service: by the owner" → "by the owner"."""
    return note["words"][len(FOUND_IN_SERVICE) :] if says_found_in_service(note["words"]) else note["words"]


def found_running(record: Record) -> list[PutBackNote]:
    """Notes that it was found in service which nothing has answered: it was not left off again since, nor put back.

    Of several heaters only the same is put back: one by its name leaves the other as it was found.
    Range: any record. Source: trade practice (a locked-out heater makes no CO: a clean reading on entry is no pass);
    an expert guess as a rule; docs/adr/0203.
    """
    said = [one for one in record["put_back"] if not one["counts"] and says_found_in_service(one["words"])]
    back = [one for one in record["put_back"] if one["counts"]]
    return [
        note
        for note in said
        if not [one for one in record["left_off"] if _is_since(one["by"], note["by"])]
        and not [one for one in back if _is_since(one["by"], note["by"]) and _may_be_the_same(one, note)]
    ]


def _is_since(later: Mark, by: Mark) -> bool:
    return fold_place(later) > fold_place(by)


def _may_be_the_same(one: PutBackNote, other: PutBackNote) -> bool:
    named, theirs = one["left_off_ids"], other["left_off_ids"]
    return named is None or theirs is None or len([event_id for event_id in named if event_id in theirs]) > 0
