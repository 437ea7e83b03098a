"""What the sync needs in a new store, and after a restore."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from sqlalchemy.orm import Session

from webapp.models import Meta, ProcedureVersion
from webapp.models.ids import new_id
from webapp.models.meta import THE_ONE_ROW
from webapp.sync import queries, upkeep_queries
from webapp.sync.photos import photo_path


def found_store(session: Session, procedures: list[Mapping[str, Any]]) -> None:
    """Give a new store its epoch, and store the procedures that this release brings. Commits; safe to do again."""
    now = datetime.now(UTC)
    queries.insert_if_absent(session, Meta, [{"id": THE_ONE_ROW, "epoch": new_id(), "epoch_began_at": now}])
    for body in procedures:
        row = {"hash": body["hash"], "name": body["name"], "body": body, "stored_at": now, "is_current": True}
        queries.insert_if_absent(session, ProcedureVersion, [row])
        upkeep_queries.set_current_procedure(session, body["name"], body["hash"])
    session.commit()


def renew_epoch(session: Session, data: Path) -> str:
    """After a restore: phones then pull anew and offer what they still hold. Commits; gives the epoch.

    A photo whose bytes did not come back with the backup is taken again when a phone brings it.
    """
    epoch = new_id()
    upkeep_queries.set_epoch(session, epoch, datetime.now(UTC))
    lost = [sha256 for sha256 in upkeep_queries.all_photos_here(session) if not photo_path(data, sha256).is_file()]
    upkeep_queries.forget_photo_bytes(session, lost)
    session.commit()
    return epoch
