"""An address is found again, however it was typed."""

from __future__ import annotations

import pytest

from webapp.sites.address_key import phone_key, street_key, words_key


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("12 Mill Lane", "12 MILL LN."),
        ("12  Mill   Lane ", "12 mill ln"),
        ("40 North Quarry Street", "40 N. Quarry St"),
        ("7 O'Hara Court", "7 OHara Ct"),
        ("7 O’Hara Court", "7 o'hara court"),
        ("9 Café Avenue", "9 Cafe Ave"),
        ("18 Weir Road #4", "18 Weir Rd Apt. 4"),
        ("18 Weir Road, Unit 4", "18 Weir Rd Apt 4"),
    ],
)
def test_the_same_street_typed_two_ways_has_one_key(one: str, other: str) -> None:
    assert street_key(one) == street_key(other)


@pytest.mark.parametrize(
    ("one", "other"),
    [
        ("12 Mill Lane", "21 Mill Lane"),
        ("12 Mill Lane", "12 Mill Road"),
        ("12 North Mill Lane", "12 South Mill Lane"),
        ("18 Weir Road Apt 4", "18 Weir Road Apt 5"),
    ],
)
def test_different_doors_have_different_keys(one: str, other: str) -> None:
    assert street_key(one) != street_key(other)


@pytest.mark.parametrize("typed", ["555-0142", "(503) 555-0142", "+1 503 555 0142", "503.555.0142"])
def test_a_phone_is_found_with_or_without_its_area_code(typed: str) -> None:
    assert phone_key(typed) == "5550142"


@pytest.mark.parametrize("typed", ["", "none", "555-01"])
def test_a_phone_with_too_few_digits_has_no_key(typed: str) -> None:
    assert phone_key(typed) == ""


def test_a_key_of_a_key_is_the_same_key() -> None:
    key = street_key("40 North Quarry Street, Apartment 3")
    assert street_key(key) == key
    assert words_key(words_key("Élan—Vital")) == "elan vital"
