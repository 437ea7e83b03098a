"""Backup and restore of the default store: one SQLite file and the folder of photos.

With PostgreSQL use its own tools for the database, and copy the photos; docs/deploy.md says how.
"""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path

from webapp.errors import UndercroftError
from webapp.extensions import Database
from webapp.keeping.start import begin_new_epoch, prepare_store
from webapp.sync.photos import FOLDER as PHOTO_FOLDER

STORE_FILE = "undercroft.sqlite3"


class NotThisStore(UndercroftError):
    """Only the SQLite store is kept this way."""


class StoreInUse(UndercroftError):
    """A server still has the store open: it would go on writing into the file that is put aside."""


class BadBackup(UndercroftError):
    """The backup is not whole."""


def backup(database: Database, data: Path, target: Path) -> Path:
    """Copy a running store into the new folder `target`: the database first, then the photos that it may name.

    SQLite's online backup gives one moment of the database. Photos are only ever added, so that every photo of that
    moment is among those copied after it.
    """
    source = _sqlite_path(database)
    draft = target.with_name(f".{target.name}.draft")
    if target.exists():
        raise BadBackup(f"{target.name} is there already.")
    shutil.rmtree(draft, ignore_errors=True)
    draft.mkdir(parents=True)
    with closing(sqlite3.connect(source)) as live, closing(sqlite3.connect(draft / STORE_FILE)) as copy:
        live.backup(copy)
    _check_whole(draft / STORE_FILE)
    if (data / PHOTO_FOLDER).is_dir():
        shutil.copytree(data / PHOTO_FOLDER, draft / PHOTO_FOLDER, ignore=shutil.ignore_patterns(".*"))
    draft.rename(target)
    return target


def restore(database: Database, data: Path, source: Path) -> None:
    """Put a backup in the place of the store, under a new epoch: phones then pull anew and offer what they still hold.

    Raises StoreInUse while a server has it open. What was there is kept beside it, with the time in its name.
    """
    store = _sqlite_path(database)
    _check_whole(source / STORE_FILE)
    database.dispose()
    _refuse_while_in_use(store)
    stamp = datetime.now(UTC).strftime("%Y%m%dT%H%M%S%f")
    for old in (store, store.with_name(store.name + "-wal"), store.with_name(store.name + "-shm")):
        if old.exists():
            old.rename(old.with_name(f"{old.name}.before-{stamp}"))
    shutil.copy(source / STORE_FILE, store)
    if (source / PHOTO_FOLDER).is_dir():
        shutil.copytree(source / PHOTO_FOLDER, data / PHOTO_FOLDER, dirs_exist_ok=True)
    prepare_store(database)
    begin_new_epoch(database, data)


def _sqlite_path(database: Database) -> Path:
    name = database.engine.url.database
    if database.engine.dialect.name != "sqlite" or not name:
        raise NotThisStore("This store is PostgreSQL: use its own tools (docs/deploy.md).")
    return Path(name)


def _refuse_while_in_use(store: Path) -> None:
    """Only whoever is alone with a store can take it out of the mode in which servers write."""
    if not store.exists():
        return
    with closing(sqlite3.connect(store, timeout=0)) as alone:
        try:
            alone.execute("PRAGMA journal_mode = DELETE")
        except sqlite3.DatabaseError as error:  # a damaged store is a reason to restore, not to refuse
            if error.sqlite_errorcode == sqlite3.SQLITE_BUSY:
                raise StoreInUse("The store is open elsewhere. Stop the server first.") from error


def _check_whole(path: Path) -> None:
    if not path.is_file():
        raise BadBackup(f"There is no {STORE_FILE} in it.")
    try:
        with closing(sqlite3.connect(path)) as copy:
            answers = [row[0] for row in copy.execute("PRAGMA integrity_check")]
    except sqlite3.DatabaseError as error:
        raise BadBackup("The database in it is damaged.", found=[str(error)]) from error
    if answers != ["ok"]:
        raise BadBackup("The database in it is damaged.", found=answers[:5])
