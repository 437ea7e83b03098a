"""The gate can be read before the phone's engine runs: from the compiled procedure and the firm's choice alone."""

from __future__ import annotations

import json

import pytest

from webapp.procedures import compiled, list_procedures
from webapp.trade.readings import co_outcome

NAMES = list_procedures()


def by_hand(cards, ladder_id, ppm):
    """What a screen does without the engine: the last step that the reading reaches."""
    ladder = next(one for one in cards["ladders"] if one["id"] == ladder_id)
    return [step for step in ladder["steps"] if ppm >= step["from_ppm"]][-1]


@pytest.fixture(params=NAMES)
def cards(request):
    return json.loads(json.dumps(compiled(request.param)["gate_cards"]))


def test_a_smell_comes_first_then_anybody_unwell(cards):
    assert [(card["check"], card["outcome"]) for card in cards["tiers"]][:2] == [
        ("smell_of_gas", "smell"),
        ("symptoms", "somebody"),
    ]


def test_a_smell_alone_means_out_and_no_phone_below(cards):
    smell = cards["tiers"][0]["stop_words"]
    for words in ("out now", "No switches", "no phone until you are outside", "from outside"):
        assert words in smell


@pytest.mark.parametrize("name", NAMES)
def test_the_phone_goes_off_at_the_door_not_downstairs(name):
    check = next(one for one in compiled(name)["checks"] if one["id"] == "smell_of_gas")
    assert "phone off here at the door, not downstairs" in check["caution"]


def test_symptoms_mean_out_whatever_the_number(cards):
    assert "whatever the meter says" in cards["tiers"][1]["stop_words"]


def test_no_card_of_a_number_stands_among_the_tiers(cards):
    assert "co_room" not in [card["check"] for card in cards["tiers"]]


@pytest.mark.parametrize("ppm", [*range(120), 8.9, 29.9, 35.9, 69.9, 99.9, 10000])
def test_a_plain_look_up_says_what_the_engine_says(ppm, cards):
    for ladder in cards["ladders"]:
        step = by_hand(cards, ladder["id"], ppm)
        said = co_outcome(float(ppm), ladder["id"])
        assert step["outcome"] == said["outcome"]
        assert said["words"].startswith(step["words"])


@pytest.mark.parametrize("name", NAMES)
def test_every_step_is_an_answer_of_the_gate(name):
    procedure = compiled(name)
    answers = [one["id"] for check in procedure["checks"] if check["id"] == "co_room" for one in check["outcomes"]]
    for ladder in procedure["gate_cards"]["ladders"]:
        assert {step["outcome"] for step in ladder["steps"]} <= set(answers)
    assert procedure["gate_cards"]["default_ladder"] in [one["id"] for one in procedure["gate_cards"]["ladders"]]


@pytest.mark.parametrize("name", NAMES)
def test_the_cards_are_small(name):
    """They are shown while the engine is still on its way."""
    assert len(json.dumps(compiled(name)["gate_cards"])) < 6000
