"""The trade's words: each is met somewhere, none is missing, and none tells anybody to do anything."""

import re
from collections.abc import Iterator
from functools import cache

import pytest

from service_worker.build.glossary import glossary, glossary_module
from service_worker.build.places import HERE
from webapp.procedures.loader import list_procedures, source
from webapp.procedures.validate_safety import OPENS_GAS, PARTS_THE_VENT, RUNS_A_FLAME, RUNS_THE_BLOWER
from webapp.procedures.validate_words import BANNED

ENTRIES = glossary(HERE)
MOST_WORDS = 30
ABBREVIATION = re.compile(r"\b[A-Z][A-Z&/0-9]*[A-Z0-9]\b")
# A sentence that begins so is a step. Steps stand in the checks, where the validator looks at them.
STEP = re.compile(
    r"(?:^|[.;:] )(turn|press|push|pull|light|open|close|shut|remove|lift|unplug|plug|reset|set|check|test|measure|"
    r"read|take|put|fit|hold|try|use|make|never|always|do|keep|leave|wait|switch|clean|tighten|replace|go|call)\b",
    re.IGNORECASE,
)


def texts(value: object) -> Iterator[str]:
    """Every text below a value of a YAML file; ids left out, and sources, which no phone has."""
    if isinstance(value, str):
        if not re.fullmatch(r"[a-z0-9_]+", value):
            yield value
    elif isinstance(value, dict):
        for key, one in value.items():
            if key != "source":
                yield from texts(one)
    elif isinstance(value, list):
        for one in value:
            yield from texts(one)


@cache
def said_in_procedures() -> list[str]:
    return [text for name in list_procedures() for text in texts(source(name))]


@cache
def said_on_the_phone() -> str:
    shell = HERE.phone / "shell"
    files = [*(shell / "screens").glob("*.ts"), *(shell / "components").glob("*.ts"), shell / "words.ts"]
    return "\n".join(path.read_text("utf-8") for path in files if path.name not in {"terms.ts", "glossary.ts"})


def pattern(mark: str) -> re.Pattern[str]:
    """How a mark is found: as the phone does, in small letters at the start of a sentence too."""
    plain = mark.replace("[", "").replace("]", "")
    ignore = re.IGNORECASE if core(mark) == core(mark).lower() else 0
    return re.compile(rf"(?<![A-Za-z0-9]){re.escape(plain)}(?![A-Za-z0-9])", ignore)


def core(mark: str) -> str:
    found = re.search(r"\[(.+)\]", mark)
    return found[1] if found else mark


def test_every_mark_of_every_word_is_met_in_a_procedure_or_on_the_phone() -> None:
    everywhere = "\n".join([*said_in_procedures(), said_on_the_phone()])
    assert len(ENTRIES) > 60
    never = [(one["term"], mark) for one in ENTRIES for mark in one["marks"] if not pattern(mark).search(everywhere)]
    assert never == []


def test_every_abbreviation_in_a_procedure_is_explained() -> None:
    marks = [pattern(mark) for one in ENTRIES for mark in one["marks"]]
    met = {short for text in said_in_procedures() for short in ABBREVIATION.findall(text)}
    assert {"TCO", "LEL", "GFCI", "T&P"} <= met
    assert {
        short for short in met if not any(mark.search(short) or mark.search(f"{short} valve") for mark in marks)
    } == set()


def test_an_entry_is_one_or_two_plain_sentences_of_thirty_words_and_has_a_source() -> None:
    for entry in ENTRIES:
        words = entry["words"]
        assert len(words.split()) <= MOST_WORDS, entry["term"]
        assert words.endswith("."), entry["term"]
        assert 1 <= len(re.findall(r"[.!?](?: |$)", words.replace("in. w.c.", "inches"))) <= 2, entry["term"]
        assert entry["source"], entry["term"]


def test_an_entry_states_no_figure_that_could_be_taken_for_a_limit() -> None:
    assert [one["term"] for one in ENTRIES if re.search(r"\d", one["words"].replace("O2", ""))] == []


def test_an_entry_explains_and_offers_no_step_and_no_way_past_a_safety() -> None:
    runs = (RUNS_A_FLAME, RUNS_THE_BLOWER, PARTS_THE_VENT, OPENS_GAS, STEP)
    assert [one["term"] for one in ENTRIES if any(rule.search(one["words"]) for rule in runs)] == []
    assert [one["term"] for one in ENTRIES if any(map(BANNED.search, texts(dict(one))))] == []


@pytest.mark.parametrize(
    "planted", ["It opens hot. Press the button.", "Never touch it.", "Light it by its label.", "Turn the cock."]
)
def test_a_step_that_is_planted_is_found(planted: str) -> None:
    assert STEP.search(planted)


def test_no_two_entries_claim_the_same_words() -> None:
    claimed = [(core(mark).lower(), one["term"]) for one in ENTRIES for mark in one["marks"]]
    owners = {words: {term for other, term in claimed if other == words} for words, _ in claimed}
    assert {words: terms for words, terms in owners.items() if len(terms) > 1} == {}
    assert len({one["term"] for one in ENTRIES}) == len(ENTRIES)


def test_the_phone_is_told_a_source_only_where_there_is_one() -> None:
    module = glossary_module(HERE)
    assert "no source" not in module
    assert "ANSI Z21.22, from memory" in module
