"""The vent run, counted the sheet's way and held against the sheet's own limits. No physics: the sheet rules."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .errors import TradeError

if TYPE_CHECKING:
    from typing import Any, Literal, TypedDict

    class RunLine(TypedDict):
        """One entry of the count; feet are null where the sheet's figure was not typed."""

        words: str
        count: float
        feet: float | None

    class ElbowFlag(TypedDict):
        id: Literal["on_outlet", "close_pair", "under_five_bores"]
        level: Literal["flag", "note"]
        words: str

    class VentRun(TypedDict):
        """`outcome`: what the check's answer would be. `against_…`: null where that figure is not typed."""

        equivalent_ft: float | None
        lines: list[RunLine]
        against_max: Literal["within", "equal", "over"] | None
        against_min: Literal["within", "equal", "under"] | None
        against_elbows: Literal["within", "equal", "over"] | None
        outcome: Literal["within", "over", "under"] | None
        flags: list[ElbowFlag]
        words: str


# Any pair of elbows with less straight pipe between them is flagged (common practice, no source); closer than five
# bores is noted (Idelchik's diagram 6-11, two mitred elbows: about 1.2 times their sum at five bores, from memory).
PAIR_IN = 12.0
BORES = 5.0
_SAME_FT = 1e-9
OVER_WORDS = "Over the sheet is over. No reading and no arithmetic makes it good."


def vent_run(run: dict[str, Any]) -> VentRun:
    """The run as the sheet counts it, against what the sheet allows at most and asks for at least.

    Equivalent feet = straight + n90 x the sheet's feet for a 90 + n45 x its feet for a 45 + its feet for the terminal,
    where it counts that. Whatever else is inside, a run over one of the sheet's limits is over; what is known
    of it alone may be. `gaps_in`: straight
    inches between one elbow and the next, in order; `outlet_gap_in`: between the blower and the first elbow.
    Range: 0 up, feet and inches. Example: 30 ft and four 90s at 5 ft against 50 ft is "equal", and that is inside.
    Source: the maker's sheet; arithmetic only. Spacing: common practice, no source; the sheet wins.
    """
    for name in ("nominal_in", "straight_ft", "elbows_90", "elbows_45"):
        if run[name] < 0.0:
            raise TradeError("bad_argument", "Below 0: " + name + ".")
    lines = _lines(run)
    known = 0.0 + sum([line["feet"] for line in lines if line["feet"] is not None])
    feet = known if not [line for line in lines if line["feet"] is None] else None
    limit = run.get("limit_ft")
    is_over = limit is not None and known - limit > _SAME_FT  # whatever the elbows cost, it is no shorter
    elbows = run["elbows_90"] + run["elbows_45"]
    against: Any = {
        "against_max": "over" if is_over else _at_most(feet, limit),
        "against_min": _at_least(feet, run.get("limit_min_ft")),
        "against_elbows": _at_most(elbows, run.get("limit_elbows")),
    }
    outcome, words = _outcome(feet, against)
    found: Any = {"equivalent_ft": feet, "lines": lines, "outcome": outcome, "flags": elbow_flags(run), "words": words}
    found.update(against)
    return found  # type: ignore[no-any-return]


def elbow_flags(run: dict[str, Any]) -> list[ElbowFlag]:
    """Elbows closer than 12 in. are flagged, closer than five bores noted, one right on the outlet flagged.

    Range: 0 up, in. Example: 8 in. between two elbows of a 3 in. pipe is flagged. Source: common practice, no source;
    the maker's sheet wins.
    """
    flags: list[ElbowFlag] = []
    gap = run.get("outlet_gap_in")
    if gap is not None and gap < run["nominal_in"]:
        words = "An elbow right on the blower's outlet: it costs far more than it counts. The sheet wins."
        flags.append({"id": "on_outlet", "level": "flag", "words": words})
    for position, gap in enumerate(run.get("gaps_in") or []):
        pair = "Elbows " + str(position + 1) + " and " + str(position + 2)
        if gap < PAIR_IN:
            words = pair + ": less than 12 in. of straight pipe between. The sheet wins."
            flags.append({"id": "close_pair", "level": "flag", "words": words})
        elif gap < BORES * run["nominal_in"]:
            words = pair + ": closer than five pipe widths. Noted; the sheet wins."
            flags.append({"id": "under_five_bores", "level": "note", "words": words})
    return flags


def _lines(run: dict[str, Any]) -> list[RunLine]:
    lines: list[RunLine] = [{"words": "Straight pipe", "count": 1.0, "feet": run["straight_ft"]}]
    for name, each, words in (("elbows_90", "feet_per_90", "90s"), ("elbows_45", "feet_per_45", "45s")):
        count, feet = run[name], run.get(each)
        if count > 0.0:
            lines.append({"words": words, "count": count, "feet": None if feet is None else count * feet})
    if run.get("terminal_ft") is not None:
        lines.append({"words": "Terminal, as the sheet counts it", "count": 1.0, "feet": run["terminal_ft"]})
    return lines


def _at_most(found: float | None, limit: float | None) -> str | None:
    if found is None or limit is None:
        return None
    if abs(found - limit) <= _SAME_FT:
        return "equal"
    return "over" if found > limit else "within"


def _at_least(found: float | None, limit: float | None) -> str | None:
    if found is None or limit is None:
        return None
    if abs(found - limit) <= _SAME_FT:
        return "equal"
    return "under" if found < limit else "within"


def _outcome(feet: float | None, against: dict[str, str | None]) -> tuple[str | None, str]:
    if against["against_elbows"] == "over":
        return "over", "More elbows than the sheet allows. " + OVER_WORDS
    if against["against_max"] == "over":
        return "over", "Over the sheet's limit. " + OVER_WORDS
    if feet is None or against["against_max"] is None:
        return None, "Type the sheet's limit and its feet for each elbow to compare."
    if against["against_min"] == "under":
        return "under", "Shorter than the sheet asks for: does it want a restrictor in this run?"
    if "equal" in (against["against_max"], against["against_elbows"]):
        return "within", "Exactly at the sheet's limit: inside it, with nothing to spare."
    return "within", "Within the sheet's limit."
