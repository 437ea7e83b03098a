"""Every shipped procedure passes its validator, and holds what a person in a basement needs."""

from __future__ import annotations

import json
import re

import pytest

from webapp.procedures import compiled, list_procedures
from webapp.procedures.compile import FLOOR, canonical_json, hash_of
from webapp.procedures.loader import source
from webapp.procedures.validate import problems
from webapp.trade.propose import RULES
from webapp.trade.readings import RANGES
from webapp.trade.tables import FLOOR as RANK_FLOOR

NAMES = list_procedures()


@pytest.mark.parametrize("name", NAMES)
def test_a_shipped_procedure_passes_its_validator(name):
    assert problems(source(name)) == []


def test_the_power_vent_procedure_is_shipped():
    assert "power_vent" in NAMES


@pytest.mark.parametrize("name", NAMES)
def test_its_hash_is_that_of_its_canonical_json_without_the_hash(name):
    procedure = compiled(name)
    assert procedure["hash"] == hash_of(dict(procedure))
    assert len(procedure["hash"]) == 64


@pytest.mark.parametrize("name", NAMES)
def test_its_json_is_the_same_text_from_a_writer_that_drops_the_point(name):
    """JavaScript writes 2.0 as 2 and never 1e-05 for what JSON gave it as 0.00001: no number may depend on that."""
    text = canonical_json(dict(compiled(name)))
    numbers: list[str] = []
    json.loads(text, parse_float=lambda one: numbers.append(one) or float(one))
    assert numbers
    assert not [one for one in numbers if "e" in one or one.endswith(".0")]


@pytest.mark.parametrize("name", NAMES)
def test_a_copy_that_is_changed_does_not_change_the_next_one(name):
    compiled(name)["checks"].clear()
    assert compiled(name)["checks"]


def test_the_compiler_and_the_ranking_use_the_same_floor():
    assert FLOOR == RANK_FLOOR


@pytest.mark.parametrize("name", NAMES)
def test_every_rule_is_one_that_proposes(name):
    assert {check["rule"] for check in compiled(name)["checks"]} - {None} <= set(RULES)


@pytest.mark.parametrize("name", NAMES)
def test_ranges_of_readings_agree_with_the_rules_of_plausibility(name):
    known = {quantity: (low, high) for quantity, _unit, low, high, _usual_low, _usual_high in RANGES}
    for check in compiled(name)["checks"]:
        for field in check["readings"]:
            assert field["hard_low"] <= field["usual_low"] < field["usual_high"] <= field["hard_high"], field[
                "quantity"
            ]
            if field["quantity"] in known:
                assert (field["hard_low"], field["hard_high"]) == known[field["quantity"]], field["quantity"]


@pytest.mark.parametrize("name", NAMES)
def test_cautions_stand_where_somebody_can_be_hurt(name):
    checks = {check["id"]: check for check in compiled(name)["checks"]}
    for check in checks.values():
        caution = (check["caution"] or "").lower()
        if check["live"]:
            assert "shock" in caution or "live" in caution, check["id"]
        if check["fires"]:
            assert "co meter on" in caution, check["id"]
        if "plug_out" in [need["check"] for need in check["needs"] if not need.get("if_answered")]:
            assert "plug out" in caution, check["id"]
        if "gas_off" in [need["check"] for need in check["needs"]] and not check["live"]:
            assert "gas stays off" in caution, check["id"]


def test_the_gate_asks_smell_first_and_the_code_last():
    procedure = compiled("power_vent")
    assert procedure["gate"][0] == "smell_of_gas"
    assert procedure["gate"][-1] == "control_code"


def test_words_for_a_smell_of_gas_come_before_any_use_of_phone_or_switch():
    checks = {check["id"]: check for check in compiled("power_vent")["checks"]}
    stop = next(one["stop_words"] for one in checks["smell_of_gas"]["outcomes"] if one["id"] == "smell")
    assert "no phone until you are outside" in stop
    assert checks["smell_of_gas"]["question"].startswith("At the door")


@pytest.mark.parametrize("name", NAMES)
def test_no_check_that_fires_can_be_had_without_a_working_co_meter(name):
    needed = {need["check"]: need["outcomes"] for need in compiled(name)["may_fire"]}
    assert needed["co_meter"] == ["on"]
    assert "leave" not in needed["co_room"]
    assert "raised" not in needed["co_room"]


@pytest.mark.parametrize("name", NAMES)
def test_answers_fit_a_thumb_and_questions_a_breath(name):
    for check in compiled(name)["checks"]:
        assert len(check["title"]) <= 32, check["title"]
        assert len(check["question"]) <= 90, check["question"]
        assert check["question"].endswith("?"), check["question"]
        for outcome in check["outcomes"]:
            assert len(outcome["words"]) <= 32, outcome["words"]


# What an eye does not see: whether a contact is closed. Heard, read off the light or metered it is said as that.
OF_A_CONTACT = re.compile(
    r"\b(switch|contact|limit) (is )?(never )?(closed|open|made|makes)|\b(makes|made|opens|opened|flutters?)\b",
    re.IGNORECASE,
)


@pytest.mark.parametrize("name", NAMES)
def test_what_is_seen_by_eye_is_said_as_it_is_seen_heard_or_read_off_the_light(name):
    eye = [check for check in compiled(name)["checks"] if check["sense"] == "eye"]
    said = [outcome["words"] for check in eye for outcome in check["outcomes"]]
    assert [words for words in said if OF_A_CONTACT.search(words)] == []
    assert OF_A_CONTACT.search("Blower runs, switch never makes")


def test_warmth_of_the_vent_is_one_second_with_the_back_of_the_hand_wherever_it_is_spoken_of():
    written = json.dumps(compiled("power_vent"))
    assert not re.search(r"hot to hold|be held\b|feel the vent|vent felt at", written)
    check = next(one for one in compiled("power_vent")["checks"] if one["id"] == "vent_warmth")
    for words in (check["how"][1], check["caution"]):
        assert re.search("back of (a|the) (bare )?hand", words.lower())
        assert "one second" in words.lower()
    assert all("one second" in one["words"].lower() for one in check["outcomes"][:2])
    proof = next(one for one in compiled("power_vent")["proofs"] if one["id"] == "vent_cooler")
    assert "one second" in proof["words"]
    assert "back of the hand" in proof["words"]
