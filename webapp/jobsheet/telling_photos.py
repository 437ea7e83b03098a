"""From a job's record: its photos, each with what it is of and when it was taken."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.jobsheet.moments import moment_of_visit
from webapp.jobsheet.plain_words import BUTTON_WORDS, PHOTOS
from webapp.jobsheet.sheet import Picture, Pictures, Section, Text
from webapp.sites.procedure_words import as_title

if TYPE_CHECKING:
    from webapp.jobsheet.sheet import Block
    from webapp.sites.procedure_words import ProcedureWords
    from webapp.sites.told_job import ToldJob
    from webapp.trade.record_types import PhotoNote, Record

MOST_PICTURES = 12


def pictures_section(told: ToldJob) -> Section | None:
    """The first photos, small; the others stay with the company."""
    photos = _once(told.record)
    if not photos:
        return None
    shown = [
        Picture(
            one["sha256"],
            photo_words(one, told.words),
            one["sha256"] in told.stored_photos,
            moment_of_visit(one["by"], told.record),
        )
        for one in photos[:MOST_PICTURES]
    ]
    blocks: list[Block] = [Pictures(shown)]
    if len(photos) > MOST_PICTURES:
        blocks.append(Text(f"{len(photos) - MOST_PICTURES} more are kept with the record of this visit.", "soft"))
    return Section("Photos", blocks)


def _once(record: Record) -> list[PhotoNote]:
    return list({photo["sha256"]: photo for photo in record["photos"]}.values())


def photo_words(photo: PhotoNote, words: ProcedureWords) -> str:
    """What it is of; and the technician's own words where they are all that says so, or tell of damage from before.

    Words beside a check are an aside to colleagues, as they are at the check itself: what it is of, the check says.
    """
    own = photo["words"] if photo["words"] not in BUTTON_WORDS else None
    of = PHOTOS.get(photo["about"] or "") or (words.check(photo["check"]) if photo["check"] else "")
    if photo["about"] == "damage_before" and own:
        return f"{of}: {own}"
    return of or as_title(own or "Photo, with no words to it")
