"""Each rule of the validator refuses a procedure that breaks it, and says which check and why."""

from __future__ import annotations

import copy

import pytest

from webapp.procedures import loader
from webapp.procedures.__main__ import main
from webapp.procedures.compile import compile_procedure
from webapp.procedures.loader import BadProcedureError, compiled, source
from webapp.procedures.validate import problems
from webapp.procedures.validate_words import BANNED


@pytest.fixture(scope="module")
def written():
    return source("power_vent")


@pytest.fixture
def good(written):
    return copy.deepcopy(written)


def check(procedure, check_id):
    return next(one for one in procedure["checks"] if one["id"] == check_id)


def cause(procedure, cause_id):
    return next(one for one in procedure["causes"] if one["id"] == cause_id)


def break_shape(procedure):
    del procedure["may_fire"]


def no_question(procedure):
    check(procedure, "terminal")["question"] = ""


def no_normal(procedure):
    del check(procedure, "terminal")["normal"]


def none_not_last(procedure):
    procedure["causes"].reverse()


def slug(procedure):
    check(procedure, "terminal")["id"] = "K05 Terminal"


def twice(procedure):
    procedure["checks"].append(copy.deepcopy(check(procedure, "terminal")))


def unknown_repair(procedure):
    cause(procedure, "tube_off")["repairs"] = ["magic"]


def no_repair(procedure):
    cause(procedure, "tube_off")["repairs"] = []


def no_proof(procedure):
    cause(procedure, "tube_off")["proof_words"] = ""


def unknown_gate(procedure):
    procedure["gate"].append("magic")


def unknown_need(procedure):
    check(procedure, "plume")["needs"] = [{"check": "magic", "outcomes": ["x"], "words": "w"}]


def unknown_need_outcome(procedure):
    check(procedure, "plume")["needs"] = [{"check": "gas_off", "outcomes": ["magic"], "words": "w"}]


def unknown_sense(procedure):
    check(procedure, "terminal")["sense"] = "nose"


def no_minutes(procedure):
    check(procedure, "terminal")["minutes"] = 90


def unknown_part(procedure):
    check(procedure, "terminal")["part"] = "magic"


def four_lines(procedure):
    check(procedure, "terminal")["how"] = ["a", "b", "c", "d"]


def wait_without_clock(procedure):
    del check(procedure, "suction_hot")["wait_minutes"]


def clock_of_another_wait(procedure):
    check(procedure, "flue_gas")["wait_minutes"] = 3


def clock_without_wait(procedure):
    check(procedure, "terminal")["wait_minutes"] = 5


def long_line(procedure):
    check(procedure, "terminal")["how"] = ["a" * 200]


def live_without_caution(procedure):
    check(procedure, "chain_volts")["caution"] = "Take care."


def fires_without_caution(procedure):
    check(procedure, "watch_cycle")["caution"] = "Take care of the cost."


def fires_and_needed(procedure):
    check(procedure, "terminal").update(fires=True, caution="CO meter on")


def says_nothing_of_its_source(procedure):
    del check(procedure, "slope")["source"]


def is_so_because(procedure):
    check(procedure, "slope")["source"] = "everybody knows"


def undone_by_magic(procedure):
    check(procedure, "plug_out")["undone_by"] = "magic"


def one_outcome(procedure):
    check(procedure, "plug_out")["outcomes"] = check(procedure, "plug_out")["outcomes"][:1]


def odd_verdict(procedure):
    check(procedure, "terminal")["outcomes"][0]["verdict"] = "fine"


def bad_first(procedure):
    check(procedure, "terminal")["outcomes"][0]["verdict"] = "bad"


def no_likelihoods(procedure):
    del check(procedure, "slope")["likelihoods"]


def likelihoods_of_the_normal(procedure):
    check(procedure, "slope")["likelihoods"]["falls_right"] = {"else": 0.5}


def no_else(procedure):
    del check(procedure, "slope")["likelihoods"]["water_heard"]["else"]


def likelihood_of_a_stranger(procedure):
    check(procedure, "slope")["likelihoods"]["water_heard"]["magic"] = 0.5


def over_one(procedure):
    check(procedure, "slope")["likelihoods"]["water_heard"]["water_in_sag"] = 1.5


def row_over_one(procedure):
    check(procedure, "slope")["likelihoods"]["water_heard"]["water_in_sag"] = 0.7


def nothing_left_for_normal(procedure):
    check(procedure, "slope")["likelihoods"]["water_heard"]["water_in_sag"] = 0.4


def unreachable(procedure):
    for one in procedure["checks"]:
        for row in (one.get("likelihoods") or {}).values():
            row.pop("tube_off", None)


def twins(procedure):
    for one in procedure["checks"]:
        for row in (one.get("likelihoods") or {}).values():
            row.pop("tube_wet", None)
            if "tube_off" in row:
                row["tube_wet"] = row["tube_off"]


def banned_word(procedure):
    check(procedure, "chain_volts")["how"][0] = "Jumper the switch for a moment."


