"""Reading in the file that a phone made with "save the queue to a file", when the network never came."""

from __future__ import annotations

import base64
import binascii
import json
from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from webapp.errors import BadForm, SignedOut, UndercroftError, look_up
from webapp.office import queries
from webapp.office.kept_apart import reason_words
from webapp.sites.procedure_words import as_title, plain_words
from webapp.sync.photos import store_photo
from webapp.sync.service import store_events

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

    from sqlalchemy.orm import Session

    from webapp.models import Device

FORMAT, VERSION = "undercroft-queue", 1
EVENTS_A_BATCH = 500
STATUS_WORDS = {
    "stored": "taken in",
    "duplicate": "was here already",
    "held": "kept apart",
    "rejected": "could not be taken in",
}


@dataclass(frozen=True)
class QueueFile:
    """What the file says, before anything is believed."""

    device_id: str
    person_name: str
    saved_wall: str
    events: list[Any]
    photos: list[Any]


@dataclass(frozen=True)
class ResultLine:
    """One event or photo that was not simply taken in."""

    what: str
    status: str
    why: str


@dataclass(frozen=True)
class ReadIn:
    """What became of the file."""

    queue: QueueFile
    counts: dict[str, int]
    photos_taken: int
    lines: list[ResultLine]


def parse_queue_file(content: bytes) -> QueueFile:
    """The file's parts; raises BadForm where it is no such file."""
    try:
        told = json.loads(content)
    except ValueError as error:  # also what is not UTF-8
        raise BadForm("This file is not a phone's queue: it cannot be read as JSON.") from error
    if not isinstance(told, dict) or told.get("format") != FORMAT:
        raise BadForm("This file is not a phone's queue.")
    if told.get("version") != VERSION:
        raise BadForm("This queue was saved by a newer phone than this office can read. Keep the file.")
    events, photos, person = told.get("events"), told.get("photos", []), told.get("person")
    if not isinstance(events, list) or not isinstance(photos, list):
        raise BadForm("This queue file is damaged: its list of events is missing.")
    return QueueFile(
        device_id=str(told.get("device_id") or ""),
        person_name=str(person.get("name", "")) if isinstance(person, dict) else "",
        saved_wall=str(told.get("saved_wall") or ""),
        events=events,
        photos=photos,
    )


def read_in(session: Session, office_device_id: str, data: Path, queue: QueueFile, *, trusted: bool) -> ReadIn:
    """Store the file's events and photos. Unless `trusted`, the same rules hold as for that phone over the network."""
    device = _phone_or_office(session, queue, office_device_id)
    counts: Counter[str] = Counter()
    lines = []
    for batch in _batches(queue.events):
        outcome = store_events(session, batch, device, trusted=trusted)
        for event, result in zip(batch, outcome["results"], strict=True):
            counts[result["status"]] += 1
            if result["status"] in ("held", "rejected"):
                why = result.get("message") or reason_words(str(result.get("code", "")))
                lines.append(ResultLine(_kind(event), STATUS_WORDS[result["status"]], why))
    taken, refused = _photos_in(session, data, queue.photos)
    return ReadIn(queue, dict(counts), taken, lines + refused)


def _phone_or_office(session: Session, queue: QueueFile, office_device_id: str) -> Device:
    """The phone that saved the file, where it is one of ours; else this sign-in stands for it.

    Never another sign-in: whoever names a colleague's in the file would write in that colleague's name.
    """
    device = queries.get_device(session, queue.device_id)
    if device is None or device.kind != "phone":
        device = queries.get_device(session, office_device_id)
    if device is None:
        raise SignedOut
    return device


def _batches(events: list[Any]) -> Iterator[list[Any]]:
    for start in range(0, len(events), EVENTS_A_BATCH):
        yield events[start : start + EVENTS_A_BATCH]


def _kind(event: object) -> str:
    kind = event.get("kind") if isinstance(event, dict) else None
    return as_title(plain_words(kind)) if isinstance(kind, str) else "An entry that cannot be read"


def _photos_in(session: Session, data: Path, photos: list[Any]) -> tuple[int, list[ResultLine]]:
    """Each photo by itself: one damaged picture does not keep the others out."""
    taken, refused = 0, []
    for photo in photos:
        try:
            taken += store_photo(session, data, *_bytes_of(photo))
        except UndercroftError as error:
            words = error.message or look_up(error)[2]
            refused.append(ResultLine("A photo", STATUS_WORDS["rejected"], words))
    return taken, refused


def _bytes_of(photo: dict[str, Any]) -> tuple[str, bytes]:
    try:
        return str(photo["sha256"]), base64.b64decode(photo["base64"], validate=True)
    except (KeyError, TypeError, ValueError, binascii.Error) as error:
        raise BadForm("This photo in the file is damaged.") from error
