"""The letters of the PDF: the family that the office and the phone ship, and what stands for a letter it has not."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from fpdf import FPDF
from fpdf.fonts import TTFFont

from webapp.plain_text import straight

FOLDER = Path(__file__).parents[1] / "look" / "static" / "built" / "fonts"
"""Copied there by the build, with their licence (SIL Open Font License 1.1)."""
FAMILY, MORE_LETTERS = "Own", "OwnMore"
WEIGHTS = {"": 400, "B": 700}
UNKNOWN = "?"
INSTEAD = {
    "MΩ": "megohm",
    "Ω": "ohm",
    "µ": "micro",
    "μ": "micro",
    "→": "to",
    "₂": "2",
    "≤": "at most ",
    "≥": "at least ",
}
"""Signs of the trade that the family has not. A letter that is nowhere stands as a question mark."""


def add_fonts(pdf: FPDF) -> None:
    """Give a document the two weights, with the letters beyond Western Europe behind them."""
    for style, weight in WEIGHTS.items():
        pdf.add_font(FAMILY, style, _path("latin", weight))
        pdf.add_font(MORE_LETTERS, style, _path("latin-ext", weight))
    pdf.set_fallback_fonts([MORE_LETTERS])


def close_fonts(pdf: FPDF) -> None:
    """Close the files, those of letters that nobody needed too."""
    for font in _fonts(pdf):
        font.close()


def printable(words: str) -> str:
    """The words with what this family can print: `MΩ` becomes `megohm`."""
    return "".join(letter if letter in _letters() else UNKNOWN for letter in _instead(words))


def has_letters_of(words: str) -> bool:
    """Whether no letter of them had to be replaced by a question mark."""
    return set(_instead(words)) <= _letters()


def _instead(words: str) -> str:
    told = straight(words)
    for sign, instead in INSTEAD.items():
        told = told.replace(sign, instead)
    return told


@cache
def _letters() -> frozenset[str]:
    blank = FPDF()
    add_fonts(blank)
    letters = frozenset("\n").union(chr(code) for font in _fonts(blank) for code in font.cmap)
    close_fonts(blank)
    return letters


def _fonts(pdf: FPDF) -> list[TTFFont]:
    return [font for font in pdf.fonts.values() if isinstance(font, TTFFont)]


def _path(part: str, weight: int) -> Path:
    return FOLDER / f"atkinson-hyperlegible-next-{part}-{weight}-normal.woff"
