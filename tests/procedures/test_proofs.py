"""Proofs of the shipped procedures, and what the validator says to a bad one."""

from __future__ import annotations

import copy

import pytest

from webapp.procedures import compiled, list_procedures
from webapp.procedures.loader import source
from webapp.procedures.validate import problems

NAMES = list_procedures()
WRITTEN = source("power_vent")


@pytest.fixture
def good():
    return copy.deepcopy(WRITTEN)


def proof(procedure, proof_id):
    return next(one for one in procedure["proofs"] if one["id"] == proof_id)


@pytest.mark.parametrize("name", NAMES)
def test_every_cause_has_one_proof(name):
    procedure = compiled(name)
    named = [cause for one in procedure["proofs"] for cause in one["causes"]]
    assert sorted(named) == sorted(cause["id"] for cause in procedure["causes"])


@pytest.mark.parametrize("name", NAMES)
def test_every_proof_holds_every_look_that_is_always_compulsory(name):
    procedure = compiled(name)
    always = {look["id"] for look in procedure["closing_looks"] if look["always"]}
    assert always
    for one in procedure["proofs"]:
        assert always <= set(one["looks"]), one["id"]
        assert set(one["looks"]) <= {look["id"] for look in procedure["closing_looks"]}


@pytest.mark.parametrize("name", NAMES)
def test_the_first_measure_is_the_figure_named_on_top(name):
    for one in compiled(name)["proofs"]:
        first = one["measures"][0] if one["measures"] else {"quantity": None, "words": None, "unit": None}
        assert (one["quantity"], one["quantity_words"], one["unit"]) == (
            first["quantity"],
            first["words"],
            first["unit"],
        )


def two_defaults(procedure):
    proof(procedure, "tube_dry")["default"] = True


def no_default(procedure):
    del proof(procedure, "hot_run")["default"]


def unknown_cause(procedure):
    proof(procedure, "tube_dry")["causes"].append("magic")


def twice(procedure):
    proof(procedure, "tube_dry")["causes"].append("tube_off")


def unknown_look(procedure):
    proof(procedure, "tube_dry")["looks"].append("magic")


def four_lines(procedure):
    proof(procedure, "tube_dry")["how"].append("One line too many.")


def no_words(procedure):
    proof(procedure, "tube_dry")["words"] = ""


def no_minutes(procedure):
    proof(procedure, "tube_dry")["minutes"] = 0


def unread(procedure):
    proof(procedure, "flame_seen")["measures"][0]["quantity"] = "magic_mv"


def supplied_limit(procedure):
    proof(procedure, "flame_seen")["measures"][0]["limit"] = "suction_in_wc"


def other_unit(procedure):
    proof(procedure, "flame_seen")["measures"][0]["unit"] = "mA"


def sideways(procedure):
    proof(procedure, "flame_seen")["measures"][0]["recovers"] = "sideways"


def no_side(procedure):
    del proof(procedure, "flame_seen")["measures"][0]["side"]


def nothing_to_compare(procedure):
    del proof(procedure, "volts_at_motor")["measures"][0]["recovers"]


def turned_by_magic(procedure):
    proof(procedure, "hot_run")["measures"][0]["turned_by"]["outcome"] = "magic"


def no_joint_test(procedure):
    for look in procedure["closing_looks"]:
        look.pop("after_checks", None)


def unknown_after(procedure):
    procedure["closing_looks"][0]["after_checks"] = ["magic"]


def nothing_compulsory(procedure):
    for look in procedure["closing_looks"]:
        look.pop("always", None)


def look_twice(procedure):
    procedure["closing_looks"].append(dict(procedure["closing_looks"][0]))


def silent_stop(procedure):
    for check in procedure["checks"]:
        for outcome in check["outcomes"]:
            if outcome.get("stop_words"):
                outcome.pop("unsafe")


def normal_and_unsafe(procedure):
    procedure["checks"][0]["outcomes"][0]["unsafe"] = True


def nothing_unsafe(procedure):
    for check in procedure["checks"]:
        for outcome in check["outcomes"]:
            outcome["unsafe"] = False


@pytest.mark.parametrize(
    ("breaks", "words"),
    [
        (two_defaults, "proofs: one default, not 2"),
        (no_default, "proofs: one default, not 0"),
        (unknown_cause, "proofs: unknown cause magic"),
        (twice, "proofs: tube_off is proven in two ways"),
        (unknown_look, "proof tube_dry: unknown closing look magic"),
        (four_lines, "proof tube_dry: how: 1 to 3 lines"),
        (no_words, "proof tube_dry: missing words"),
        (no_minutes, "proof tube_dry: needs minutes above 0"),
        (unread, "no check reads magic_mv"),
        (supplied_limit, "suction_in_wc is a limit, and is not typed from the sheet"),
        (other_unit, "flame_ua has another unit"),
        (sideways, "flame_ua: recovers up or down"),
        (no_side, "flame_ua: a limit and a side belong together"),
        (nothing_to_compare, "line_volts: nothing to compare it with"),
        (turned_by_magic, "turned by an answer that does not exist"),
        (no_joint_test, "vent_parted: parts the vent, and no closing look tests the joint"),
        (unknown_after, "closing_looks: unknown check magic"),
        (nothing_compulsory, "closing_looks: none is compulsory"),
        (look_twice, "closing_looks: one is there twice"),
        (silent_stop, "smell stops the visit and does not say whether it is unsafe"),
        (normal_and_unsafe, "no_smell is normal or good, and marked unsafe"),
        (nothing_unsafe, "nothing is marked unsafe"),
    ],
    ids=lambda one: getattr(one, "__name__", ""),
)
def test_a_bad_proof_is_refused_with_its_reason(breaks, words, good):
    breaks(good)
    assert [one for one in problems(good) if words in one], problems(good)[:5]
