"""Which kind of heater a call is booked under: a caller does not know it, and somebody may have seen it there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from webapp.office.choices import Choices


@dataclass(frozen=True)
class Taken:
    """What is booked, and what is said of it where the desk had chosen otherwise."""

    procedure_name: str
    complaint: str
    words: str = ""


def kind_to_book(chosen: str, known_kind: str, choices: Choices | dict[str, Choices]) -> Taken:
    """`chosen`: `procedure/complaint`. `known_kind`: of the heaters known at that address; empty where nobody knows."""
    procedure_name, _, complaint = chosen.partition("/")
    by_kind = choices if isinstance(choices, dict) else {}
    offered = {value: kind for kind, group in by_kind.items() for value, _words in group}
    known_words = next((kind for value, kind in offered.items() if value.startswith(f"{known_kind}/")), "")
    if not known_kind or known_kind == procedure_name or not known_words:
        return Taken(procedure_name, complaint)
    known, guessed = f"Known here: {_small(known_words)}", _small(offered.get(chosen, procedure_name))
    if f"{known_kind}/{complaint}" in offered:
        words = (
            f"{known}. It is booked for that one, not for a {guessed}. If another heater stands there now, correct it."
        )
        return Taken(known_kind, complaint, words)
    return Taken(procedure_name, complaint, f"{known}. It is booked for a {guessed}: if that is wrong, correct it.")


def _small(words: str) -> str:
    return words[:1].lower() + words[1:]
