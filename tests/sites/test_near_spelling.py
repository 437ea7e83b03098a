"""Near enough to be shown: slips of the fingers, never another number."""

from __future__ import annotations

import pytest

from webapp.sites.near_spelling import nearest_streets, nearly_same_street


@pytest.mark.parametrize(
    ("typed", "known"),
    [
        ("127 saint osks lamplihgter passage", "127 Saint Osk's Lamplighter Passage North, rear house"),
        ("41 coperkettle rise", "41 Copperkettle Rise"),
        ("41 Coper", "41 Copperkettle Rise"),
        ("12 Mill Ln", "12 Mill Lane"),
    ],
)
def test_slips_of_the_fingers_are_near(typed: str, known: str) -> None:
    assert nearly_same_street(typed, known)


@pytest.mark.parametrize(
    ("typed", "known"),
    [
        ("14 Mill Lane", "12 Mill Lane"),
        ("12 Mill Lane", "7 Other Street"),
        ("12 Elm Row", "12 Elk Way"),
        ("", "12 Mill Lane"),
    ],
)
def test_another_door_is_not_near(typed: str, known: str) -> None:
    assert not nearly_same_street(typed, known)


HEARD = [
    ("8 Elmrow", "8 Elm Row"),
    ("8 Alm Row", "8 Elm Row"),
    ("19 Sistern Muse", "19 Cistern Mews"),
    ("127 St. Osks Lamplighter Psg N", "127 Saint Osk's Lamplighter Passage North, rear house"),
    ("12 Copper Kettel", "12 Copperkettle Rise"),
]
"""As a caller's words are typed, and as the address is known."""


@pytest.mark.parametrize(("typed", "known"), HEARD)
def test_a_street_run_together_or_misheard_is_found_by_its_number(typed: str, known: str) -> None:
    number = known.partition(" ")[0]
    others = [("b", f"{number} Tallowhill Steps"), ("c", known.replace(number, f"{number}1")), ("d", "Elm Row")]
    assert nearest_streets(typed, [*others, ("a", known)]) == ["a"]


def test_the_nearest_street_stands_first() -> None:
    assert nearest_streets("8 Elmroad", [("a", "8 Elm Row"), ("b", "8 Elm Road")])[0] == "b"


@pytest.mark.parametrize("typed", ["8", "8 El", "Elmrow", ""])
def test_too_little_is_near_to_nothing(typed: str) -> None:
    assert nearest_streets(typed, [("a", "8 Elm Row")]) == []
