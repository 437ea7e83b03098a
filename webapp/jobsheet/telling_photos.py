"""From a job's record: its photos, each with what it is of and when it was taken."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.jobsheet.moments import moment_of_visit
from webapp.jobsheet.plain_checks import check_title
from webapp.jobsheet.plain_words import PHOTOS
from webapp.jobsheet.sheet import Picture, Pictures, Section, Text
from webapp.sites.photo_words import own_words
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
    """What it is of, and what whoever took it says of it: the phone tells them that the customer reads it here."""
    own = own_words(photo["words"], photo["check"], words)
    of = PHOTOS.get(photo["about"] or "") or (check_title(photo["check"], words) if photo["check"] else "")
    if of and own:
        return f"{of}: {own}"
    return of or as_title(own or "Photo, with no words to it")
