"""Which outcome a check's readings propose. The technician decides; nothing is filled in unasked."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .clearances import TERMINAL_ARGUMENTS, terminal_outcome
from .co_ladders import DEFAULT_LADDER, with_rules_told
from .errors import TradeError
from .millivolts import MILLIVOLT_RULES, millivolt_outcome
from .readings import RUN_ARGUMENTS, co_outcome, limit_outcome, run_outcome, suction_outcome
from .unmarked import UNMARKED

if TYPE_CHECKING:
    from typing import Any, TypedDict

    from .advice_types import Evidence
    from .procedure_types import Check
    from .readings import ReadingOutcome

    class Proposal(TypedDict):
        """What the figures propose, why in words, and which answers they exclude: those cannot be given with them."""

        outcome: str | None
        words: str
        excluded: list[str]


RULES = ("suction_outcome", "limit_outcome", "co_outcome", "run_outcome", "terminal_outcome") + MILLIVOLT_RULES

# Proposals that leave no room for a good answer: arithmetic against a typed figure or a rule set's step, or no contact
# at all. What also hangs on what was seen (a pilot that drops), on an expert guess or on local code is not here.
CERTAIN = {
    "suction_outcome": ("none", "short"),
    "limit_outcome": ("open",),
    "co_outcome": ("leave", "outside", "raised"),
    "run_outcome": ("over",),
    "terminal_outcome": (),
    "couple_open_outcome": ("low", "none"),
    "couple_closed_outcome": ("low",),
    "drop_out_outcome": ("too_slow",),
    "pile_open_outcome": ("low", "none"),
    "pile_loaded_outcome": ("low",),
    "cutoff_outcome": ("open",),
}


def propose(check: Check, values: dict[str, float | None], answers: list[Evidence], ladder: str | None) -> Proposal:
    """What the figures propose, and what they exclude. Where they only make it doubtful the technician decides.

    A figure for which one must leave, or wait outside, excludes every answer that is milder, an unsafe one every answer
    that is not; another certain one excludes what is called good. Range and source: those of the rule.
    Example: 200 ppm in the room exclude all but "leave", 69 ppm "acceptable" and "not_measured"; where people wait
    outside by the firm's rule set, also "raised".
    """
    found = propose_outcome(check, values, answers, ladder)
    return {"outcome": found["outcome"], "words": found["words"], "excluded": _excluded(check, found["outcome"])}


def _excluded(check: Check, proposed: str | None) -> list[str]:
    """Beside a certain figure."""
    if proposed is None or proposed not in CERTAIN[check["rule"] or ""]:
        return []
    stops = [outcome["id"] for outcome in check["outcomes"] if outcome["stop_words"] is not None]
    if proposed in stops:
        stops = stops[stops.index(proposed) :]  # the milder one comes first
    older = UNMARKED.get(check["id"], [])
    unsafe = [one["id"] for one in check["outcomes"] if one.get("unsafe", False) or one["id"] in older]
    for left in (stops, unsafe):
        if proposed in left:
            return [outcome["id"] for outcome in check["outcomes"] if outcome["id"] not in left]
    return [outcome["id"] for outcome in check["outcomes"] if outcome["verdict"] == "good"]


def propose_outcome(
    check: Check, values: dict[str, float | None], answers: list[Evidence], ladder: str | None
) -> ReadingOutcome:
    """The outcome that the check's rule proposes from its readings, null with words where it cannot tell.

    `values`: by quantity, in the quantity's own unit; null stands for no continuity. `answers`: what is answered so
    far, for a rule that depends on another check (the tap). Range and source: those of the rule.
    Example: suction 0.30, make point 0.36, tap "suction" proposes "short".
    """
    rule = check["rule"]
    if rule is None:
        return {"outcome": None, "words": "No rule proposes an answer here."}
    if rule not in RULES:
        raise TradeError("bad_procedure", "Unknown rule: " + rule + ".")
    missing = [
        field["words"] for field in check["readings"] if not field["optional"] and values.get(field["quantity"]) is None
    ]
    already = _run_over(values) if missing and rule == "run_outcome" else None
    if already is not None:
        return already
    if missing:
        return {"outcome": None, "words": "Still to note: " + ", ".join(missing) + "."}
    found = _by_rule(rule, values, answers, ladder)
    if found["outcome"] == "outside" and "outside" not in [outcome["id"] for outcome in check["outcomes"]]:
        found["outcome"] = "leave"  # a version from before people could be told to wait: never milder than its words
    return found


def _run_over(values: dict[str, Any]) -> ReadingOutcome | None:
    """A run that is over by what is typed of it alone is over whatever is still to be counted; null where it is not."""
    known = {name: values.get(name) for name in RUN_ARGUMENTS}
    for name in ("straight_ft", "elbows_90", "elbows_45"):
        known[name] = known[name] or 0.0
    found = run_outcome(*[known[name] for name in RUN_ARGUMENTS])  # type: ignore[arg-type]
    return found if found["outcome"] == "over" else None


def _by_rule(rule: str, values: dict[str, Any], answers: list[Evidence], ladder: str | None) -> ReadingOutcome:
    if rule in MILLIVOLT_RULES:
        return millivolt_outcome(rule, values, answers)
    if rule == "limit_outcome":
        return limit_outcome(values.get("limit_ohm"), values.get("leads_ohm"))
    if rule == "co_outcome":
        stands = co_outcome(values["co_room_ppm"], ladder or DEFAULT_LADDER)
        return {"outcome": stands["outcome"], "words": with_rules_told(stands["words"], ladder)}
    if rule == "terminal_outcome":
        return terminal_outcome(*[values.get(name) for name in TERMINAL_ARGUMENTS])
    if rule == "run_outcome":
        return run_outcome(*[values.get(name) for name in RUN_ARGUMENTS])  # type: ignore[arg-type]
    taps = [one["outcome"] for one in answers if one["check"] == "tap_type"]
    if not taps or taps[-1] not in ("suction", "pressure", "differential"):
        return {"outcome": None, "words": "Say first where the tube is tapped."}
    return suction_outcome(values["suction_in_wc"], values["make_point_in_wc"], taps[-1])  # type: ignore[arg-type]
