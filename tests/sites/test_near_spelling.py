"""Near enough to be shown: slips of the fingers, never another number."""

from __future__ import annotations

import pytest

from webapp.sites.near_spelling import nearly_same_street


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
