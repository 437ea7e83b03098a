"""The hot run at the end of a visit: as long and as often started anew as the proof of the named cause asks."""

from __future__ import annotations

import random
from typing import Any

from webapp.invent.chance import between, whole
from webapp.invent.makers import Model
from webapp.invent.readings import hot_suction_in_wc, reading_value
from webapp.trade.proof import proof_for

SUCTION = "suction_in_wc"
LONGEST_RUN_MINUTES = 25
AROUND_IT_MINUTES = 3  # noted a minute before the close, and begun after the repair


def run_takes_minutes(procedure: dict[str, Any], named: str) -> float:
    """What a visit must leave between repair and close, however long the run will be."""
    asked = proof_for(procedure, named)["minutes"] if procedure.get("proofs") else 0  # type: ignore[arg-type]
    return max(LONGEST_RUN_MINUTES, asked) + AROUND_IT_MINUTES


def hot_run(
    rng: random.Random, procedure: dict[str, Any], named: str, model: Model, before: dict[str, float], *, passed: bool
) -> tuple[dict[str, Any], int]:
    """The body of `proof_run` and its schema. `before`: what was read before the repair, by quantity."""
    looks = [look["id"] for look in procedure["closing_looks"]]
    proof: Any = proof_for(procedure, named) if procedure.get("proofs") else {"minutes": 0, "restarts": 0}  # type: ignore[arg-type]
    body: dict[str, Any] = {
        "passed": passed,
        "minutes": float(max(whole(rng, 10, LONGEST_RUN_MINUTES), proof["minutes"] if passed else 0)),
        "restarts": max(whole(rng, 1, 3), proof["restarts"]) if passed else whole(rng, 0, 2),
        "looks_done": looks if passed else looks[: len(looks) // 2],
    }
    if model.input_btu_h is not None:
        body["co_room_ppm"] = round(between(rng, 0, 3), 0)
    asked = [measure["quantity"] for measure in proof.get("measures", ())] or [SUCTION]
    quantity = next((one for one in asked if one in before), asked[0])
    if quantity == SUCTION:
        return body | _suction(rng, model, before, holds=passed), 1
    after = _as_it_should_be(rng, procedure, quantity, model) if passed else before.get(quantity)
    figures = {"before_value": before.get(quantity), "after_value": after}
    return body | {"quantity": quantity} | {name: value for name, value in figures.items() if value is not None}, 2


def _suction(rng: random.Random, model: Model, before: dict[str, float], *, holds: bool) -> dict[str, float]:
    if SUCTION not in before:
        return {}
    return {"suction_before_in_wc": before[SUCTION], "suction_hot_in_wc": hot_suction_in_wc(rng, model, holds=holds)}


def _as_it_should_be(rng: random.Random, procedure: dict[str, Any], quantity: str, model: Model) -> float | None:
    """The figure that goes with the normal answer of the check that reads it."""
    for check in procedure["checks"]:
        for spec in check.get("readings", ()):
            if spec["quantity"] == quantity:
                return reading_value(rng, spec, (check["id"], check["outcomes"][0]["id"]), model)
    return None
