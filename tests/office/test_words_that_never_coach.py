"""No word of the office talks a caller through a heater: resets are only asked about, and nobody is told to relight."""

from __future__ import annotations

import ast
import re
from pathlib import Path

import pytest

import webapp.office
import webapp.sites

HERE = [Path(str(package.__file__)).parent for package in (webapp.office, webapp.sites)]
SOURCES = sorted(path for folder in HERE for path in folder.rglob("*") if path.suffix in (".py", ".html"))
RESET = re.compile(r"[^.<>\"“”\n]*\bresets?\b[^.<>\"“”\n]*", re.IGNORECASE)
RELIGHT = re.compile(r"[^.<>\"“”\n]*\brelight\w*\b[^.<>\"“”\n]*", re.IGNORECASE)
ONLY_ASKED = re.compile(r"resets? (were )?tried|resets_tried|tried already", re.IGNORECASE)
FORBIDDEN = re.compile(
    r"nuisance trip|\bbypass|\bjumper|just reset|press the button|hold the (button|knob)|turn (it|the gas) back on",
    re.IGNORECASE,
)


def words_of(path: Path) -> list[str]:
    """What a person may come to read: the texts of a module, a template without its commands."""
    source = path.read_text("utf-8")
    if path.suffix == ".py":
        nodes = ast.walk(ast.parse(source))
        return [node.value for node in nodes if isinstance(node, ast.Constant) and isinstance(node.value, str)]
    return re.split(r"{%.*?%}|<[^>]*>", source, flags=re.DOTALL)


@pytest.mark.parametrize("path", SOURCES, ids=lambda path: path.name)
def test_no_office_word_coaches_a_reset_or_a_relight(path: Path) -> None:
    for text in words_of(path):
        for found in RESET.finditer(text):
            assert ONLY_ASKED.search(found[0]), found[0]
        for said in RELIGHT.finditer(text):
            assert re.search(r"(do not|never|nobody) relight", said[0], re.IGNORECASE), said[0]
        assert not FORBIDDEN.search(text)


def test_the_sweep_finds_what_it_looks_for() -> None:
    assert FORBIDDEN.search("Just reset it and see.")
    assert RELIGHT.search("Then relight it.")
    assert not ONLY_ASKED.search("Press reset once")
    assert RESET.search("Press reset once")
    assert any("relight" in path.read_text("utf-8").lower() for path in SOURCES)
    assert len(SOURCES) > 30
