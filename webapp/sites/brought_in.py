"""Visits that came from the company's old files: nobody here claims to have been there, and nobody walked them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.sites.procedure_words import Said

if TYPE_CHECKING:
    from webapp.trade.record_types import Record

NOBODYS_ID = "00000000-0000-0000-0000-000000000000"
"""The nil UUID (RFC 9562, section 5.9), as the technician of such a visit: a real one's phone would get them all."""
NOT_TOLD, OTHER = "not_told", "other"
BROUGHT_IN = "brought in from a file"
TECHNICIAN_NOTE = "Technician: "
FROM_OLD_FILES = "brought in from the old files"
DID_NOT_HOLD = "did not hold"


def is_brought_in(record: Record) -> bool:
    """Whether a job came from a file."""
    return record["technician_id"] == NOBODYS_ID


def technician_words(record: Record) -> str:
    """Nobody is claimed; whom the file names is told as that."""
    notes = [note["words"] for note in record["notes"] if note["words"].startswith(TECHNICIAN_NOTE)]
    named = notes[0].removeprefix(TECHNICIAN_NOTE) if notes else ""
    return f"{FROM_OLD_FILES}, which name {named}" if named else FROM_OLD_FILES


def held_words(closing_words: str | None) -> str:
    """What the file says of whether it held; empty where the words are not those of an import."""
    before, _, told = (closing_words or "").partition("; ")
    return told if before == BROUGHT_IN else ""


def held_said(closing_words: str | None) -> Said:
    """The same with its verdict. That it held is the file's word, no proof."""
    told = held_words(closing_words) or "nothing of whether it held"
    return Said(f"The old file says: {told}", "bad" if told == DID_NOT_HOLD else None)
