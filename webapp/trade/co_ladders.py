"""CO in the room: the rule sets that a firm chooses from, each step with its words and its source. None is averaged."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import Any, Literal, TypedDict

    class CoStep(TypedDict):
        """From this reading up, until the next step. `mark`: how well its figure is known."""

        from_ppm: float
        outcome: Literal["acceptable", "raised", "outside", "leave"]
        words: str
        source: str
        mark: Literal["source", "from memory"]

    class CoLadder(TypedDict):
        id: str
        words: str
        source: str
        steps: list[CoStep]


DEFAULT_LADDER = "code_appendix"
_NONE_CHOSEN = "No CO rules chosen by your company are known here: these are the code appendix's."
_GOES_ON = " ppm: the visit goes on, the meter stays on."
_LOOK = "Tell the customer. Open windows, look for the source. It is not fired."
_AIRED = "Tell everybody here. Every burner off, doors and windows open. People wait outside until it is aired."
_UNDER_36 = (
    "Tell everybody here. Every burner off, doors and windows open, tests stop. People wait outside until it reads "
    "under 36."
)
_STAYS_OFF = (
    "Tell everybody here. Shut off whatever may make it, open doors and windows. It is not fired; it stays off until "
    "somebody qualified has put it right."
)
_OUT = "Everybody out now. Call emergency services from outside. Nobody goes back in until it is aired and measured."
_READ = "source"
_MEMORY = "from memory"


def _ladder(name: str, words: str, source: str, steps: list[tuple[float, str, str, str]]) -> CoLadder:
    made: Any = [
        {"from_ppm": from_ppm, "outcome": outcome, "words": said, "source": source, "mark": mark}
        for from_ppm, outcome, said, mark in steps
    ]
    return {"id": name, "words": words, "source": source, "steps": made}


# Steps rise, in whole ppm. What was read: IRC 2018 appendix D.2(3), p. 871 (below 30 ppm the inspection can continue);
# consolidatedph.com/co-info-3.html for 1-9, 10-35, 36-99 and 100 up. The 70 of the appendix and all figures of BPI-1200
# are from memory. `mark` is about the figure; what to do is in our words, and no milder than the source's. A step
# whose words keep people out is "outside" or "leave", which stop the walk; never "raised", which lets it go on
# (docs/adr/0225).
LADDERS: list[CoLadder] = [
    _ladder(
        DEFAULT_LADDER,
        "Fuel gas code, appendix D: 30 and 70 ppm",
        "IFGC/IRC appendix D.2, informative",
        [
            (0.0, "acceptable", "Under 30" + _GOES_ON, _READ),
            (30.0, "raised", _STAYS_OFF, _READ),
            (70.0, "leave", _OUT, _MEMORY),
        ],
    ),
    _ladder(
        "protocol_9_36_70",
        "ANSI/BPI-1200: 9, 36 and 70 ppm",
        "ANSI/BPI-1200, ambient tiers",
        [
            (0.0, "acceptable", "Under 9" + _GOES_ON, _MEMORY),
            (9.0, "raised", _LOOK, _MEMORY),
            (36.0, "outside", _UNDER_36, _MEMORY),
            (70.0, "leave", _OUT, _MEMORY),
        ],
    ),
    _ladder(
        "protocol_9_35_100",
        "Older field protocols: 9, 35 and 100 ppm",
        "older field protocols, as trade pages print them",
        [
            (0.0, "acceptable", "Up to 9" + _GOES_ON, _READ),
            (10.0, "raised", _LOOK, _READ),
            (36.0, "outside", _AIRED, _READ),
            (100.0, "leave", _OUT, _READ),
        ],
    ),
]


def co_step(co_room_ppm: float, ladder: str) -> CoStep | None:
    """The step of the firm's rule set that a reading stands on; null for a rule set that does not exist.

    Range: 0 to 10,000 ppm. Example: 40 ppm on "protocol_9_36_70" is its third step. Source: beside each step.
    """
    for one in LADDERS:
        if one["id"] == ladder:
            found = one["steps"][0]
            for step in one["steps"]:
                if co_room_ppm >= step["from_ppm"]:
                    found = step
            return found
    return None


def with_rules_told(words: str, ladder: str | None) -> str:
    """A result's words, which say so where no rule set of the firm stands behind them. Null adds a sentence."""
    return words if ladder else words + " " + _NONE_CHOSEN


def least_raised_ppm() -> float:
    """What no rule set of all calls raised is below this. Range: none. Source: as the rule sets."""
    return min([first_raised_ppm(one["id"]) or 0.0 for one in LADDERS])


def surely_raised_ppm() -> float:
    """From here on every rule set of all calls it raised. Range: none. Source: as the rule sets."""
    return max([first_raised_ppm(one["id"]) or 0.0 for one in LADDERS])


def first_raised_ppm(ladder: str | None) -> float | None:
    """From where on a reading is raised, in ppm; null without a rule set.

    Example: 30 on "code_appendix". Source: beside each step.
    """
    for one in LADDERS:
        if one["id"] == ladder:
            for step in one["steps"]:
                if step["outcome"] != "acceptable":
                    return step["from_ppm"]
    return None
