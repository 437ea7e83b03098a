"""What a procedure asks for and nobody measured, in the order of the walk; each check that asks is named once."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, NamedTuple

from webapp.sites.procedure_words import inside

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from webapp.sites.visit import Visit


class Never(NamedTuple):
    """A number that nobody took, with the check that asks for it."""

    check: str
    words: str


def by_nobody(begun: Sequence[Visit]) -> list[Never]:
    """What none of these visits has measured, in the newest one's order."""
    if not begun:
        return []
    others = [set(visit.never_measured) for visit in begun[1:]]
    return [one for one in begun[0].never_measured if all(one in other for other in others)]


def never_lines(never: Iterable[Never]) -> list[str]:
    """`Length and count: vent pipe size, 90° elbows`; `Suction at the switch, make point on its label`."""
    return [_line(check, [one.words for one in same]) for check, same in groupby(never, key=lambda one: one.check)]


def _line(check: str, numbers: list[str]) -> str:
    said_by_title = [words for words in numbers if words.casefold() in check.casefold()]
    others = ", ".join(inside(words) for words in numbers if words not in said_by_title)
    if not check or said_by_title:
        return ", ".join(part for part in (*said_by_title[:1], others) if part)
    return f"{check}: {others}"
