"""Words that were heard on the phone and typed in a hurry: near enough to show a person, never enough to decide."""

from __future__ import annotations

from difflib import SequenceMatcher

from webapp.sites.address_key import street_key, words_key

NEAR = 0.75
"""Share of letters in common. Expert guess: two letters swapped, doubled or left out in a word of six stay above it."""
SHORTEST_NEAR = 4
"""Shorter words are near to half the town: they must be there as typed."""
HEARD_RIGHT = (3, 2)
"""First letters that must be right, most first: the store is asked for a few candidates, not for everything."""


def beginnings(words: list[str], letters: int) -> list[str]:
    """What the store is asked for: numbers whole, words by how they begin."""
    return [word if _is_number(word) else word[:letters] for word in words]


def nearly_all_in(words: list[str], text: str) -> bool:
    """Each of the words is in the text, or something near it is."""
    known = text.split()
    return all(any(_near(word, other) for other in known) for word in words)


def nearly_same_street(typed: str, known: str) -> bool:
    """A slip of the fingers, not another door: the numbers are the same, and every word is near."""
    keys = f"{words_key(known)} {street_key(known)}"
    words = street_key(typed).split()
    return bool(words) and nearly_all_in(words, keys)


def _near(word: str, known: str) -> bool:
    if _is_number(word):
        return word == known
    if known.startswith(word):
        return True
    if min(len(word), len(known)) < SHORTEST_NEAR:
        return False
    begun = known[: len(word) + 1]  # perhaps half typed
    return max(SequenceMatcher(None, word, part, autojunk=False).ratio() for part in (begun, known)) >= NEAR


def _is_number(word: str) -> bool:
    return any(c.isdigit() for c in word)
