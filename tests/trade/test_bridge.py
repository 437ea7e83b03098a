"""The bridge: JSON in, JSON out; every refusal has a name; what is too big is refused; nothing raises."""

from __future__ import annotations

import io
import json
from pathlib import Path

import pytest

from tests.trade.making import answered, event, small_procedure
from webapp.trade import procedure_cache
from webapp.trade.__main__ import MEANINGS, main
from webapp.trade.arguments import MOST_ITEMS
from webapp.trade.calls import CALLS
from webapp.trade.errors import CODES
from webapp.trade.phone import MOST_TEXT, call

SMALL = small_procedure({"a": 1.0}, {"c": {"good": {"a": 1.0}}}, c={"rule": "rule_of_tomorrow"})
ROOT = Path(__file__).resolve().parents[2]


@pytest.mark.parametrize(
    ("name", "args", "code"),
    [
        ("convert", "not json", "bad_json"),
        ("convert", "[1]", "bad_json"),
        ("convert", "", "bad_json"),
        ("no_such_call", "{}", "unknown_call"),
        ("convert", {"value": 1, "from_unit": "Pa"}, "missing_argument"),
        ("convert", {"value": "1", "from_unit": "Pa", "to_unit": "kPa"}, "bad_argument"),
        ("convert", {"value": True, "from_unit": "Pa", "to_unit": "kPa"}, "bad_argument"),
        ("convert", '{"value": 1e400, "from_unit": "Pa", "to_unit": "kPa"}', "bad_argument"),
        ("convert", {"value": 1, "from_unit": "Pa", "to_unit": "furlong"}, "unknown_unit"),
        ("suction_outcome", {"suction_in_wc": 1, "make_point_in_wc": 1, "tap": "sideways"}, "bad_argument"),
        ("step", {"procedure_hash": "nobody", "events": []}, "procedure_not_loaded"),
        ("step", {"events": []}, "procedure_not_loaded"),
        ("rank", {"procedure_hash": "nobody", "evidence": []}, "procedure_not_loaded"),
        ("load_procedure", {"procedure": {"hash": "h"}}, "bad_procedure"),
        ("load_procedure", {"procedure": 3}, "bad_argument"),
        ("fold_job", {"events": {}}, "bad_argument"),
        ("load_procedure", {"procedure": {**SMALL, "gate": None}}, "bad_procedure"),
        ("load_procedure", {"procedure": {**SMALL, "checks": [3]}}, "bad_procedure"),
        ("load_procedure", {"procedure": {**SMALL, "checks": [{"rows": {"good": [1, 0]}}]}}, "bad_procedure"),
        ("load_procedure", {"procedure": {**SMALL, "causes": []}}, "bad_procedure"),
        ("propose_outcome", {"procedure": SMALL, "check": "nowhere", "readings": []}, "bad_argument"),
        ("propose_outcome", {"procedure": SMALL, "check": "c", "readings": [{"value": "3"}]}, "bad_argument"),
        ("propose_outcome", {"procedure": SMALL, "check": "c", "readings": []}, "bad_procedure"),
        ("rank", {"procedure": SMALL, "evidence": [], "failed": [1]}, "bad_argument"),
        ("rank", {"procedure": SMALL, "evidence": [1]}, "bad_argument"),
        ("chain_volts", {"source_v": 1, "load_ohm": 1, "meter_ohm": 1, "contact_ohms": ["a"]}, "bad_argument"),
        ("chain_from_voltages", {"contacts": [], "to_common_v": [1], "low_impedance": 1}, "bad_argument"),
        ("fold_job", {"events": [None] * (MOST_ITEMS + 1)}, "too_big"),
        ("propose_outcome", {"procedure_hash": "nobody", "check": "x", "readings": []}, "procedure_not_loaded"),
    ],
)
def test_a_refusal_has_a_name_on_both_engines(name, args, code, both):
    answer = both(name, args)
    assert answer["error"]["code"] == code
    assert answer["error"]["message"]
    assert code in [known for known, _words in CODES]


def test_too_much_text_is_refused_before_it_is_read():
    assert json.loads(call("fold_job", "[" * (MOST_TEXT + 1)))["error"]["code"] == "too_big"


def test_a_fault_of_ours_is_an_answer_too_and_shows_no_exception(both):
    broken = {"hash": "h", "causes": [{}], "checks": [], "repairs": [], "gate": [], "may_fire": [], "senses": []}
    answer = both("load_procedure", {"procedure": broken})
    assert answer == {"error": {"code": "internal", "message": "A fault of ours. The record is untouched."}}


def test_a_procedure_can_come_with_the_call_instead_of_its_hash(both, power_vent):
    named = both("step", {"procedure_hash": power_vent["hash"], "events": []})
    carried = both("step", {"procedure": power_vent, "events": []})
    assert named == carried


def test_the_oldest_procedure_goes_when_too_many_are_held(power_vent):
    first = {**power_vent, "hash": "first"}
    procedure_cache.load(first)
    for number in range(procedure_cache.MOST_HELD):
        procedure_cache.load({**power_vent, "hash": f"h{number}"})
    assert (
        json.loads(call("step", json.dumps({"procedure_hash": "first", "events": []})))["error"]["code"]
        == "procedure_not_loaded"
    )
    procedure_cache.load(power_vent)


def test_every_call_says_what_it_does_and_in_which_unit():
    for name, _function, words, described in CALLS:
        assert words.endswith("."), name
        assert described, name
        for argument, _holds in described:
            assert MEANINGS[argument], f"{name}.{argument}"
    assert len({name for name, *_rest in CALLS}) == len(CALLS)


def test_every_call_and_every_code_is_in_the_docs():
    text = (ROOT / "docs/trade.md").read_text(encoding="utf-8")
    for name, *_rest in CALLS:
        assert f"`{name}`" in text, name
    for code, _words in CODES:
        assert f"`{code}`" in text, code


def test_the_command_line_lists_the_calls_and_runs_one(capsys, monkeypatch):
    assert main(["--list"]) == 0
    assert "suction_in_wc (number): in. w.c." in capsys.readouterr().out
    monkeypatch.setattr("sys.stdin", io.StringIO('{"value": 212, "from_unit": "degF", "to_unit": "degC"}'))
    assert main(["convert"]) == 0
    assert json.loads(capsys.readouterr().out)["ok"]["value"] == pytest.approx(100)
    monkeypatch.setattr("sys.stdin", io.StringIO("{}"))
    assert main(["convert"]) == 1
    assert main([]) == 2


def test_a_step_late_in_a_long_job_is_quick_on_the_phones_engine(phone, power_vent, both):
    """The whole act has 100 ms at 4x slowdown; this leaves room for that on a quiet machine. Measured: about 10 ms."""
    events = [event(1, "job_opened", {"procedure_hash": power_vent["hash"]})]
    for number, check in enumerate(power_vent["checks"][:-1], start=2):
        events.append(answered(number, check["id"], check["outcomes"][0]["id"]))
    args = json.dumps({"procedure_hash": power_vent["hash"], "events": events})
    times = sorted(phone("step", args)["ms"] for _ in range(9))
    assert times[0] < 100
