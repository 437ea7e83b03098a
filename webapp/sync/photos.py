"""The bytes of photos: a folder, each file under the hash of what is in it."""

from __future__ import annotations

import hashlib
import os
import secrets
from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy.orm import Session

from webapp.errors import BadPhoto, NotFound, PhotoNotHere, PhotoNotNamed, PhotoTooLarge
from webapp.models import Device
from webapp.sync import photo_queries, queries
from webapp.sync.admission import visible_groups

LARGEST_PHOTO_BYTES = 400_000
JPEG_START = b"\xff\xd8\xff"
FOLDER = "photos"


def photo_path(data: Path, sha256: str) -> Path:
    """Where the bytes lie: 256 folders, so that none grows without end."""
    return data / FOLDER / sha256[:2] / f"{sha256}.jpg"


def store_photo(session: Session, data: Path, sha256: str, content: bytes, now: datetime | None = None) -> bool:
    """Keep the bytes of a photo that a stored event names. True where they are new; sent again, nothing changes."""
    photo = photo_queries.get_photo(session, sha256)
    if photo is None:
        raise PhotoNotNamed
    if len(content) > LARGEST_PHOTO_BYTES:
        raise PhotoTooLarge(longest_bytes=LARGEST_PHOTO_BYTES)
    session.rollback()  # writing a file is slow: not under the database's lock
    if hashlib.sha256(content).hexdigest() != sha256:
        raise BadPhoto("The bytes are not those of this hash.", length_bytes=len(content))
    if not content.startswith(JPEG_START):
        raise BadPhoto("This is not a JPEG.")
    _write_whole(photo_path(data, sha256), content)
    is_new = photo_queries.mark_photo_stored(session, sha256, now or datetime.now(UTC))
    session.commit()
    return is_new


def find_photo(session: Session, device: Device, data: Path, sha256: str, now: datetime | None = None) -> Path:
    """The file of a photo that this phone may see."""
    groups = queries.groups_of_sites(session, photo_queries.sites_of_photo(session, sha256))
    if not set(groups.values()) & visible_groups(session, device.person_id, now or datetime.now(UTC)):
        raise NotFound
    return path_of_stored(session, data, sha256)


def path_of_stored(session: Session, data: Path, sha256: str) -> Path:
    """The file of a photo, for the office; raises PhotoNotHere while the photo is still on the phone."""
    photo = photo_queries.get_photo(session, sha256)
    path = photo_path(data, sha256)
    if photo is None:
        raise NotFound
    if photo.stored_at is None or not path.is_file():
        raise PhotoNotHere
    return path


def _write_whole(path: Path, content: bytes) -> None:
    """Under the name there is the whole photo or none, even after a power cut."""
    path.parent.mkdir(parents=True, exist_ok=True)
    draft = path.with_name(f".{path.name}.{secrets.token_hex(8)}")
    try:
        with draft.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        draft.replace(path)
    finally:
        draft.unlink(missing_ok=True)
    folder = os.open(path.parent, os.O_RDONLY)
    try:
        os.fsync(folder)
    finally:
        os.close(folder)
