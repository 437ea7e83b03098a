"""A file between its dry run and its coming in: in the data folder, for an hour, for the person who sent it."""

from __future__ import annotations

import os
import re
import secrets
from contextlib import suppress
from datetime import timedelta
from typing import TYPE_CHECKING

from webapp.errors import BadForm

if TYPE_CHECKING:
    from datetime import datetime
    from pathlib import Path

FOLDER = "imports"
KEPT_FOR = timedelta(hours=1)
NAME_BYTES = 16
NAME_FORM = re.compile(r"[0-9a-f]{32}")
GONE = "This file was brought in already, or waited for more than an hour. Choose it again: what is in stays in."


def keep_file(data: Path, person_id: str, content: bytes, now: datetime) -> str:
    """Keep the bytes under a random name; files that waited too long go meanwhile."""
    folder = data / FOLDER
    folder.mkdir(mode=0o700, exist_ok=True)
    for old in folder.iterdir():
        with suppress(FileNotFoundError):  # another request was first
            if _is_old(old, now):
                old.unlink()
    name = secrets.token_hex(NAME_BYTES)
    handle = os.open(_path(data, person_id, name), os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(handle, "wb") as file:
        file.write(content)
    return name


def read_kept(data: Path, person_id: str, name: str, now: datetime) -> bytes:
    """The bytes again; raises BadForm where they are gone, too old, or were never this person's."""
    if not NAME_FORM.fullmatch(name):
        raise BadForm(GONE)
    path = _path(data, person_id, name)
    try:
        if _is_old(path, now):
            raise BadForm(GONE)
        return path.read_bytes()
    except FileNotFoundError as error:
        raise BadForm(GONE) from error


def drop_kept(data: Path, person_id: str, name: str) -> None:
    """It is in: customers' names need not lie about any longer."""
    if NAME_FORM.fullmatch(name):
        _path(data, person_id, name).unlink(missing_ok=True)


def _path(data: Path, person_id: str, name: str) -> Path:
    return data / FOLDER / f"{person_id}-{name}.csv"


def _is_old(path: Path, now: datetime) -> bool:
    return now.timestamp() - path.stat().st_mtime > KEPT_FOR.total_seconds()
