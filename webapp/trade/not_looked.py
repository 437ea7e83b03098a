"""Looks for safety that a visit did not make: said wherever it ends with a heater that somebody may run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .gate import fire_needs, unmet
from .standing import findings_of, standing

if TYPE_CHECKING:
    from .procedure_types import Procedure
    from .record_types import Record

# How the technician works: it tells nothing of the heater.
_OF_THE_WORK = ("co_meter", "gas_cleared", "lighting_label")
NOBODY_HAS_SHOWN = "Nobody has shown that it runs safely."
# In a line on a button; the record has them all.
_MOST_NAMED = 3
_SMALL, _LARGE = "abcdefghijklmnopqrstuvwxyz", "ABCDEFGHIJKLMNOPQRSTUVWXYZ"


def not_looked_at(procedure: Procedure, record: Record) -> list[str]:
    """Checks that must stand before any burner runs, and that nobody could answer as things stand now.

    What was answered and is not right is no gap: it is said itself, and louder. Range: any record.
    Example: of a technician who was turned away at the door all of them. Source: trade practice, as `may_fire`.
    """
    if not procedure.get("may_fire"):
        return []
    now = standing(procedure, record, findings_of(procedure, record))
    missing = [need["check"] for need in unmet(fire_needs(procedure), now)]
    open_now = [one for one in missing if one not in now or now[one]["now_state"] == "could_not"]
    return [one for one in open_now if one not in _OF_THE_WORK]


def is_whole_list(procedure: Procedure, checks: list[str]) -> bool:
    """Whether none of the looks was made."""
    always = [need["check"] for need in procedure["may_fire"] if not need.get("if_answered", False)]
    return bool(checks) and not [one for one in always if one not in checks and one not in _OF_THE_WORK]


def not_looked_words(procedure: Procedure, record: Record) -> str:
    """In one line; empty where every look was made.

    Example: "Not looked at on this visit: smell of gas; CO in the room. Nobody has shown that it runs safely."
    """
    checks = not_looked_at(procedure, record)
    if not checks:
        return ""
    if is_whole_list(procedure, checks):
        return "No look for safety was made on this visit. " + NOBODY_HAS_SHOWN
    titles = {check["id"]: _inside(check["title"]) for check in procedure["checks"]}
    named = [titles[one] for one in checks[:_MOST_NAMED]]
    if len(checks) > _MOST_NAMED:
        named.append("and " + str(len(checks) - _MOST_NAMED) + " more")
    return "Not looked at on this visit: " + "; ".join(named) + ". " + NOBODY_HAS_SHOWN


def _inside(title: str) -> str:
    """As it stands in a sentence: CO, T&P and TCO stay as they are."""
    if title[1:2] not in _SMALL or title[0:1] not in _LARGE:
        return title
    return _SMALL[_LARGE.index(title[0])] + title[1:]
