"""The words that were read out to a caller, whole, as they stood when the call was taken."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from webapp.office.call_words import SAY
from webapp.sheets.own_words import read_own_words
from webapp.sites.clock import parse_wall

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.trade.record_types import Record


class SaidWhole(NamedTuple):
    """`own`: the company's, which stood above or below ours."""

    lines: list[str]
    own: list[str]


def said_whole(session: Session, record: Record | None) -> list[SaidWhole]:
    """What is marked as said on the call that counts. Ours are as this version words them."""
    call = record["call"] if record else None
    if call is None or not call["said"]:
        return []
    own = read_own_words(session, parse_wall(call["by"]["at_wall"]))
    told = []
    for one in SAY:
        if one.id in call["said"]:
            above, below = own[one.id]
            told.append(SaidWhole([part for part in (above, *one.lines, below) if part], [above, below]))
    return told
