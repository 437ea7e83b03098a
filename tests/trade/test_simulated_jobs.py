"""Jobs drawn from the procedure's own guesses, walked by the rules: a bar, so that a change of the walk is noticed."""

from __future__ import annotations

import random

from tests.trade.simulate_walk import draw, simulate, walk_job


def test_the_walk_asks_less_than_half_of_everything_and_finds_most(power_vent):
    everything = sum(check["minutes"] for check in power_vent["checks"] if check["id"] not in power_vent["gate"])
    figures = simulate(power_vent, jobs=40, seed=3)
    assert figures["minutes"] < 0.5 * everything
    assert (
        figures["right"] > 0.65
    )  # about 0.8 over many jobs; the rest is what the guesses themselves cannot tell apart


def test_no_tool_is_fetched_where_a_look_settles_it(power_vent):
    chance = random.Random(5)
    _, seen = draw(chance, power_vent)
    for check in power_vent["checks"]:
        seen[check["id"]] = check["outcomes"][0]["id"]
    done = walk_job(power_vent, {**seen, "sensing_tube": "off_or_split"})
    assert done["tools"] == set()
    assert done["to_repair"] == "tube_off"
