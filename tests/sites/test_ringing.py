"""A telephone number reads alike on every page, and says whose it is."""

from __future__ import annotations

import pytest

from webapp.sites.ringing import phone_words, whose_number


@pytest.mark.parametrize("typed", ["057 555 0177", "(057) 555-0177", "0575550177", "+1 057.555.0177", "1-057-555-0177"])
def test_a_number_has_one_form_however_it_was_typed(typed: str) -> None:
    assert phone_words(typed).replace("\u00a0", " ") == "(057) 555-0177"


@pytest.mark.parametrize(
    ("typed", "told"),
    [("5550142", "555-0142"), ("555 0142", "555-0142"), ("", ""), ("555-0142 ext 3", "555-0142 ext 3"), ("12", "12"),
     ("+49 555 0142 77", "+49 555 0142 77")],
)  # fmt: skip
def test_a_short_one_has_its_own_and_what_is_no_such_number_stays_as_typed(typed: str, told: str) -> None:
    assert phone_words(typed) == told


@pytest.mark.parametrize(
    ("ring", "whose"),
    [
        ("(057) 555-0177", "the customer's number"),
        ("555 0100", "the office's own number"),
        ("555-0142", "given by whoever went below"),
        ("", ""),
    ],
)
def test_whose_number_it_is_is_said(ring: str, whose: str) -> None:
    assert whose_number(ring, ["", "057 555 0177"], "555-0100") == whose
