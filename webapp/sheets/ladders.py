"""The rule sets for CO in the room as a page shows them: each step with its source and how well it is known."""

from __future__ import annotations

from typing import NamedTuple

from webapp.trade.co_ladders import DEFAULT_LADDER, LADDERS

OUTCOME_WORDS = {
    "acceptable": "goes on",
    "raised": "not fired",
    "outside": "people wait outside",
    "leave": "everybody out",
}
VERDICTS = {"acceptable": "good", "raised": "doubtful", "outside": "bad", "leave": "bad"}


class LadderStep(NamedTuple):
    """`span`: from where to where."""

    span: str
    verdict: str
    outcome: str
    words: str
    source: str


class LadderShown(NamedTuple):
    """One rule set."""

    id: str
    words: str
    steps: list[LadderStep]


def shown_ladders() -> list[LadderShown]:
    """All that there are to choose from, in their order."""
    shown = []
    for ladder in LADDERS:
        ends = [step["from_ppm"] for step in ladder["steps"][1:]]
        steps = [
            LadderStep(
                _span(step["from_ppm"], end),
                VERDICTS[step["outcome"]],
                OUTCOME_WORDS[step["outcome"]],
                step["words"],
                step["source"] + ("; figure from memory" if step["mark"] == "from memory" else ""),
            )
            for step, end in zip(ladder["steps"], [*ends, None], strict=True)
        ]
        shown.append(LadderShown(ladder["id"], ladder["words"], steps))
    return shown


def ladder_words(ladder_id: str | None) -> str:
    """What a rule set is called; of the one that acts while none is chosen, too."""
    return next(ladder["words"] for ladder in LADDERS if ladder["id"] == (ladder_id or DEFAULT_LADDER))


def _span(low: float, high: float | None) -> str:
    if high is None:
        return f"{low:g} ppm and more"
    return f"{low:g} to {high - 1:g} ppm"
