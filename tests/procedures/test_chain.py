"""The chain of safeties as data: the validator refuses one that does not hang together."""

from __future__ import annotations

import copy

import pytest

from webapp.procedures import compiled, list_procedures
from webapp.procedures.loader import source
from webapp.procedures.validate import problems

WRITTEN = source("power_vent")


@pytest.fixture
def good():
    return copy.deepcopy(WRITTEN)


@pytest.mark.parametrize("name", list_procedures())
def test_every_contact_can_be_seen_open_and_belongs_to_a_part_on_the_drawing(name):
    procedure = compiled(name)
    parts = {part["id"] for part in procedure["parts"]}
    assert procedure["chain"]
    for one in procedure["chain"]:
        assert one["part"] in parts
        assert {shown["state"] for shown in one["shown"]} & {"open", "could_be_open"}


def test_a_limit_is_closed_and_the_pressure_switch_open_at_rest():
    normally = {one["id"]: one["normally"] for one in compiled("power_vent")["chain"]}
    assert (normally["vent_limit"], normally["tank_limit"], normally["roll_out"]) == ("closed",) * 3
    assert normally["pressure_switch"] == "open"


def twice(chain):
    chain.append(copy.deepcopy(chain[0]))


def unknown_part(chain):
    chain[0]["part"] = "magic"


def sideways(chain):
    chain[0]["normally"] = "sideways"


def no_senses(chain):
    chain[0]["senses_words"] = ""


def extra(chain):
    chain[0]["colour"] = "red"


def unknown_answer(chain):
    chain[0]["shown"][0]["outcome"] = "magic"


def odd_state(chain):
    chain[0]["shown"][0]["state"] = "ajar"


def never_open(chain):
    chain[0]["shown"] = [one for one in chain[0]["shown"] if one["state"] == "closed"]


@pytest.mark.parametrize(
    ("breaks", "words"),
    [
        (twice, "chain: an id is there twice"),
        (unknown_part, "chain call: unknown part magic"),
        (sideways, "chain call: normally closed or open"),
        (no_senses, "chain call: needs id, words"),
        (extra, "chain call: needs id, words"),
        (unknown_answer, "chain call: shown by an answer that does not exist: call_present magic"),
        (odd_state, "chain call: what shows it needs a state and words"),
        (never_open, "chain call: no finding ever shows it open"),
    ],
    ids=lambda one: getattr(one, "__name__", ""),
)
def test_a_chain_that_does_not_hang_together_is_refused(breaks, words, good):
    good["chain"] = copy.deepcopy(good["chain"])
    breaks(good["chain"])
    assert [one for one in problems(good) if words in one], problems(good)[:5]
