"""A street line taken apart, and whether two of them may be one front door. It decides nothing: a person does.

The parts are those of USPS Publication 28 (delivery address line: number, pre-direction, name, suffix, post-direction,
unit), from memory. Whole lines are never compared letter by letter: that joins neighbours.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache

from webapp.sites.address_key import SHORT_FORMS, phone_key, street_key, words_key

DIRECTIONS = frozenset({"n", "s", "e", "w", "ne", "nw", "se", "sw"})
UNITS = frozenset({"apt", "fl", "ste", "rm", "room", "bldg", "lot", "flat"})
KINDS = frozenset(SHORT_FORMS.values()) - DIRECTIONS - UNITS | {"way", "row", "rise", "walk", "path", "loop", "run"}
SHORTEST_MISSPELT = 5
"""Elm and Elk are two streets; a slip in a longer name is likelier than a twin of it. Expert guess."""
SAME_WORDS = "the same words, entered twice"
APART = "written apart on one, together on the other"


@dataclass(frozen=True)
class Parts:
    """Empty where a part is not there."""

    number: str = ""
    direction: str = ""
    name: str = ""
    kind: str = ""
    unit: str = ""

    @property
    def together(self) -> str:
        """Name and kind without a space: `Elm Row` and `Elmrow` are written alike."""
        return f"{self.name}{self.kind}".replace(" ", "")


@dataclass(frozen=True)
class Door:
    """What is known of an entry of an address."""

    street: str
    town: str = ""
    postcode: str = ""
    phone: str = ""
    customer_name: str = ""
    site_id: str = ""
    group_id: str = ""


@dataclass(frozen=True)
class Doubt:
    """Two entries that may be one door."""

    reasons: list[str]
    """How they differ, harmlessly so far as anybody can tell from the words."""
    agree: list[str] = field(default_factory=list)
    """What else speaks for one door."""


@lru_cache(maxsize=20_000)
def parts_of(street: str) -> Parts:
    """`12 N. Mill Lane, Apt 3` is number 12, n, mill, ln, unit 3."""
    head, _, tail = street.partition(",")
    words = street_key(head).split()
    unit = " ".join(word for word in street_key(tail).split() if word not in UNITS)
    at = next((place for place, word in enumerate(words) if word in UNITS and place > 1), None)
    if at is not None:
        words, unit = words[:at], " ".join([*words[at + 1 :], *unit.split()])
    number = words.pop(0) if words and words[0][0].isdigit() else ""
    directions = [words.pop(0)] if len(words) > 1 and words[0] in DIRECTIONS else []
    if len(words) > 1 and words[-1] in DIRECTIONS:
        directions.append(words.pop())
    kind = words.pop() if len(words) > 1 and words[-1] in KINDS else ""
    return Parts(number, " ".join(directions), " ".join(words), kind, unit)


def doubt_between(one: Door, other: Door) -> Doubt | None:
    """Why the two may be one door; None where they are not alike, or something says that they are two."""
    first, second = parts_of(one.street), parts_of(other.street)
    if first.together == second.together and first.kind != second.kind:
        return _run_together(one, other)
    if not first.name or not second.name or _names(first.name, second.name) is None:
        return None  # at once: of the thousands with the same house number nearly all are of another street
    if _two_places(one, other):
        return None
    agree = agreeing(one, other)
    reasons = []
    for found in (
        _numbers(first, second, agree),
        _either(first.unit, second.unit, "flat or unit on one only"),
        _either(first.direction, second.direction, "direction on one only"),
        _names(first.name, second.name),
        _kinds(first.kind, second.kind),
        _towns(one, other),
    ):
        if found is None:
            return None
        reasons += found
    return Doubt(reasons or [SAME_WORDS], agree)


def _run_together(one: Door, other: Door) -> Doubt | None:
    """`8 Elmrow` and `8 Elm Row`: the kind of street is part of the name on one."""
    first, second = (replace(door, street=_apart(parts_of(door.street))) for door in (one, other))
    found = doubt_between(first, second)
    return None if found is None else Doubt([APART, *[why for why in found.reasons if why != SAME_WORDS]], found.agree)


def _apart(parts: Parts) -> str:
    return f"{parts.number} {parts.direction} {parts.together} {parts.unit and f'apt {parts.unit}'}"


def agreeing(one: Door, other: Door) -> list[str]:
    """What besides the street speaks for one door."""
    agree = []
    if phone_key(one.phone) and phone_key(one.phone) == phone_key(other.phone):
        agree.append("same phone")
    if words_key(one.customer_name) and words_key(one.customer_name) == words_key(other.customer_name):
        agree.append("same name")
    return agree


def _two_places(one: Door, other: Door) -> bool:
    """Another town and another postcode."""
    towns, codes = {words_key(one.town), words_key(other.town)}, {words_key(one.postcode), words_key(other.postcode)}
    return len(towns - {""}) > 1 and len(codes - {""}) > 1


def _numbers(first: Parts, second: Parts, agree: list[str]) -> list[str] | None:
    if first.number == second.number:
        return []
    if not first.number or not second.number:
        return ["house number on one only"]
    if len(agree) > 1 and _one_slip(first.number, second.number):
        return [f"house number {first.number} on one, {second.number} on the other"]
    return None


def _either(first: str, second: str, words: str) -> list[str] | None:
    if first == second:
        return []
    return None if first and second else [words]


def _kinds(first: str, second: str) -> list[str]:
    if first == second:
        return []
    return [f"{first} on one, {second} on the other"] if first and second else ["street or lane or road on one only"]


def _names(first: str, second: str) -> list[str] | None:
    if first == second:
        return []
    if first.replace(" ", "") == second.replace(" ", ""):
        return [APART]
    numbered = any(c.isdigit() for c in first + second)
    if numbered or min(len(first), len(second)) < SHORTEST_MISSPELT or not _one_slip(first, second):
        return None
    return [f"one letter apart: {first} on one, {second} on the other"]


def _towns(one: Door, other: Door) -> list[str]:
    first, second = words_key(one.town), words_key(other.town)
    if first == second:
        return []
    return [f"town: {one.town} on one, {other.town} on the other"] if first and second else ["town on one only"]


def _one_slip(first: str, second: str) -> bool:
    """One letter more, less, other, or two neighbours swapped (optimal string alignment distance of 1)."""
    if abs(len(first) - len(second)) > 1:
        return False
    at = next((place for place, (a, b) in enumerate(zip(first, second, strict=False)) if a != b), None)
    if at is None:
        return len(first) != len(second)
    rest, other = first[at:], second[at:]
    swapped = rest[:2] == other[1::-1] and rest[2:] == other[2:] and len(rest) > 1
    return swapped or rest[1:] == other[1:] or rest[1:] == other or rest == other[1:]
