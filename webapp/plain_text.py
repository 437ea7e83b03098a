"""A NUL in an address line or a form is refused at the door: PostgreSQL can neither hold nor compare it."""

from __future__ import annotations

from collections.abc import Iterator

from flask import Flask, abort, request

NUL = "\x00"
FORMS = ("application/x-www-form-urlencoded", "multipart/form-data")


def init_plain_text(app: Flask) -> None:
    """Look at every request. JSON is looked at by its schemas, field by field."""
    app.before_request(_refuse_nul)


def _refuse_nul() -> None:
    if any(NUL in words for words in _texts()):
        abort(400)


def _texts() -> Iterator[str]:
    yield request.path
    for typed in (request.args, request.form) if request.mimetype in FORMS else (request.args,):
        for name, words in typed.items(multi=True):
            yield name
            yield words
