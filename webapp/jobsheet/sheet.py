"""What stands on a job sheet: shapes only, ready to be shown. The page and the PDF are drawn from the same blocks."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar


@dataclass(frozen=True)
class Text:
    """One paragraph."""

    shape: ClassVar[str] = "text"
    words: str
    weight: str = ""
    """`strong`, `soft`, `small`, or plain."""


@dataclass(frozen=True)
class Bullets:
    """Short lines, one idea each."""

    shape: ClassVar[str] = "bullets"
    lines: list[str]


@dataclass(frozen=True)
class Facts:
    """What a thing is called, and what it is."""

    shape: ClassVar[str] = "facts"
    rows: list[tuple[str, str]]


@dataclass(frozen=True)
class Glossary:
    """Words and what they mean, small, in two columns where there is room."""

    shape: ClassVar[str] = "glossary"
    rows: list[tuple[str, str]]


@dataclass(frozen=True)
class Table:
    """A table that is read down."""

    shape: ClassVar[str] = "table"
    head: tuple[str, ...]
    rows: Sequence[tuple[str, ...]]


@dataclass(frozen=True)
class Signature:
    """What a finger drew, as lines of points in a box, and whose it is said to be."""

    shape: ClassVar[str] = "signature"
    strokes: list[list[tuple[int, int]]]
    words: str


@dataclass(frozen=True)
class Picture:
    """One photo, or its absence while it is still on the phone."""

    sha256: str
    words: str
    stored: bool
    when: str = ""


@dataclass(frozen=True)
class Pictures:
    """Small photos."""

    shape: ClassVar[str] = "pictures"
    pictures: list[Picture]


Block = Text | Bullets | Facts | Glossary | Table | Signature | Pictures


@dataclass(frozen=True)
class Section:
    """A heading with what belongs under it."""

    title: str
    blocks: list[Block]
    danger: bool = False


@dataclass(frozen=True)
class Sheet:
    """The whole sheet."""

    job_id: str
    number: str
    """Short, to name the sheet on the phone; it says nothing about the customer."""
    day: str
    """Of the visit, `2026-11-25`, by the office's clock."""
    recorded_until: datetime
    sections: list[Section]
    footing: str
    company: str = ""
    """Whose sheet it is; empty where the owner kept no name."""

    @property
    def file_name(self) -> str:
        """What the file is called when it is kept or sent on: no name, no street."""
        return f"job-sheet-{self.day}-{self.number}.pdf"


A_FEW_LINES = 360
"""Letters: what is longer is set small."""


def run_on(heading: str, sentences: Iterable[str]) -> list[Block]:
    """What was fine, one sentence after the other under its heading: it is read through once, if at all."""
    words = " ".join(sentences)
    return [Text(f"{heading}:", "strong"), Text(words, "small" if len(words) > A_FEW_LINES else "")]


def texts_of(sections: Sequence[Section]) -> Iterator[str]:
    """All that is read on a sheet, block by block."""
    for section in sections:
        yield section.title
        for block in section.blocks:
            yield from _texts(block)


def _texts(block: Block) -> Iterable[str]:
    if isinstance(block, Text | Signature):
        return [block.words]
    if isinstance(block, Bullets):
        return block.lines
    if isinstance(block, Facts | Glossary):
        return [f"{name}\n{value}" for name, value in block.rows]
    if isinstance(block, Table):
        return ["\n".join(row) for row in (block.head, *block.rows)]
    return [picture.words for picture in block.pictures]
