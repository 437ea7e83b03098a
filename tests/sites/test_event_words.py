"""Every event has its line in the timeline, and no line says what the trade does not say."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from tests.sites.stories import PROCEDURE
from webapp.procedures import compiled, list_procedures
from webapp.sites.event_words import SENTENCES, sentence
from webapp.sites.procedure_words import ProcedureWords, could_not, number_words, split_unit
from webapp.trade.bodies import CLOSE_STATES, REASONS_2, SHAPES

GOLDEN = sorted((Path(__file__).parents[1] / "trade" / "golden").glob("*.json"))
BANNED = ("nuisance", "bypass", "just reset", "callback", "none", "null", "{", "_")


RAW_TIME = re.compile(r"\d{4}-\d\d-\d\d|\d\d:\d\d:\d\d")


def golden_events(path: Path) -> list[Any]:
    return [event for event in json.loads(path.read_text("utf-8"))["events"] if event["kind"] in SENTENCES]


@pytest.mark.parametrize("path", GOLDEN, ids=lambda path: path.stem)
def test_every_shipped_kind_is_one_line_of_plain_words(path: Path) -> None:
    for words in (ProcedureWords(None), ProcedureWords(PROCEDURE)):
        for event in golden_events(path):
            title, said, detail = sentence(event, words, {})
            told = f"{title} {said.words if said else ''} {detail}"
            assert title[0].isupper()
            assert [bad for bad in BANNED if bad in told.lower()] == []
            assert not RAW_TIME.search(told), told


def test_every_kind_and_schema_that_the_fold_reads_has_its_sentence() -> None:
    assert {kind for kind, _schema in SHAPES} == set(SENTENCES)


def test_a_body_that_cannot_be_read_is_told_with_the_field_that_is_wrong() -> None:
    event: Any = golden_events(GOLDEN[0])[0] | {"kind": "note", "body": {"words": 7}}
    assert sentence(event, ProcedureWords(None), {})[0] == "Could not be read: note, its words; it is kept as it came"


@pytest.mark.parametrize("name", list_procedures())
def test_every_answer_of_a_shipped_procedure_has_words_and_a_verdict_in_words(name: str) -> None:
    words = ProcedureWords(dict(compiled(name)))
    for check in words.checks.values():
        assert words.check(check["id"]) == check["title"]
        for outcome in check["outcomes"]:
            said = words.outcome(check["id"], outcome["id"])
            assert said.words == outcome["words"]
            assert said.verdict_words in ("good", "doubtful", "bad")


@pytest.mark.parametrize("name", list_procedures())
def test_every_reading_of_a_shipped_procedure_is_shown_with_its_unit(name: str) -> None:
    words = ProcedureWords(dict(compiled(name)))
    for check in words.checks.values():
        for reading in check["readings"]:
            shown, unit = words.reading(check["id"], reading["quantity"])
            assert shown == reading["words"]
            assert unit or reading["unit"] == "count"
            assert "deg" not in unit


@pytest.mark.parametrize(
    ("quantity", "words", "unit"),
    [
        ("suction_hot_in_wc", "suction hot", "in. w.c."),
        ("limit_ohm", "limit", "Ω"),
        ("insulation_mohm", "insulation", "MΩ"),
        ("water_temp_f", "water temp", "°F"),
        ("straight_ft", "straight", "ft"),
        ("nominal_in", "nominal", "in."),
        ("flame_ua", "flame", "µA"),
        ("input_btu_h", "input", "Btu/h"),
        ("restarts", "restarts", ""),
    ],
)
def test_a_quantity_without_a_procedure_is_shown_by_the_tail_of_its_name(quantity: str, words: str, unit: str) -> None:
    assert split_unit(quantity) == (words, unit)


@pytest.mark.parametrize(
    ("value", "shown"),
    [(0.31, "0.31"), (-0.31, "\u22120.31"), (40000.0, "40000"), (0.0, "0"), (1 / 3, "0.333333"), (True, "unreadable")],
)
def test_a_number_is_shown_as_it_was_typed_and_not_longer(value: object, shown: str) -> None:
    assert number_words(value) == shown


def test_every_reason_and_every_way_to_close_has_words() -> None:
    for reason in REASONS_2:
        assert "_" not in could_not(reason).words
        assert could_not(reason).verdict in ("cannot_tell", "not_checked")
    for state in CLOSE_STATES:
        event: Any = golden_events(GOLDEN[0])[0] | {"kind": "job_closed", "body": {"state": state}}
        assert "_" not in sentence(event, ProcedureWords(None), {})[0]


@pytest.mark.parametrize(
    ("out", "told"), [(True, "out again"), (False, "whoever closed it was still below"), (None, "")]
)
def test_a_close_says_whether_whoever_closed_it_was_out(out: bool | None, told: str) -> None:
    body = {"state": "proven"} | ({} if out is None else {"out": out})
    event: Any = golden_events(GOLDEN[0])[0] | {"kind": "job_closed", "schema": 1 if out is None else 2, "body": body}
    title, _said, detail = sentence(event, ProcedureWords(None), {})
    assert (title, detail) == ("Closed: repaired, held in the hot run", told)
