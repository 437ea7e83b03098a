"""Which kind of heater a call is booked under: a caller does not know it, and somebody may have seen it there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from webapp.office.choices import NOT_KNOWN

if TYPE_CHECKING:
    from webapp.office.choices import Choices


@dataclass(frozen=True)
class Taken:
    """What is booked, and what is said of it where the desk had chosen otherwise."""

    procedure_name: str
    complaint: str
    words: str = ""
    note: str = ""
    """What whoever goes has to know of it."""


def kind_to_book(chosen: str, known_kind: str, choices: Choices | dict[str, Choices]) -> Taken:
    """`chosen`: `procedure/complaint`. `known_kind`: of the heaters known at that address; empty where nobody knows."""
    procedure_name, _, complaint = chosen.partition("/")
    by_kind = choices if isinstance(choices, dict) else {}
    offered = {
        value: kind for kind, group in by_kind.items() for value, _words in group if not value.startswith(NOT_KNOWN)
    }
    known_words = next((kind for value, kind in offered.items() if value.startswith(f"{known_kind}/")), "")
    if procedure_name == NOT_KNOWN:
        return _nobody_guessed(complaint, known_kind if known_words else "", offered)
    if not known_kind or known_kind == procedure_name or not known_words:
        return Taken(procedure_name, complaint)
    known, guessed = f"Known here: {_small(known_words)}", _small(offered.get(chosen, procedure_name))
    if f"{known_kind}/{complaint}" in offered:
        words = (
            f"{known}. It is booked for that one, not for a {guessed}. If another heater stands there now, correct it."
        )
        return Taken(known_kind, complaint, words)
    return Taken(procedure_name, complaint, f"{known}. It is booked for a {guessed}: if that is wrong, correct it.")


def _nobody_guessed(complaint: str, known_kind: str, offered: dict[str, str]) -> Taken:
    """A walk needs the checks of some kind: those of the known one, else the first, and whoever goes is told so."""
    begins, ends = f"{known_kind}/" if known_kind else "", f"/{complaint}"
    value = next(value for value in offered if value.startswith(begins) and value.endswith(ends))
    kind = _small(offered[value])
    if known_kind:
        return Taken(known_kind, complaint, f"Known here: {kind}. It is booked for that one.")
    note = (
        f"Kind of heater not known: these are the checks for a {kind}. Look at the heater before you begin. "
        "If it is another, ring the office first: it corrects the kind, and the right checks come down."
    )
    told = f"Nobody knows the kind of heater yet. It is booked for a {kind}, and whoever goes is told to look first."
    return Taken(value.partition("/")[0], complaint, told, note)


def _small(words: str) -> str:
    return words[:1].lower() + words[1:]
