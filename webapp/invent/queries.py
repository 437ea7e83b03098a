"""The few statements that the bulk store adds to those of the sync. Never commits."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import bindparam, func, select, update
from sqlalchemy.orm import Session

from webapp.models import Person, Site

ID_CHUNK = 500


def heads_of(session: Session, site_ids: Sequence[str]) -> dict[str, tuple[int, str]]:
    """Head and chain of those of the sites that exist."""
    found: dict[str, tuple[int, str]] = {}
    for start in range(0, len(site_ids), ID_CHUNK):
        some = site_ids[start : start + ID_CHUNK]
        rows = session.execute(select(Site.id, Site.head, Site.chain).where(Site.id.in_(some)))
        found |= {row.id: (row.head, row.chain) for row in rows}
    return found


def move_heads(session: Session, heads: Sequence[dict[str, Any]]) -> None:
    """Set many heads in one statement; each row has `site_id`, `new_head` and `new_chain`."""
    if not heads:
        return
    table = Site.__table__
    statement = (
        update(table)  # type: ignore[arg-type]  # SQLAlchemy types a mapped table as a FromClause
        .where(table.c.id == bindparam("site_id"))
        .values(head=bindparam("new_head"), chain=bindparam("new_chain"))
    )
    session.connection().execute(statement, list(heads))


def count_people(session: Session) -> int:
    """How many people the store knows."""
    return session.scalar(select(func.count()).select_from(Person)) or 0
