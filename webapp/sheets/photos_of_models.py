"""Photos of plates, sheets and labels, to read a figure from while it is typed."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING, Any, NamedTuple

from webapp.sheets import queries
from webapp.sheets.model_key import model_key
from webapp.sheets.procedure_paper import PLACE_WORDS
from webapp.sites.clock import day_words, parse_wall

if TYPE_CHECKING:
    from collections.abc import Collection
    from datetime import datetime

    from sqlalchemy.orm import Session

    from webapp.models import EventRow, ModelSheetVersion

HEATERS_LOOKED_THROUGH = 2000
"""Heaters described last, in which a model is looked for: an old photo is no better than a new one."""
MOST_SITES, MOST_PHOTOS = 40, 24


class PaperPhoto(NamedTuple):
    """One photo of a plate, a sheet or a label. `stored`: not on the phone any more."""

    sha256: str
    about: str
    words: str
    stored: bool


def photos_of_model(session: Session, sheet: ModelSheetVersion) -> list[PaperPhoto]:
    """Taken where this model stands, the newest first."""
    sites: dict[str, None] = {}
    described = queries.select_facts("appliance_described").limit(HEATERS_LOOKED_THROUGH)
    for row in session.scalars(described):
        if len(sites) < MOST_SITES and _is_of(sheet, row.body):
            sites.setdefault(row.site_id)
    places = queries.places_of(session, list(sites))
    found = session.execute(queries.select_photos(site_ids=list(sites)).limit(MOST_PHOTOS * 10))
    photos = [_photo(row, stored_at, places.get(row.site_id, "")) for row, stored_at in found if _is_paper(row)]
    return _each_once(photos)[:MOST_PHOTOS]


def photos_of_jobs(session: Session, job_ids: Collection[str]) -> dict[str, list[PaperPhoto]]:
    """By job, the newest first."""
    by_job: dict[str, list[PaperPhoto]] = defaultdict(list)
    for row, stored_at in session.execute(queries.select_photos(job_ids=job_ids)):
        if _is_paper(row) and row.job_id:
            by_job[row.job_id].append(_photo(row, stored_at, ""))
    return {job_id: _each_once(photos) for job_id, photos in by_job.items()}


def _each_once(photos: list[PaperPhoto]) -> list[PaperPhoto]:
    """A photo that was put in other words is named twice: as it was said last."""
    first: dict[str, PaperPhoto] = {}
    for photo in photos:
        first.setdefault(photo.sha256, photo)
    return list(first.values())


def _is_of(sheet: ModelSheetVersion, body: dict[str, Any]) -> bool:
    key = model_key(str(body.get("maker_words") or ""), str(body.get("model_words") or ""))
    return body.get("model_sheet_id") == sheet.model_sheet_id or key == sheet.model_key


def _is_paper(row: EventRow) -> bool:
    return row.kind == "photo_taken" and row.body.get("about") in PLACE_WORDS


def _photo(row: EventRow, stored_at: datetime | None, place: str) -> PaperPhoto:
    taken = parse_wall(row.at_wall)
    words = (PLACE_WORDS[row.body["about"]], day_words(taken) if taken else "", place, row.body.get("words") or "")
    return PaperPhoto(row.body["sha256"], row.body["about"], " · ".join(filter(None, words)), stored_at is not None)
