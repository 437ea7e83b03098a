"""Two entries for one front door are doubted; neighbours are never offered as one. The pairs follow the rules of USPS
Publication 28 for parts of an address, written down here by hand."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from webapp.sites.street_parts import Door, Parts, doubt_between, parts_of


@pytest.mark.parametrize(
    ("street", "parts"),
    [
        ("12 Mill Lane", Parts("12", "", "mill", "ln", "")),
        ("12 N. Mill Ln, Apt 3", Parts("12", "n", "mill", "ln", "3")),
        ("12 Mill Lane #3B", Parts("12", "", "mill", "ln", "3b")),
        ("41 Copper Kettle Rise", Parts("41", "", "copper kettle", "rise", "")),
        ("9 Street", Parts("9", "", "st", "", "")),
        ("3 Tallowhill Steps, basement flat", Parts("3", "", "tallowhill steps", "", "basement")),
        ("Mill", Parts("", "", "mill", "", "")),
        ("", Parts()),
    ],
)
def test_a_street_line_comes_apart(street: str, parts: Parts) -> None:
    assert parts_of(street) == parts


@pytest.mark.parametrize(
    ("one", "other", "reason"),
    [
        (Door("12 Mill Lane"), Door("12 MILL LN."), "the same words"),
        (Door("41 Copperkettle Rise"), Door("41 Copper Kettle Rise"), "written apart"),
        (Door("8 Elm Row"), Door("8 Elmrow"), "written apart"),
        (Door("12 Copperkettle Rise"), Door("12 Coperkettle Rise"), "one letter"),
        (Door("12 Copperkettle Rise"), Door("12 Copperektle Rise"), None),
        (Door("12 Copperkettle Rise"), Door("12 Copprekettle Rise"), "one letter"),
        (Door("12 Mill Lane"), Door("12 Mill"), "street or lane or road on one only"),
        (Door("12 Mill Lane"), Door("12 Mill Road"), "ln on one, rd on the other"),
        (Door("12 N Mill Lane"), Door("12 Mill Lane"), "direction on one only"),
        (Door("12 Mill Lane Apt 3"), Door("12 Mill Lane"), "flat or unit on one only"),
        (Door("12 Mill Lane", town="Harrowby"), Door("12 Mill Lane"), "town on one only"),
        (Door("12 Mill Lane", town="Harrowby", postcode="1"), Door("12 Mill Lane", town="Brae", postcode="1"), "town:"),
        (
            Door("12 Mill Lane", phone="555-0142", customer_name="Mrs Vale"),
            Door("13 Mill Lane", phone="(041) 555-0142", customer_name="mrs vale"),
            "house number 12 on one, 13 on the other",
        ),
    ],
)
def test_what_may_be_one_door_is_doubted_with_the_reason(one: Door, other: Door, reason: str | None) -> None:
    for first, second in ((one, other), (other, one)):
        doubt = doubt_between(first, second)
        if reason is None:
            assert doubt is None  # more than one slip
        else:
            assert doubt is not None
            assert len(doubt.reasons) == 1
            assert first is other or reason in doubt.reasons[0]


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (Door("12 Mill Lane"), Door("13 Mill Lane")),
        (Door("12 Mill Lane", phone="555-0142"), Door("13 Mill Lane", phone="555-0142")),
        (Door("12 N Mill Lane"), Door("12 S Mill Lane")),
        (Door("12 Mill Lane Apt 3"), Door("12 Mill Lane Apt 4")),
        (Door("12 5th Street"), Door("12 6th Street")),
        (Door("12 Elm Row"), Door("12 Elk Row")),
        (Door("12 Mill Lane", phone="555-0142"), Door("7 Other Street", phone="555-0142")),
        (Door("12 Mill Lane", town="Harrowby", postcode="1"), Door("12 Mill Lane", town="Brae", postcode="2")),
        (Door("12 Mill Lane"), Door("")),
    ],
)
def test_two_doors_are_never_offered_as_one(one: Door, other: Door) -> None:
    assert doubt_between(one, other) is None
    assert doubt_between(other, one) is None


def test_what_else_agrees_is_said_beside_the_reason() -> None:
    doubt = doubt_between(Door("12 Mill Lane", phone="555-0142"), Door("12 Mill", phone="0555 0142"))
    assert doubt is not None
    assert doubt.agree == ["same phone"]


@given(st.text(max_size=40), st.text(max_size=40))
def test_whatever_was_typed_is_taken_apart_and_compared_both_ways_alike(one: str, other: str) -> None:
    first, second = doubt_between(Door(one), Door(other)), doubt_between(Door(other), Door(one))
    assert (first is None) == (second is None)
