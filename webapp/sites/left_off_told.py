"""The words about what a job left off and put back, entry by entry."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.sites.phrases import joined
from webapp.trade.found_running import says_found_in_service

if TYPE_CHECKING:
    from collections.abc import Sequence

    from webapp.sites.in_service import Elsewhere
    from webapp.trade.record_types import LeftOffNote, PutBackNote, Record

SAID_ONLY = "Said to be put back, without what shows it safe"
OF_ANOTHER_VISIT = "what another visit had left off"


def said_only_words(words: str, who: str) -> str:
    """What a note that ends nothing is called. One that found it running is louder: it may be unsafe."""
    if says_found_in_service(words):
        return f"Said to be in service when {who} came; shown by nobody to be safe"
    return SAID_ONLY


def standing_off(record: Record, elsewhere: Elsewhere) -> list[str]:
    """Ids of the entries that neither this job nor another one has put back."""
    return [one for one in record["standing_off"] if one not in elsewhere.ended]


def left_off_note(notes: Sequence[LeftOffNote], event_id: str) -> LeftOffNote | None:
    """The note of an entry; where only the close says "left off", its visit's last one says what, and why."""
    return next((one for one in notes if one["by"]["event_id"] == event_id), notes[-1] if notes else None)


def left_off_words(note: LeftOffNote) -> str:
    """What, why, who was told."""
    return joined(note["what_words"], note["why_words"], f"told: {note['told_words']}")


def what_is_back(record: Record, note: PutBackNote) -> str:
    """Which entries a note ends, where the words do not go without saying: one alone needs no name."""
    if note["left_off_ids"] is None or (len(record["left_off"]) == 1 and note["left_off_ids"] == _ids(record)):
        return ""
    here = {one["by"]["event_id"]: one["what_words"] for one in record["left_off"]}
    return ", ".join(dict.fromkeys(here.get(one, OF_ANOTHER_VISIT) for one in note["left_off_ids"]))


def shown_back(record: Record) -> list[PutBackNote]:
    """Notes that put a heater back in service."""
    return [note for note in record["put_back"] if note["counts"]]


def said_back(record: Record) -> list[PutBackNote]:
    """Notes that say so and end nothing."""
    return [note for note in record["put_back"] if not note["counts"]]


def _ids(record: Record) -> list[str]:
    return [one["by"]["event_id"] for one in record["left_off"]]
