"""How near a terminal through the wall may stand to what is around it: code sections. The sheet and local code rule."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import Literal, TypedDict

    from .readings import ReadingOutcome

    class Clearance(TypedDict):
        """One figure of a model code. `mark`: how well it is known."""

        id: Literal["ground", "opening", "inlet"]
        words: str
        source: str
        mark: Literal["source", "from memory"]


GROUND_IN = 12.0
BESIDE_FT = 4.0
BELOW_FT = 4.0
ABOVE_FT = 1.0
OVER_INLET_FT = 3.0
_SAME = 1e-9

# What was read: IRC 2018 p. 618 for the ground; the 2014 New York City mechanical code for the other two, which the
# fuel gas code has in the same figures (from memory). Local codes differ: New York City asks 36 inches over the ground.
CLEARANCES: list[Clearance] = [
    {
        "id": "ground",
        "words": "Under 12 inches above the ground.",
        "source": "IRC 2018 G2427.8, item 2",
        "mark": "source",
    },
    {
        "id": "opening",
        "words": "Nearer than 4 ft beside that opening, and neither 4 ft below nor 1 ft above it.",
        "source": "NYC mechanical code 804.2, item 3; IFGC 503.8 from memory",
        "mark": "source",
    },
    {
        "id": "inlet",
        "words": "Under 3 ft above a fan-driven inlet within 10 ft.",
        "source": "NYC mechanical code 804.2, item 2; IFGC 503.8 from memory",
        "mark": "source",
    },
]
# The arguments of `terminal_outcome`, in their order.
TERMINAL_ARGUMENTS = ("above_ground_in", "opening_beside_ft", "opening_over_ft", "inlet_over_ft")
_RULES = "The maker's sheet and local code rule, and may ask for more."


def terminal_outcome(
    above_ground_in: float | None,
    opening_beside_ft: float | None,
    opening_over_ft: float | None,
    inlet_over_ft: float | None,
) -> ReadingOutcome:
    """Typed distances of a terminal against the model codes' figures: too near, or null. It never calls one good.

    Not heaters that take their air from outside (direct vent): those have a table of their own. Null where a distance
    is not typed. `opening`: the nearest door, window or opening by which air comes in, sideways and up (below it is
    minus); `inlet`: one with a fan, within 10 ft. in. and ft. Range: 0 up, over and below an opening -60 to 60.
    Example: 11 in. above the ground is "too_near", 12 is not.
    Source: beside each figure in CLEARANCES; the sheet and local code rule.
    """
    near = []
    if above_ground_in is not None and above_ground_in < GROUND_IN - _SAME:
        near.append("ground")
    if _is_near_opening(opening_beside_ft, opening_over_ft):
        near.append("opening")
    if inlet_over_ft is not None and inlet_over_ft < OVER_INLET_FT - _SAME:
        near.append("inlet")
    if near:
        said = [one["words"] + " (" + one["source"] + ".)" for one in CLEARANCES if one["id"] in near]
        return {"outcome": "too_near", "words": " ".join(said) + " " + _RULES}
    if opening_beside_ft is not None and opening_beside_ft < BESIDE_FT - _SAME and opening_over_ft is None:
        return {"outcome": None, "words": "Type how far above or below that opening too. " + _RULES}
    return {"outcome": None, "words": "Nothing typed is nearer than the model codes have it. " + _RULES}


def _is_near_opening(beside_ft: float | None, over_ft: float | None) -> bool:
    """Far enough in one direction is far enough; what is not typed may be."""
    if beside_ft is None or over_ft is None or beside_ft >= BESIDE_FT - _SAME:
        return False
    return -BELOW_FT + _SAME < over_ft < ABOVE_FT - _SAME
