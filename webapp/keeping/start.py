"""What must be done to a store before the app runs on it. Safe to do again."""

from __future__ import annotations

from pathlib import Path

from webapp.extensions import Database
from webapp.migrations.run import migrate
from webapp.procedures import compiled, list_procedures
from webapp.sync.founding import found_store, renew_epoch
from webapp.sync.rebuild import rebuild


def prepare_store(database: Database) -> None:
    """Bring the tables up to date, give a new store its epoch, and store the procedures that this release brings.

    Rows that an older release made of the events are made anew, so that no page reads a record of an older shape.
    """
    migrate(database.engine)
    with database.session() as session:
        found_store(session, [dict(compiled(name)) for name in list_procedures()])
        rebuild(session, only_marked=True)


def begin_new_epoch(database: Database, data: Path) -> str:
    """After a restore. Gives the epoch."""
    with database.session() as session:
        return renew_epoch(session, data)
