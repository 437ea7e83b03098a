"""Photos, and which sites' events name them: all SQL about their bytes."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import select, update
from sqlalchemy.orm import Session

from webapp.models import Photo, PhotoUse


def photos_here(session: Session, site_ids: Sequence[str]) -> list[str]:
    """Photos of these sites whose bytes are stored."""
    wanted = select(Photo.sha256).join(PhotoUse, PhotoUse.sha256 == Photo.sha256)
    wanted = wanted.where(PhotoUse.site_id.in_(site_ids), Photo.stored_at.is_not(None))
    return list(session.scalars(wanted.distinct().order_by(Photo.sha256)))


def get_photo(session: Session, sha256: str) -> Photo | None:
    """One photo."""
    return session.get(Photo, sha256)


def sites_of_photo(session: Session, sha256: str) -> list[str]:
    """The sites whose events name it."""
    return list(session.scalars(select(PhotoUse.site_id).where(PhotoUse.sha256 == sha256)))


def mark_photo_stored(session: Session, sha256: str, now: datetime) -> bool:
    """True for the one who was first."""
    marked = session.execute(
        update(Photo)
        .where(Photo.sha256 == sha256, Photo.stored_at.is_(None))
        .values(stored_at=now)
        .returning(Photo.sha256)
    )
    return marked.first() is not None
