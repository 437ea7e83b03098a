"""Invented jobs walked by the rules: how many minutes and checks to a conclusion, and is the first cause the true one.

`python -m tests.trade.simulate_walk --jobs 400 --seed 1`. The jobs are drawn from the procedure's own guesses, so the
figures compare ways of walking; they say nothing about the field.
"""

from __future__ import annotations

import argparse
import random
from typing import Any

from tests.trade.making import answered, event
from webapp.procedures import compiled
from webapp.trade import plan
from webapp.trade.record import fold_job
from webapp.trade.walk import advise

MOST_CHECKS = 80


def draw(chance: random.Random, procedure: Any) -> tuple[int, dict[str, str]]:
    """A cause by its prior, and an outcome of every check by its row; the gate finds nothing that stops."""
    h = chance.choices(range(len(procedure["causes"])), [one["prior"] for one in procedure["causes"]])[0]
    seen = {}
    for check in procedure["checks"]:
        ids = [outcome["id"] for outcome in check["outcomes"]]
        flat = check["id"] in procedure["gate"] or check["id"] in ("plug_out", "gas_off", "leads_beep", "tap_type")
        seen[check["id"]] = ids[0] if flat else chance.choices(ids, [check["rows"][one][h] for one in ids])[0]
    return h, seen


def walk_job(procedure: Any, seen: dict[str, str]) -> dict[str, Any]:
    """Minutes, checks and tools until the walk has nothing more to ask, and the cause that stands first then."""
    checks = {check["id"]: check for check in procedure["checks"]}
    events = [event(1, "job_opened", {"procedure_hash": procedure["hash"]})]
    for check in procedure["gate"]:
        kind = event(len(events) + 1, "code_read", {"shown": "steady"}) if checks[check]["from_event"] else None
        events.append(kind or answered(len(events) + 1, check, seen[check]))
    asked: list[str] = []
    while len(asked) < MOST_CHECKS:
        advice = advise(procedure, fold_job(events))
        if advice["next"] is None:
            break
        asked.append(advice["next"]["check"])
        events.append(answered(len(events) + 1, asked[-1], seen[asked[-1]]))
    return {
        "minutes": sum(checks[one]["minutes"] for one in asked),
        "asked": asked,
        "tools": {checks[one]["sense"] for one in asked} & {"meter", "gauge", "analyser"},
        "first": advice["ranking"][0]["cause"],
        "to_repair": advice["conclude"]["cause"],
    }


def simulate(procedure: Any, jobs: int, seed: int) -> dict[str, float]:
    """Means over the jobs: minutes, checks, share with the true cause first, share in which a tool was fetched."""
    chance = random.Random(seed)
    minutes = checks = right = tools = 0.0
    for _ in range(jobs):
        h, seen = draw(chance, procedure)
        done = walk_job(procedure, seen)
        minutes += done["minutes"]
        checks += len(done["asked"])
        right += done["first"] == procedure["causes"][h]["id"]
        tools += bool(done["tools"])
    return {"minutes": minutes / jobs, "checks": checks / jobs, "right": right / jobs, "tools": tools / jobs}


def report(name: str, figures: dict[str, float]) -> None:
    """One line for one way of walking."""
    print(name, *(f"{what} {value:.2f}" for what, value in figures.items()))


def main() -> None:
    """Print the figures for the shipped threshold and for others beside it."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--jobs", type=int, default=400)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--bits", type=float, nargs="*", default=[0.05, 0.15, 0.30, 99.0])
    parser.add_argument("--on-the-way", type=float, nargs="*", default=[0.02, 0.08, 0.15])
    given = parser.parse_args()
    procedure = compiled("power_vent")
    shipped = plan.SAYS_SOMETHING_BITS
    for bits in given.bits:
        plan.SAYS_SOMETHING_BITS = bits
        report(f"hold back a tool at {bits:5.2f} bit", simulate(procedure, given.jobs, given.seed))
    plan.SAYS_SOMETHING_BITS = shipped
    for bits in given.on_the_way:
        plan.ON_THE_WAY_BITS = bits
        report(f"take along from {bits:5.2f} bit", simulate(procedure, given.jobs, given.seed))


if __name__ == "__main__":
    main()
