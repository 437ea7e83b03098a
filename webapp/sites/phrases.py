"""Pieces of which the sentences about events are made."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from webapp.sites.procedure_words import Said, number_words, split_unit

Body = dict[str, Any]
Sentence = tuple[str, Said | None, str]
"""Title, what was said with its verdict, and the detail beneath."""


@dataclass(frozen=True)
class Before:
    """How a job stood before an event, where its line depends on that."""

    nobody: bool = False
    """Nobody was to go."""
    no_appointment: bool = False
    """None had been promised."""
    closed: bool = False


def quoted(words: str | None) -> str:
    """Somebody's own words, marked as such; nothing where there are none."""
    return f"“{words}”" if words else ""


def joined(*parts: str) -> str:
    """The parts that are there, with a middle dot between."""
    return " · ".join(part for part in parts if part)


def measured(quantity: str, value: object, unit: str | None = None) -> str:
    """A number and its unit: `0.41 in. w.c.`."""
    return f"{number_words(value)} {unit or split_unit(quantity)[1]}".strip()


def done_or_not(what: str, *, was_done: bool | None) -> str:
    """`bump-tested`, `not bump-tested`, or nothing where nobody said."""
    if was_done is None:
        return ""
    return what if was_done else f"not {what}"
