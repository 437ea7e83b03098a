"""What must be done to a store before the app runs on it. Safe to do again."""

from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

from sqlalchemy.orm import Session

from webapp.extensions import Database
from webapp.migrations.run import migrate
from webapp.models import Meta, ProcedureVersion
from webapp.models.ids import new_id
from webapp.models.meta import THE_ONE_ROW
from webapp.procedures import compiled, list_procedures
from webapp.sync.photos import photo_path
from webapp.sync.queries import (
    all_photos_here,
    forget_photo_bytes,
    insert_if_absent,
    set_current_procedure,
    set_epoch,
)


def prepare_store(database: Database) -> None:
    """Bring the tables up to date, give a new store its epoch, and store the procedures that this release brings."""
    migrate(database.engine)
    with database.session() as session:
        _begin_epoch(session)
        for name in list_procedures():
            _store_procedure(session, name)
        session.commit()


def begin_new_epoch(database: Database, data: Path) -> str:
    """After a restore: phones then pull anew and offer what they still hold. Gives the epoch.

    A photo whose bytes did not come back with the backup is asked of the phones again.
    """
    epoch = new_id()
    with database.session() as session:
        set_epoch(session, epoch, datetime.now(UTC))
        lost = [sha256 for sha256 in all_photos_here(session) if not photo_path(data, sha256).is_file()]
        forget_photo_bytes(session, lost)
        session.commit()
    return epoch


def _begin_epoch(session: Session) -> None:
    row = {"id": THE_ONE_ROW, "epoch": new_id(), "epoch_began_at": datetime.now(UTC)}
    insert_if_absent(session, Meta, [row])


def _store_procedure(session: Session, name: str) -> None:
    body = compiled(name)
    row = {"hash": body["hash"], "name": name, "body": body, "stored_at": datetime.now(UTC), "is_current": True}
    insert_if_absent(session, ProcedureVersion, [row])
    set_current_procedure(session, name, body["hash"])
