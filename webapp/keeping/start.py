"""What must be done to a store before the app runs on it. Safe to do again."""

from __future__ import annotations

from datetime import UTC, datetime

from sqlalchemy.orm import Session

from webapp.extensions import Database
from webapp.migrations.run import migrate
from webapp.models import Meta, ProcedureVersion
from webapp.models.ids import new_id
from webapp.models.meta import THE_ONE_ROW
from webapp.procedures import compiled, list_procedures
from webapp.sync.queries import insert_if_absent, set_current_procedure


def prepare_store(database: Database) -> None:
    """Bring the tables up to date, give a new store its epoch, and store the procedures that this release brings."""
    migrate(database.engine)
    with database.session() as session:
        _begin_epoch(session)
        for name in list_procedures():
            _store_procedure(session, name)
        session.commit()


def _begin_epoch(session: Session) -> None:
    row = {"id": THE_ONE_ROW, "epoch": new_id(), "epoch_began_at": datetime.now(UTC)}
    insert_if_absent(session, Meta, [row])


def _store_procedure(session: Session, name: str) -> None:
    body = compiled(name)
    row = {"hash": body["hash"], "name": name, "body": body, "stored_at": datetime.now(UTC), "is_current": True}
    insert_if_absent(session, ProcedureVersion, [row])
    set_current_procedure(session, name, body["hash"])
