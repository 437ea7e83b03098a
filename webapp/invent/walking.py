"""One walk through the checks: the order is the walk's own, the outcomes are drawn from the procedure's rows for the
true cause.
"""

from __future__ import annotations

import random
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any, Literal

from webapp.invent.chance import pick, pick_weighted, whole
from webapp.invent.safe import safe_outcomes

Line = tuple[str, str | None]  # (check id, outcome id; None: it could not be done), in the order of the walk
Order = Callable[[dict[str, Any], list[Line]], str | None]
"""(procedure, lines so far) → the check to do next, or None where the walk is ready."""

COULD_NOT_SHARE = 0.04
SLIP_SHARE = 0.03  # a first answer that is put right at once
TO_THE_END_SHARE = 0.3  # walks that go on until the advice says that there is nothing more to ask
STOPS_AFTER = (3, 14)  # checks after the gate, of those who think they know by then
FLAT = 1e-9  # rows that differ by no more say nothing about the cause
# How a flat check mostly comes out, where that is not its first outcome. Expert guesses.
_OF_FLAT = {
    ("control_code", "steady"): 0.1,
    ("control_code", "flashes"): 1.0,
    ("control_code", "text"): 0.2,
    ("tap_type", "pressure"): 0.2,
    ("tap_type", "differential"): 0.1,
}
_REASONS = ("no_access", "no_access", "no_tool", "refused", "cannot_tell")


@dataclass(frozen=True, slots=True)
class Step:
    """What happened at one check."""

    check: dict[str, Any]
    outcome: str | None
    could_not: Literal["no_access", "no_tool", "unsafe", "refused", "cannot_tell", "not_fitted"] | None = None
    slipped_to: str | None = None  # what was tapped first, by mistake

    @property
    def normal(self) -> bool:
        """Whether the outcome is the check's normal one."""
        return bool(self.outcome == self.check["outcomes"][0]["id"])


def draw_outcome(rng: random.Random, check: dict[str, Any], cause_index: int, *, only: list[str] | None = None) -> str:
    """An outcome from the row of the true cause; one of `only`, where they are given.

    Outcomes that end the walk are left to the visits that end unsafe. So are the bad ones of a check that tells nothing
    about the cause (CO in the room, gas that cannot be shut): they would end in a tag, not in a walk.
    """
    outcomes = check["outcomes"]
    flat = all(max(row) - min(row) < FLAT for row in check["rows"].values())
    weights = []
    for place, outcome in enumerate(outcomes):
        usual = _OF_FLAT.get((check["id"], outcome["id"]), 0.02 if place else 1.0)
        weight = usual if flat else check["rows"][outcome["id"]][cause_index]
        barred = (flat and outcome["verdict"] == "bad") or (only is not None and outcome["id"] not in only)
        weights.append(0.0 if outcome.get("stop_words") or barred else weight)
    return str(outcomes[pick_weighted(rng, weights)]["id"])


def _stop_outcome(rng: random.Random, checks: list[dict[str, Any]]) -> tuple[str, str] | None:
    stops = [(c["id"], o["id"]) for c in checks for o in c["outcomes"] if o.get("stop_words")]
    return pick(rng, stops) if stops else None


def walk(
    rng: random.Random,
    procedure: dict[str, Any],
    cause: str,
    order: Order,
    *,
    unsafe: bool = False,
    only_safe: bool = False,
    patience: float | None = None,
) -> list[Step]:
    """The steps of one walk. `unsafe`: one of the looks at the gate ends it. `patience`: chance of going to the end.

    `only_safe`: nothing unsafe is found on it; a visit that repairs nothing would otherwise leave the heater off.
    """
    checks = {c["id"]: c for c in procedure["checks"]}
    cause_index = [c["id"] for c in procedure["causes"]].index(cause)
    gate = procedure["gate"]
    stop = _stop_outcome(rng, [checks[name] for name in gate]) if unsafe else None
    lines: list[Line] = []
    steps: list[Step] = []
    to_the_end = rng.random() < (TO_THE_END_SHARE if patience is None else patience)
    budget = len(checks) if to_the_end else len(gate) + whole(rng, *STOPS_AFTER)
    while len(steps) < budget and (name := order(procedure, lines)):
        check = checks[name]
        if name not in gate and rng.random() < COULD_NOT_SHARE:
            lines.append((name, None))
            steps.append(Step(check, None, could_not=pick(rng, _REASONS)))  # type: ignore[arg-type]  # one of the five above
            continue
        only = safe_outcomes(procedure, check) if only_safe else None
        outcome = stop[1] if stop and stop[0] == name else draw_outcome(rng, check, cause_index, only=only)
        others = [o["id"] for o in check["outcomes"] if o["id"] != outcome and not o.get("stop_words")]
        slip = pick(rng, others) if others and rng.random() < SLIP_SHARE else None
        steps.append(Step(check, outcome, slipped_to=slip))
        if stop and stop[0] == name:
            break
        lines.append((name, outcome))
    return steps
