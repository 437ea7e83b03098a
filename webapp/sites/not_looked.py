"""Looks for safety that a visit ended without, where a heater may be running since."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.sites.brought_in import is_brought_in
from webapp.sites.procedure_words import inside
from webapp.trade.not_looked import is_whole_list, not_looked_at

if TYPE_CHECKING:
    from collections.abc import Callable

    from webapp.trade.procedure_types import Procedure
    from webapp.trade.record_types import Record

NOT_RUNNING = ("left_off", "proven")
"""Off and tagged; or proven, which asks for every look."""


def not_looked_words(procedure: Procedure | None, record: Record, title: Callable[[str], str], it: str = "it") -> str:
    """In one or two sentences, with the checks' titles; empty where nothing is missing.

    `Not looked at on this visit: smell of gas; CO in the room. Nobody has shown that it runs safely.`
    """
    closed = record["closed"]
    ended = record["state"] == "closed" and closed is not None and closed["state"] not in NOT_RUNNING
    if procedure is None or not ended or record["heater_off"] or is_brought_in(record):
        return ""
    checks = not_looked_at(procedure, record)
    if not checks:
        return ""
    shown = f"Nobody has shown that {it} runs safely."
    if is_whole_list(procedure, checks):
        return f"No look for safety was made on this visit. {shown}"
    return f"Not looked at on this visit: {'; '.join(inside(title(check)) for check in checks)}. {shown}"
