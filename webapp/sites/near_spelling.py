"""Words that were heard on the phone and typed in a hurry: near enough to show a person, never enough to decide."""

from __future__ import annotations

from difflib import SequenceMatcher
from typing import TYPE_CHECKING

from webapp.sites.address_key import street_key, words_key
from webapp.sites.street_parts import parts_of

if TYPE_CHECKING:
    from collections.abc import Iterable

NEAR = 0.75
"""Share of letters in common. Expert guess: two letters swapped, doubled or left out in a word of six stay above it."""
SHORTEST_NEAR = 4
"""Shorter words are near to half the town: they must be there as typed."""
HEARD_RIGHT = (3, 2)
"""First letters that must be right, most first: the store is asked for a few candidates, not for everything."""


ALIKE = 0.7
"""Share of letters in common of two streets without their spaces. `19 Sistern Muse` is that near to `19 Cistern Mews`;
among 100,000 addresses it shows three others beside the right one (docs/adr/0235)."""


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


def nearest_streets(typed: str, known: Iterable[tuple[str, str]]) -> list[str]:
    """Ids of those (id, street) that are written or sound like what was typed, the nearest first.

    Words may be run together, parted or cut short in either; the house number is the same.
    """
    number, wanted = parts_of(typed).number, parts_of(typed).together
    if not number or len(wanted) < SHORTEST_NEAR:
        return []
    letters = SequenceMatcher(None, b=wanted, autojunk=False)  # it keeps what it learns of the second word
    found = []
    for known_id, street in known:
        parts = parts_of(street)
        if parts.number == number and (share := _share(letters, parts.together, len(wanted))) >= ALIKE:
            found.append((-share, known_id))
    return [known_id for _, known_id in sorted(found)]


def _share(letters: SequenceMatcher[str], known: str, typed: int) -> float:
    """Of letters in common with the whole name, or with its beginning where less was typed; 0 where too few."""
    best = 0.0
    for part in {known, known[:typed]}:
        letters.set_seq1(part)
        if letters.real_quick_ratio() >= ALIKE and letters.quick_ratio() >= ALIKE:
            best = max(best, letters.ratio())
    return best


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
