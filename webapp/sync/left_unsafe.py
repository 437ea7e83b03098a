"""Whether a job was closed so that a heater runs on, with a danger that somebody only looked at again."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from webapp.sync import queries
from webapp.trade.looked_again import looked_again
from webapp.trade.standing import findings_of

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.trade.procedure_types import Procedure
    from webapp.trade.record_types import Record

RUNS_ON = ("waiting_part", "declined", "handed_over", "replaced")
"""The other closes ask for what shows it safe, or leave it off."""


def is_left_unsafe(session: Session, record: Record) -> bool:
    """By the rules that the phone goes by; asked of few jobs, when they are closed."""
    closed, opened = record["closed"], record["opened"]
    if closed is None or closed["state"] not in RUNS_ON or record["heater_off"] or opened is None:
        return False
    version = queries.get_procedure(session, opened["procedure_hash"])
    if version is None:
        return False
    procedure = cast("Procedure", version.body)
    return bool(looked_again(procedure, record, findings_of(procedure, record)))