@pytest.mark.parametrize(
    ("breaks", "words"),
    [
        (break_shape, "missing: may_fire"),
        (no_question, "terminal: missing question"),
        (no_normal, "terminal: missing normal"),
        (none_not_last, "the last cause must be none_of_these"),
        (slug, "is not a slug"),
        (twice, "checks: terminal is there twice"),
        (unknown_repair, "tube_off: unknown repair magic"),
        (no_repair, "tube_off: no repair"),
        (no_proof, "tube_off: needs a weight above 0 and proof words"),
        (unknown_gate, "gate: unknown check magic"),
        (unknown_need, "plume: needs unknown check magic"),
        (unknown_need_outcome, "the need of gas_off has no words or unknown outcomes"),
        (unknown_sense, "terminal: needs a sense"),
        (no_minutes, "terminal: needs a sense and minutes"),
        (unknown_part, "terminal: unknown part magic"),
        (four_lines, "terminal: how: 1 to 3 lines"),
        (wait_without_clock, "suction_hot: wait_minutes must be a wait that its steps state: [10]"),
        (clock_of_another_wait, "flue_gas: wait_minutes must be a wait that its steps state: [5]"),
        (clock_without_wait, "terminal: wait_minutes must be a wait that its steps state: none"),
        (long_line, "terminal: how: 1 to 3 lines"),
        (live_without_caution, "chain_volts: a live check needs a caution about shock"),
        (fires_without_caution, "watch_cycle: fires the burner, and its caution does not say 'CO meter on'"),
        (fires_and_needed, "terminal: fires, and is itself needed before firing"),
        (says_nothing_of_its_source, "slope: missing source"),
        (is_so_because, "slope: source: says neither whence its steps are nor that there is no source"),
        (undone_by_magic, "plug_out: undone_by is power, firing, parting or flame"),
        (one_outcome, "plug_out: needs at least two outcomes"),
        (odd_verdict, "terminal: outcome clear needs words and a verdict"),
        (bad_first, "terminal: the first outcome is the normal one"),
        (no_likelihoods, "slope: no likelihoods"),
        (likelihoods_of_the_normal, "slope: likelihoods name every outcome but the first"),
        (no_else, "slope: likelihoods of water_heard"),
        (likelihood_of_a_stranger, "slope: likelihoods of water_heard"),
        (over_one, "slope: likelihoods of water_heard: between 0 and 1"),
        (row_over_one, "slope: water_in_sag does not sum to one"),
        (nothing_left_for_normal, "slope: water_in_sag does not sum to one, or leaves nothing"),
        (unreachable, "tube_off: no outcome raises it"),
        (twins, "tube_off and tube_wet: no check tells them apart"),
        (banned_word, "the words 'Jumper' may not stand in a procedure"),
    ],
    ids=lambda one: getattr(one, "__name__", ""),
)
def test_a_procedure_that_breaks_a_rule_is_refused_with_its_reason(breaks, words, good):
    breaks(good)
    assert [one for one in problems(good) if words in one], problems(good)[:5]


@pytest.mark.parametrize(
    "text",
    [
        "Jumper it.",
        "jumpering the limit",
        "Bypass the switch",
        "by-pass",
        "defeat the interlock",
        "Short across the contacts",
        "Bridge the terminals",
        "Tape it back",
        "Hold the switch closed",
        "a nuisance trip",
        "just reset it",
        "callback",
        "the unit",
        "Wire it straight",
        "strapped out",
        "block open",
    ],
)
def test_words_that_offer_to_get_round_a_safety_are_banned(text):
    assert BANNED.search(text)


@pytest.mark.parametrize(
    "text", ["straps to slope", "community", "Open to the bore", "tape measure", "shorten the run"]
)
def test_plain_words_of_the_trade_are_not(text):
    assert not BANNED.search(text)


def test_none_of_these_gains_and_loses_nothing_by_any_answer(good):
    """Its row is the average of the others: the chance of each outcome is the same with and without it."""
    procedure = compile_procedure(good)
    priors = [one["prior"] for one in procedure["causes"]]
    for one in procedure["checks"]:
        for outcome, row in one["rows"].items():
            average = sum(p * row[h] for h, p in enumerate(priors))
            assert row[-1] == pytest.approx(average, abs=1e-7), f"{one['id']} {outcome}"


def test_a_procedure_that_does_not_pass_is_never_handed_out(monkeypatch, good):
    break_shape(good)
    loader._compiled.cache_clear()
    monkeypatch.setattr(loader, "source", lambda _name: good)
    with pytest.raises(BadProcedureError) as raised:
        compiled("power_vent")
    assert raised.value.problems == ["missing: may_fire"]
    loader._compiled.cache_clear()


def test_an_unknown_name_is_a_key_error():
    with pytest.raises(KeyError):
        source("no_such_heater")


def test_the_command_line_sums_up_and_prints_the_compiled_form(capsys, monkeypatch, good):
    assert main([]) == 0
    assert "28 causes" in capsys.readouterr().out
    assert main(["--compiled", "power_vent"]) == 0
    assert capsys.readouterr().out.strip().startswith('{"causes":')
    break_shape(good)
    monkeypatch.setattr("webapp.procedures.__main__.source", lambda _name: good)
    assert main([]) == 1
    assert "missing: may_fire" in capsys.readouterr().out
