"""The name of a figure is read without its check: in a history, in "never measured", on the customer's sheet."""

from __future__ import annotations

import re

import pytest

from webapp.procedures import compiled

NAMES_NO_THING = {
    "open",
    "closed",
    "cold",
    "hot",
    "dead",
    "burning",
    "loaded",
    "inlet",
    "probe",
    "limit",
    "makes",
    "breaks",
}


def figures(name):
    procedure = compiled(name)
    asked = [field for check in procedure["checks"] for field in check["readings"]]
    return asked + list(_fields(procedure["proofs"]))


def _fields(value):
    if isinstance(value, dict):
        if "quantity" in value and "words" in value:
            yield value
        for one in value.values():
            yield from _fields(one)
    elif isinstance(value, list):
        for one in value:
            yield from _fields(one)


@pytest.mark.parametrize("name", ["power_vent", "standing_pilot"])
def test_each_figure_says_by_itself_what_was_measured(name):
    said = [field["words"] for field in figures(name)]
    assert len(said) > 20
    bare = []
    for words in said:
        telling = [word for word in re.findall(r"[a-z]{3,}", words.lower()) if word not in NAMES_NO_THING]
        if len(words.split()) < 2 or not telling:
            bare.append(words)
    assert bare == []


@pytest.mark.parametrize("name", ["power_vent", "standing_pilot"])
def test_two_different_quantities_never_have_the_same_words(name):
    of: dict[str, set[str]] = {}
    for field in figures(name):
        of.setdefault(field["words"], set()).add(field["quantity"])
    assert [words for words, quantities in of.items() if len(quantities) > 1] == []


@pytest.mark.parametrize("name", ["power_vent", "standing_pilot"])
def test_a_figure_that_is_as_usual_below_zero_as_above_says_which_way_is_minus(name):
    asked = [one for check in compiled(name)["checks"] for one in check["readings"]]
    signed = [one for one in asked if one["usual_low"] is not None and one["usual_low"] < 0 < one["usual_high"]]
    assert [one["quantity"] for one in signed] == ["room_pa"]
    assert all("below outdoors is minus" in one["words"] for one in signed)
