"""A NUL in an address line or a form is refused at the door: PostgreSQL can neither hold nor compare it.

And what turns the words after it around is kept as it came, but shown nowhere: a price or a street must read as it is.
"""

from __future__ import annotations

from collections.abc import Iterator

from flask import Flask, abort, request

NUL = "\x00"
FORMS = ("application/x-www-form-urlencoded", "multipart/form-data")


TURNING = dict.fromkeys([0x061C, 0x200E, 0x200F, *range(0x202A, 0x202F), *range(0x2066, 0x206A)])
"""Marks, embeddings, overrides and isolates of direction: Unicode Standard Annex 9, table 4 (from memory)."""


def init_plain_text(app: Flask) -> None:
    """Look at every request. JSON is looked at by its schemas, field by field. And at all that a template prints."""
    app.before_request(_refuse_nul)
    app.jinja_env.finalize = _straight_in_a_page


def straight(words: str) -> str:
    """The words without what turns a line around. Letters that are written from right to left are as they were."""
    return words if words.isascii() else words.translate(TURNING)


def _straight_in_a_page(value: object) -> object:
    return straight(value) if type(value) is str else value  # markup of ours is left alone


def _refuse_nul() -> None:
    if any(NUL in words for words in _texts()):
        abort(400)


def _texts() -> Iterator[str]:
    yield request.path
    for typed in (request.args, request.form) if request.mimetype in FORMS else (request.args,):
        for name, words in typed.items(multi=True):
            yield name
            yield words
