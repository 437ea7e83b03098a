"""What was said of a photo by whoever took it, apart from what an older phone wrote there by itself."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from webapp.sites.procedure_words import ProcedureWords

BUTTON_WORDS = (
    "A photo",
    "Photo of the control",
    "Photo of the rating plate",
    "Photo of the maker's sheet",
    "Photo of a part's label",
    "Photo of damage from before",
    "A photo of how it stands now",
)
"""Earlier phones wrote the words of their button beside each photo; at a check those of the procedure."""


def own_words(written: str | None, check: str | None, words: ProcedureWords) -> str:
    """Somebody's own words; nothing where there are none."""
    of_button = words.checks.get(check or "", {}).get("photo_words")
    return "" if written is None or written in (*BUTTON_WORDS, of_button) else written
