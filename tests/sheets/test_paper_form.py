"""What is typed on the page of a sheet: what comes out of it, and what is said of what cannot be taken."""

from __future__ import annotations

from typing import Any

import pytest
from werkzeug.datastructures import MultiDict

from webapp.procedures import compiled
from webapp.sheets.paper_form import PaperForm
from webapp.sheets.procedure_paper import paper_of
from webapp.sheets.schemas import SheetBody

PAPER = paper_of(compiled("power_vent"))
NAMED = {"maker_words": "Vossquill", "model_words": "Ember 50"}
ROWS = {"vent_rows": "2", "code_rows": "3"}


def sent(**typed: Any) -> PaperForm:
    form: MultiDict[str, str] = MultiDict()
    for name, value in (NAMED | ROWS | typed).items():
        for one in value if isinstance(value, list) else [value]:
            form.add(name.replace("__", "-"), one)
    return PaperForm.sent(PAPER, form)


def test_the_procedures_own_figures_are_asked_for_and_those_of_the_run_stand_in_the_vent_table() -> None:
    asked = {figure.quantity: figure.unit for figure in PAPER.figures}
    assert asked["make_point_in_wc"] == "in. w.c."
    assert asked["flame_min_ua"] == "µA DC"
    assert not {"limit_ft", "limit_elbows", "feet_per_90"} & set(asked)
    assert "pressure_switch" in dict(PAPER.chain)
    assert not paper_of(compiled("standing_pilot")).has_vent


def test_what_is_typed_becomes_a_body_that_the_contract_takes() -> None:
    form = sent(
        limit__make_point_in_wc=" −0.36 ", where__make_point_in_wc="part_label",
        vent__0__nominal_in="3", vent__0__max_equivalent_ft="60", vent__0__max_elbows="5",
        code__0__flash_groups="2 – 4", code__0__meaning_words="Limit  open",
        code__0__could_be=["vent_limit", "tank_limit"],
        code__1__text="E5", code__1__meaning_words="Flame lost", words="Edition of 2019",
    )  # fmt: skip
    body = form.read()
    assert body is not None, form.faults
    assert SheetBody().validate(body) == {}
    assert body["limits"] == [{"quantity": "make_point_in_wc", "value": -0.36, "where": "part_label"}]
    assert body["vent"] == [
        {"nominal_in": 3.0, "max_equivalent_ft": 60.0, "min_equivalent_ft": None, "max_elbows": 5.0}
        | {"feet_per_elbow_90": None, "feet_per_elbow_45": None}
    ]
    assert body["codes"][0]["could_be"] == ["vent_limit", "tank_limit"]
    assert [(code["flash_groups"], code["text"]) for code in body["codes"]] == [("2-4", None), (None, "E5")]
    assert body["codes"][0]["meaning_words"] == "Limit open"
    opened = PaperForm.opened(PAPER, "Vossquill", "Ember 50", body)
    again = PaperForm.sent(PAPER, MultiDict([*opened.typed.items(), *_ticks(opened)]))
    assert again.read() == body


def _ticks(form: PaperForm) -> list[tuple[str, str]]:
    return [(name, one) for name, some in form.ticks.items() for one in some]


@pytest.mark.parametrize(
    ("typed", "at", "words"),
    [
        ({"maker_words": ""}, "maker_words", "Whose heater"),
        ({"model_words": "x" * 201}, "model_words", "At most 200"),
        ({"limit__make_point_in_wc": "0,36", "where__make_point_in_wc": "plate"}, "limit-make_point_in_wc", "no comma"),
        ({"limit__make_point_in_wc": "nan", "where__make_point_in_wc": "plate"}, "limit-make_point_in_wc", "number"),
        ({"limit__make_point_in_wc": "٣", "where__make_point_in_wc": "plate"}, "limit-make_point_in_wc", "number"),
        ({"limit__make_point_in_wc": "0.36", "where__make_point_in_wc": ""}, "where-make_point_in_wc", "Where"),
        ({"limit__make_point_in_wc": "0.36", "where__make_point_in_wc": "rumour"}, "where-make_point_in_wc", "Where"),
        ({"vent__0__max_equivalent_ft": "-3"}, "vent-0-max_equivalent_ft", "less than nought"),
        ({"vent__0__max_elbows": "2.5"}, "vent-0-max_elbows", "whole number"),
        ({"vent__0__min_equivalent_ft": "9", "vent__0__max_equivalent_ft": "8"}, "vent-0-min_equivalent_ft", "wrong"),
        ({"vent__0__nominal_in": "3", "vent__1__nominal_in": "3.0"}, "vent-1-nominal_in", "already"),
        ({"code__0__flash_groups": "two-four", "code__0__meaning_words": "x"}, "code-0-flash_groups", "2-4"),
        ({"code__0__flash_groups": "2-0", "code__0__meaning_words": "x"}, "code-0-flash_groups", "2-4"),
        ({"code__0__flash_groups": "1-2-3-4-5-6-7", "code__0__meaning_words": "x"}, "code-0-flash_groups", "2-4"),
        ({"code__0__flash_groups": "2-4"}, "code-0-meaning_words", "What does the maker say"),
        ({"code__0__meaning_words": "Limit open"}, "code-0-flash_groups", "What does the control show"),
        ({"code__0__could_be": ["vent_limit"]}, "code-0-meaning_words", "What does the maker say"),
        ({"words": "x" * 1001}, "words", "At most 1000"),
    ],
)  # fmt: skip
def test_a_fault_is_said_at_its_input_and_what_was_typed_stays(typed: dict[str, Any], at: str, words: str) -> None:
    form = sent(**typed)
    assert form.read() is None
    assert list(form.faults) == [at]
    assert words in form.faults[at]
    for name, value in typed.items():
        if isinstance(value, str):
            assert form.value(name.replace("__", "-")) == value
    assert form.label(at) != "This sheet"


@pytest.mark.parametrize("flashes", ["2-4", "2, 4", "2 4", "2/4", "2 - 4", "2–4"])
def test_flashes_are_kept_in_one_way_however_they_were_typed(flashes: str) -> None:
    body = sent(code__0__flash_groups=flashes, code__0__meaning_words="x").read()
    assert body is not None
    assert body["codes"][0]["flash_groups"] == "2-4"


def test_a_figure_that_no_check_asks_for_any_more_stays_on_the_sheet() -> None:
    body = {"limits": [{"quantity": "old_point_f", "value": 180.0, "where": "sheet"}], "codes": [], "vent": []}
    form = PaperForm.opened(PAPER, "Vossquill", "Ember", body | {"words": None})
    assert [figure.words for figure in form.figures if figure.quantity == "old_point_f"] == ["Old point"]
    kept = sent(limit__old_point_f="180", where__old_point_f="sheet").read()
    assert kept is not None
    assert kept["limits"][-1]["quantity"] == "old_point_f"


def test_more_rows_are_given_and_never_without_end() -> None:
    form = sent(more="codes", code__0__flash_groups="2")
    assert form.wants_rows
    assert (form.code_rows.stop, form.vent_rows.stop) == (6, 2)
    assert form.value("code-0-flash_groups") == "2"
    assert sent(code_rows="999999", vent_rows="-1").code_rows.stop == 0
    assert sent(code_rows="999").code_rows.stop == 120
