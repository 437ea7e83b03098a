from __future__ import annotations

import re

import pytest

from webapp.jobsheet.plain_checks import ANSWERS, TITLES, answer_words
from webapp.jobsheet.plain_numbers import PLAIN
from webapp.jobsheet.plain_words import (
    CAUSES,
    ENDED,
    FIRST_LOOKS,
    INSTRUMENTS,
    LOOKS,
    NO_FIRE,
    PHOTOS,
    REPAIRS,
    UNTOLD,
    sentence,
)
from webapp.jobsheet.signature import strokes_of, svg_path
from webapp.jobsheet.word_list import words_used
from webapp.procedures.loader import compiled, list_procedures
from webapp.sites.procedure_words import ProcedureWords
from webapp.trade.bodies import CLOSE_STATES, INSTRUMENT_KINDS, PHOTO_ABOUT

PROCEDURES = [compiled(name) for name in list_procedures()]
TRADE_IN_A_LINE = re.compile(
    r"\b(terminal|suction|restrictor|reducer|elbow|dilution|limit|tap|T&P|tco|eco|couple|pile|volts|amps|ohms?"
    r"|a call|chain|igniter|probe|manifold|flue|sensing|rumble|roll-out|spill marks|O2|trial|hood and vent|drop-out)\b",
    re.IGNORECASE,
)
TRADE_ONLY = ("terminal", "suction", "restrictor", "manometer", "dilution", "tco", "eco", "limit itself")


@pytest.mark.parametrize("procedure", PROCEDURES, ids=lambda one: one["name"])
def test_every_cause_repair_and_closing_look_that_is_shipped_has_plain_words(procedure) -> None:
    told = {"causes": CAUSES, "repairs": REPAIRS, "closing_looks": LOOKS}
    missing = {group: [one["id"] for one in procedure[group] if one["id"] not in told[group]] for group in told}
    assert missing == {"causes": [], "repairs": [], "closing_looks": []}


@pytest.mark.parametrize("procedure", PROCEDURES, ids=lambda one: one["name"])
def test_what_stops_a_visit_at_its_start_has_plain_words(procedure) -> None:
    first = [check for check in procedure["checks"] if check["id"] in procedure["gate"]]
    stops = {(check["id"], one["id"]) for check in first for one in check["outcomes"] if one.get("unsafe")}
    assert stops
    assert stops - FIRST_LOOKS.keys() == set()


def test_plain_words_of_first_looks_are_for_answers_that_are_shipped() -> None:
    shipped = {
        (c["id"], one["id"]) for p in PROCEDURES for c in p["checks"] if c["id"] in p["gate"] for one in c["outcomes"]
    }
    assert FIRST_LOOKS.keys() - shipped == set()


def test_what_tells_of_no_burner_is_an_answer_to_a_check_that_fires_it() -> None:
    fires = {(c["id"], one["id"]) for p in PROCEDURES for c in p["checks"] if c.get("fires") for one in c["outcomes"]}
    assert {(check, outcome) for check, outcomes in NO_FIRE.items() for outcome in outcomes} - fires == set()


def test_the_part_that_keeps_the_gas_open_has_one_name() -> None:
    told = " ".join([*CAUSES.values(), *REPAIRS.values(), *TITLES.values(), *PLAIN.values()])
    assert not re.search("part in the pilot flame|part that keeps the gas open|pilot's generator", told)


def test_plain_words_are_for_something_that_is_shipped() -> None:
    for group, told in (("causes", CAUSES), ("repairs", REPAIRS), ("closing_looks", LOOKS)):
        shipped = {one["id"] for procedure in PROCEDURES for one in procedure[group]}
        assert set(told) - shipped == set(), group


@pytest.mark.parametrize("procedure", PROCEDURES, ids=lambda one: one["name"])
def test_every_check_that_is_shipped_has_a_plain_title(procedure) -> None:
    assert [check["id"] for check in procedure["checks"] if check["id"] not in TITLES] == []


@pytest.mark.parametrize("procedure", PROCEDURES, ids=lambda one: one["name"])
def test_no_line_about_a_check_needs_the_trades_own_words(procedure) -> None:
    words = ProcedureWords(procedure)
    told = [
        f"{TITLES[check['id']]}: {answer_words(check['id'], one['id'], words)}"
        for check in procedure["checks"]
        for one in check["outcomes"]
        if one["id"] not in UNTOLD.get(check["id"], ())
    ]
    assert [line for line in told if TRADE_IN_A_LINE.search(line)] == []


def test_plain_words_of_checks_are_for_what_is_shipped() -> None:
    shipped = {(check["id"], one["id"]) for p in PROCEDURES for check in p["checks"] for one in check["outcomes"]}
    assert ANSWERS.keys() - shipped == set()
    assert TITLES.keys() - {check for check, _ in shipped} == set()
    assert ANSWERS.keys() & FIRST_LOOKS.keys() == set()


def test_plain_words_are_sentences_without_the_trades_own_words() -> None:
    for words in [*CAUSES.values(), *REPAIRS.values(), *ENDED.values()]:
        assert words == sentence(words)
        assert not [trade for trade in TRADE_ONLY if trade in words.casefold().split()], words


def test_every_end_of_a_job_instrument_and_sort_of_photo_has_words() -> None:
    assert ENDED.keys() == set(CLOSE_STATES)
    assert INSTRUMENTS.keys() == set(INSTRUMENT_KINDS)
    assert PHOTOS.keys() == set(PHOTO_ABOUT) - {"check", "other"}


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("0.31 in. w.c.", ["in. w.c."]),
        ("Terminals: clear", ["Terminal"]),
        ("the company decided", []),
        ("CO 3 ppm", ["CO", "ppm"]),
        ("0.4 Ω", ["ohm"]),
        ("Papa came home", []),
        ("ventilated", []),
    ],
)
def test_only_the_words_that_stand_on_a_sheet_are_explained(text: str, words: list[str]) -> None:
    assert [word for word, _ in words_used(text)] == words


@pytest.mark.parametrize(
    ("path", "drawn"),
    [
        (None, ""),
        ("", ""),
        ("M10 20L30 40M5 5", "M10 20 L30 40 M5 5 L5 5"),
        ("M900 20L30 -40", "M600 20 L30 0"),
        ("L1 2", "M1 2 L1 2"),
        ('M1 2L3 4"/><script>', "M1 2 L3 4"),
        ("M1 2C3 4 5 6 7 8", "M1 2 L1 2"),
    ],
)
def test_of_a_signature_only_lines_inside_its_box_are_drawn(path: str | None, drawn: str) -> None:
    assert svg_path(strokes_of(path)) == drawn
