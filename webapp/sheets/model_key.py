"""When two spellings are one model: the key under which a sheet is looked for."""

from __future__ import annotations

import unicodedata

LONGEST_KEY = 400


def model_key(maker_words: str, model_words: str) -> str:
    """Maker and model without case, accents, spaces and marks: `Vossquill ember-50` is `Vossquill Ember 50`."""
    return f"{_bare(maker_words)}/{_bare(model_words)}"[:LONGEST_KEY]


def _bare(words: str) -> str:
    plain = unicodedata.normalize("NFKD", words).casefold()
    return "".join(letter for letter in plain if letter.isalnum())
