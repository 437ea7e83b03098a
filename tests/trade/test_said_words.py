"""Free words that mention gas, an alarm or somebody unwell, and whether anybody asked."""

from __future__ import annotations

import pytest

from tests.trade.making import answered, event
from webapp.trade import said_words
from webapp.trade.said_words import mentioned_in

NOBODY_ASKED = {"smell_of_gas": "not_asked", "co_alarm": "not_asked", "unwell": "not_asked", "water_leak": "not_asked"}


@pytest.mark.parametrize(
    ("words", "questions"),
    [
        ("No hot water, and it smells gas", ["smell_of_gas"]),
        ("Gas smell by the tank", ["smell_of_gas"]),
        ("GAS-SMELL", ["smell_of_gas"]),
        ("there is a smell, like propane maybe", ["smell_of_gas"]),
        ("rotten eggs in the cellar", ["smell_of_gas"]),
        ("gas is leaking", ["smell_of_gas"]),
        ("smells of eggs down there", ["smell_of_gas"]),
        ("a sulphur smell since noon", ["smell_of_gas"]),
        ("egg stuck in the drain", []),
        ("the thing on the ceiling is beeping", ["co_alarm"]),
        ("dad collapsed in the cellar", ["unwell"]),
        ("hard to breathe in there", ["unwell"]),
        ("wife is dizzy", ["unwell"]),
        ("ill since yesterday, and the kids are ill", ["unwell"]),
        ("still will fill", []),
        ("He passed out. The alarm went off!", ["co_alarm", "unwell"]),
        ("CO detector beeps, headaches, smelled gas", ["smell_of_gas", "co_alarm", "unwell"]),
        ("gas valve changed last year, gas water heater from 2019", []),
        ("smells of paint; no hot water since Sunday", []),
        ("still warm, faint glow, gasket wet", []),
        ("", []),
        ("Übel riecht es, Gäste da", []),
        ("\u212a\u0130 \U0001f525", []),
    ],
)
def test_words_that_touch_a_question(words, questions, both):
    assert mentioned_in(words) == questions
    assert len(both("mentioned", {"words": words})["ok"]) == len(questions)


def test_no_word_of_the_lists_is_passed_over_by_the_quick_look():
    for word in said_words._ALARM + said_words._SMELLS_LIKE + said_words._UNWELL:
        assert said_words._may_mention(word), word
    for pair in said_words._UNWELL_PAIRS:
        assert said_words._may_mention(" ".join(pair)), pair
    for word in said_words._SMELL:
        assert said_words._may_mention(f"gas {word}"), word
    assert not said_words._may_mention("still, the water on the floor is cold, and the pipe is warm " * 30)


def test_what_is_said_is_a_question_and_no_verdict(both):
    said = both("mentioned", {"words": "smells gas, alarm, dizzy"})["ok"]
    assert said == [
        "The words mention gas: ask.",
        "The words mention an alarm: ask.",
        "The words mention somebody unwell: ask.",
    ]


def test_words_that_deny_it_are_asked_about_too_and_no_line_says_that_somebody_forgot(both):
    """Whoever wrote "no smell of gas" may not have asked: the line says what the words mention, and what to do."""
    for words in ("No smell of gas", "says there is no gas smell", "nobody ill, no alarm"):
        for line in both("mentioned", {"words": words})["ok"]:
            assert line.startswith("The words mention ")
            assert line.endswith(": ask.")
    assert len(both("mentioned", {"words": "No smell of gas, no alarm, nobody unwell"})["ok"]) == 3


def step(both, shipped, *events):
    booked = {"complaint": shipped["complaints"][0]["id"], "complaint_words": "no hot water, smells gas",
              "technician_id": "ann", "procedure_name": shipped["name"]}  # fmt: skip
    given = {"procedure_hash": shipped["hash"], "events": [event(1, "job_booked", booked), *events]}
    return both("step", given)["ok"]["advice"]


def asked_of(advice):
    return [one["question"] for one in advice["unasked"]]


def call_taken(number, **answers):
    return event(number, "call_taken", {**NOBODY_ASKED, "lately": [], "said": [], **answers})


def test_the_callers_words_stay_flagged_until_somebody_answers_the_question(both, shipped):
    assert asked_of(step(both, shipped)) == ["smell_of_gas"]
    assert asked_of(step(both, shipped, call_taken(2))) == ["smell_of_gas"]
    for answer in ("no", "yes", "unsure"):
        assert asked_of(step(both, shipped, call_taken(2, smell_of_gas=answer))) == []
    assert asked_of(step(both, shipped, answered(2, "smell_of_gas", None, "no_access"))) == ["smell_of_gas"]
    assert asked_of(step(both, shipped, answered(2, "smell_of_gas", "none"))) == []


def test_what_the_caller_said_elsewhere_counts_too(both, shipped):
    call = call_taken(2, smell_of_gas="no", home_words="his mother, dizzy since morning")
    assert step(both, shipped, call)["unasked"] == [
        {
            "question": "unwell",
            "check": "symptoms",
            "words": "The words mention somebody unwell: ask.",
        }
    ]


def test_a_note_after_the_gates_answer_asks_for_a_new_one(both, shipped):
    call = call_taken(2, smell_of_gas="no")
    gate, note = answered(3, "smell_of_gas", "none"), event(4, "note", {"words": "now it smells of gas down here"})
    assert asked_of(step(both, shipped, call, gate, note)) == ["smell_of_gas"]
    again = answered(5, "smell_of_gas", "none", replaces=["e003"])
    assert asked_of(step(both, shipped, call, gate, note, again)) == []


def test_what_the_office_noted_of_a_second_call_is_answered_by_the_call_that_it_corrects_then(both, shipped):
    first, note = call_taken(2, smell_of_gas="no"), event(3, "note", {"words": "rang again: smells of gas now"})
    assert asked_of(step(both, shipped, first, note)) == ["smell_of_gas"]
    second = dict(NOBODY_ASKED, lately=[], said=[], smell_of_gas="yes")
    corrected = event(4, "call_taken", second, replaces=["e002"])
    assert asked_of(step(both, shipped, first, note, corrected)) == []
    of_another = event(4, "call_taken", second, person_id="ben", device_id="d2")
    assert asked_of(step(both, shipped, first, note, of_another)) == ["smell_of_gas"]


def test_it_decides_nothing(both, shipped):
    """The gate and what comes next are the same with and without the words."""
    plain, note = step(both, shipped), event(2, "note", {"words": "smells gas, alarm, dizzy"})
    flagged = step(both, shipped, note)
    assert asked_of(flagged) == ["smell_of_gas", "co_alarm", "unwell"]
    assert {**flagged, "unasked": []} == {**plain, "unasked": []}
