"""An address from the file as events: new, filled in where the store says nothing, or noted where it says otherwise."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from webapp.importing.columns import ADDRESS_COLUMNS, COLUMNS
from webapp.importing.derived_ids import NO_DAY, derived_id
from webapp.sites.address_key import phone_key, words_key

if TYPE_CHECKING:
    from collections.abc import Sequence

    from webapp.importing.lines import Line
    from webapp.models import Site
    from webapp.people.service import Draft

NAMES = tuple(column.name for column in ADDRESS_COLUMNS)
TOLD_APART = NAMES[2:]
"""Street and town are the door itself: they stay as they are known."""


@dataclass(frozen=True)
class Remark:
    """Nothing is wrong with this line, but somebody may want to look."""

    line: int
    words: str


@dataclass(frozen=True)
class Unit:
    """Events that are stored together or not at all: where the first is stored, all are."""

    what: str
    """address, filled, note or visit"""
    drafts: list[Draft]
    remarks: list[Remark] = field(default_factory=list)


def address_units(site_id: str, site: Site | None, lines: Sequence[Line]) -> list[Unit]:
    """The first line that says something stands; what the store knows stands before any line."""
    known = {name: str(getattr(site, name)) for name in NAMES if getattr(site, name)} if site else {}
    stands = dict(known)
    others: dict[tuple[str, str], Line] = {}
    for line in lines:
        for name, value in line.address.items():
            if not stands.get(name):
                stands[name] = value
            elif name in TOLD_APART and not _same(name, stands[name], value):
                others.setdefault((name, value), line)
    door = lines[0].door
    notes = [_noted(site_id, door, name, value, stands[name], line) for (name, value), line in others.items()]
    if stands == known:
        return notes
    news = "\n".join(f"{name}={stands[name]}" for name in NAMES if stands.get(name) != known.get(name))
    parts = ("filled", *door, news) if site else ("address", *door)
    given: Draft = {
        "id": derived_id(NO_DAY, *parts), "site_id": site_id, "kind": "address_given", "body": stands,
    }  # fmt: skip
    return [Unit("filled" if site else "address", [given]), *notes]


def _same(name: str, one: str, other: str) -> bool:
    if name == "phone" and phone_key(one):
        return phone_key(one) == phone_key(other)
    return words_key(one) == words_key(other)


def _noted(site_id: str, door: Sequence[str], name: str, value: str, stands: str, line: Line) -> Unit:
    said = COLUMNS[name].words
    draft: Draft = {
        "id": derived_id(NO_DAY, "told otherwise", *door, name, value),
        "site_id": site_id,
        "kind": "note",
        "body": {"words": f"Brought in from a file. {said}: {value}"},
    }
    words = (
        f"{said} is “{_short(value)}” here and “{_short(stands)}” before. What was there stays; this is kept as a note."
    )
    return Unit("note", [draft], [Remark(line.line, words)])


def _short(value: str) -> str:
    return value if len(value) <= 60 else value[:59] + "…"
