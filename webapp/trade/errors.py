"""Named errors: what the bridge tells a screen. A built-in exception's text is never shown; engines differ in it."""

from __future__ import annotations


class TradeError(Exception):
    """A refusal that was foreseen, with a code that screens can rely on."""

    def __init__(self, code: str, words: str) -> None:
        super().__init__(words)
        self.code = code
        self.words = words


# Every code that `phone.call` can answer with, and what it means.
CODES = [
    ("bad_json", "The arguments are not JSON, or not an object."),
    ("too_big", "More than one call may carry."),
    ("unknown_call", "There is no such call."),
    ("missing_argument", "An argument is missing."),
    ("bad_argument", "An argument has the wrong shape or is out of range."),
    ("unknown_unit", "A unit that is not in the table, or two that do not measure the same thing."),
    ("procedure_not_loaded", "Load the procedure first, then name its hash."),
    ("bad_procedure", "This is not a compiled procedure."),
    ("internal", "A fault of ours. The record is untouched."),
]
