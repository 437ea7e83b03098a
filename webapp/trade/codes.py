"""What a code could mean by the table of that model, and which contact could be open. We supply no table."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .standing import findings_of

if TYPE_CHECKING:
    from typing import Literal, NotRequired, TypedDict

    from .gate import Findings
    from .procedure_types import ChainPart, Procedure
    from .record_types import Record

    class CodeRow(TypedDict):
        """One line of a model's table, as the office typed it. `could_be`: contacts or parts that it may point at."""

        meaning_words: str
        flash_groups: NotRequired[str | None]
        text: NotRequired[str | None]
        could_be: NotRequired[list[str] | None]

    class CodeMeaning(TypedDict):
        """Every line that fits, in the table's order. None is no guess: then the code is kept as it was read."""

        rows: list[CodeRow]
        could_be: list[str]
        words: str

    class ChainPartState(TypedDict):
        id: str
        words: str
        part: str
        normally: Literal["closed", "open"]
        state: Literal["open", "could_be_open", "closed", "closed_now", "not_known"]
        why_words: str

    class ChainPicture(TypedDict):
        words: str
        parts: list[ChainPartState]
        could_be_open: list[str]


_DIGITS = "0123456789"
_SMALL = "abcdefghijklmnopqrstuvwxyz"
_LARGE = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
# What speaks louder: seen open, seen closed under power, hinted at, seen closed at rest.
_LOUDNESS = ["open", "closed", "could_be_open", "closed_now"]


def code_meaning(codes: list[CodeRow], flashes: int | None, flash_groups: str | None, text: str | None) -> CodeMeaning:
    """The lines of a model's table that this code stands on: exactly, all of them, or none.

    Flashes are compared as groups of numbers ("2-4", "2, 4" and "2 4" are one; three flashes are the group "3"); text
    without spaces and without regard to case. Range: any table. Example: "E 5" finds "e5". Source: the model's own
    paper, typed by the office; only the comparison is ours.
    """
    groups = _groups(flash_groups) if flash_groups is not None else [] if flashes is None else [flashes]
    letters = _bare(text or "")
    rows = []
    for row in codes:
        by_flash = groups and _groups(row.get("flash_groups") or "") == groups
        by_text = letters and _bare(row.get("text") or "") == letters
        if by_flash or by_text:
            rows.append(row)
    could_be: list[str] = []
    for row in rows:
        could_be += [one for one in row.get("could_be") or [] if one not in could_be]
    return {"rows": rows, "could_be": could_be, "words": _said(len(codes), len(rows))}


def open_could_be(procedure: Procedure, record: Record, named: list[str]) -> ChainPicture:
    """The chain of safeties for drawing: what was found of each contact, and which could be open.

    `named`: contacts or parts that a code's line points at. A contact that was closed at rest may still open hot; what
    lies beyond an open one is not known. Range: any record; a procedure without a chain gives an empty one.
    Example: volts that stop at the pressure switch show it open and everything before it closed.
    Source: the series chain is a logical AND; which finding speaks for which contact is data of the procedure.
    """
    findings = findings_of(procedure, record)
    parts = [_state_of(one, findings, named) for one in procedure.get("chain") or []]
    could = [one["id"] for one in parts if one["state"] in ("open", "could_be_open")]
    words = procedure.get("chain_words") or ""
    return {"words": words, "parts": parts, "could_be_open": could}


def _state_of(one: ChainPart, findings: Findings, named: list[str]) -> ChainPartState:
    state, why = "not_known", "Nothing seen of it yet."
    if one["id"] in named or one["part"] in named:
        state, why = "could_be_open", "The code's line on the model's sheet points here."
    for shown in one["shown"]:
        finding = findings.get(shown["check"])
        if finding is None or finding["now_state"] != "answered" or finding["now_outcome"] != shown["outcome"]:
            continue
        if state == "not_known" or _LOUDNESS.index(shown["state"]) < _LOUDNESS.index(state):
            state, why = shown["state"], shown["words"]
    return {
        "id": one["id"],
        "words": one["words"],
        "part": one["part"],
        "normally": one["normally"],
        "state": state,  # type: ignore[typeddict-item]
        "why_words": why,
    }


def _said(known: int, found: int) -> str:
    if known == 0:
        return "No table is kept for this model: keep the code as it was read."
    if found == 0:
        return "Not in this model's table: keep the code as it was read, and read the heater's own label."
    if found == 1:
        return "One line of this model's table fits. The heater's own label rules."
    return "More than one line fits: all are shown. The heater's own label rules."


def _groups(text: str) -> list[int]:
    """The numbers of a text, in order. Bounded: nobody counts more than a few."""
    found: list[int] = []
    number = ""
    for letter in text[:40] + " ":
        if letter in _DIGITS:
            number += letter
        elif number:
            found.append(int(number))
            number = ""
    return found


def _bare(text: str) -> str:
    kept = ""
    for letter in text[:200]:
        if letter in _SMALL:
            kept += _LARGE[_SMALL.index(letter)]
        elif letter not in " \t\n":
            kept += letter
    return kept
