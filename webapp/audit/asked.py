"""Which list an address asks for, and what that list is called."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.audit.figures import why_words
from webapp.audit.lists import APART_WORDS, BY_WINDOW, OUT_WORDS, PROOF_WORDS, Wanted
from webapp.audit.returns import LONGEST_DAYS
from webapp.sites.procedure_words import as_title

if TYPE_CHECKING:
    from collections.abc import Mapping

_MOST_DIGITS = 12


def read_wanted(typed: Mapping[str, str]) -> Wanted:
    """The list that is asked for; whether there is one is decided where it is read."""
    days = typed.get("days", str(LONGEST_DAYS))
    return Wanted(
        typed.get("list", ""), int(days) if days in ("30", "90") else 0, typed.get("by", ""), typed.get("of", "")
    )


def read_after(typed: Mapping[str, str]) -> tuple[int, str] | None:
    """Where the list goes on: behind a job, named by its time and id."""
    at_s, job_id = typed.get("from", ""), typed.get("after", "")
    return (int(at_s), job_id) if at_s.isdecimal() and at_s.isascii() and len(at_s) <= _MOST_DIGITS and job_id else None


def list_title(wanted: Wanted, of_words: str) -> str:
    """What is in the list, as the head of its page."""
    name, _, of = wanted.name.partition("-")
    if wanted.name in BY_WINDOW:
        said = BY_WINDOW[wanted.name][0].format(days=wanted.days)
        return f"{of_words}: {said[:1].lower()}{said[1:]}" if of_words else said
    if name == "unread":
        return f"{of_words}: {why_words(wanted.part, of.partition('-')[2])}"
    if name == "changed":
        return f"{of_words}: all of them"
    if wanted.name == "planned":
        return "Second visits that were agreed on: the job before waited for a part"
    if wanted.name == "after_nothing":
        return "Return visits to a job that had repaired nothing, or that is not counted"
    words = {"out": OUT_WORDS, "apart": APART_WORDS, "proof": PROOF_WORDS}[name][of]
    return as_title({"out": "not counted: ", "apart": "shown apart: "}.get(name, "") + words)
