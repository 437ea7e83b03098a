import pytest

from service_worker.build.places import HERE
from service_worker.build.trade_types import UnknownTypeError, trade_types

MODULE = '''
from __future__ import annotations
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import Any, Literal, NotRequired, TypedDict

    Verdict = Literal["good", "bad"]
    Pair = tuple[str, float]

    class Reading(TypedDict):
        """A number
        with a place."""

        value: float
        place: NotRequired[str]
        verdict: Verdict | None

    class Record(TypedDict, total=False):
        readings: list[Reading]
        by_check: dict[str, list[Reading | None]]
        rest: Any

    class LongRecord(Record):
        pairs: list[Pair]
'''


@pytest.fixture
def types(tmp_path):
    (tmp_path / "record.py").write_text(MODULE, "utf-8")
    return trade_types(tmp_path)


def test_a_typed_dict_becomes_an_interface_with_its_words(types):
    assert "/** A number with a place. */\nexport interface Reading {\n  value: number;\n" in types


def test_what_may_be_missing_has_a_question_mark(types):
    assert "  place?: string;\n" in types
    assert "  readings?: Reading[];\n" in types


def test_an_alias_of_literals_becomes_a_union(types):
    assert 'export type Verdict = "good" | "bad";' in types
    assert "  verdict: Verdict | null;\n" in types


def test_lists_of_unions_keep_their_brackets(types):
    assert "  by_check?: { [key: string]: (Reading | null)[] };\n" in types


def test_record_gets_another_name_because_typescript_has_its_own(types):
    assert "export interface Record_ {" in types
    assert "export interface LongRecord extends Record_ {" in types


@pytest.mark.parametrize("annotation", ["Unheard", "bytes", "list[Unheard]", "set[complex]"])
def test_a_type_that_cannot_be_said_stops_the_build(tmp_path, annotation):
    (tmp_path / "record.py").write_text(MODULE + f"\n    class Odd(TypedDict):\n        what: {annotation}\n", "utf-8")
    with pytest.raises(UnknownTypeError):
        trade_types(tmp_path)


def test_one_name_with_two_meanings_stops_the_build(tmp_path):
    (tmp_path / "a.py").write_text(MODULE, "utf-8")
    (tmp_path / "b.py").write_text(MODULE.replace("value: float", "value: str"), "utf-8")
    with pytest.raises(UnknownTypeError):
        trade_types(tmp_path)


def test_the_types_that_the_shell_imports_are_there():
    types = trade_types(HERE.webapp / "trade")
    for name in ("Event", "Record_", "Procedure", "WalkAdvice", "HistoryEntry"):
        assert f"export interface {name} " in types or f"export type {name} " in types, name
