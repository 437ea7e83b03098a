"""The shapes, and that the short way of checking them says the same as the library's."""

from __future__ import annotations

import copy
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.factories import EventMaker
from webapp.models.ids import new_id
from webapp.sync.bodies import BODIES
from webapp.sync.fields import Exact, passes
from webapp.sync.schemas import EventIn, check_event
from webapp.trade.bodies import read_body

ID = "0189d2f0-1111-7222-8333-444455556666"

# One right body of each kind, by hand from webapp/trade/events.py.
RIGHT: dict[str, dict[str, Any]] = {
    "address_given": {"street": "12 Mill Lane", "town": "Dunmere", "phone": "555-0142"},
    "appliance_described": {"appliance_id": ID, "kind": "power_vent", "fuel": "natural_gas", "input_btu_h": 40000.0},
    "arrived": {},
    "cause_named": {"cause": "tube"},
    "check_answered": {"check": "tube", "outcome": "split", "could_not": None, "minutes_since_fired": 3},
    "code_read": {"shown": "flashes", "flashes": 4},
    "hunch": {"cause": "tube", "words": "looks old"},
    "job_booked": {
        "complaint": "no_hot_water", "complaint_words": "cold", "technician_id": ID, "procedure_name": "power_vent",
        "due_wall": "2026-11-25T08:00:00Z",
    },
    "job_closed": {"state": "proven"},
    "job_moved": {"technician_id": ID, "why": "nearer"},
    "job_opened": {"procedure_hash": "a" * 64},
    "left_off": {"what_words": "heater", "why_words": "spillage", "told_words": "the owner"},
    "not_same_address": {"other_site_id": ID},
    "may_be_same_address": {"other_site_id": ID},
    "note": {"words": "dog in the yard"},
    "part_used": {"part_words": "hose", "count": 1, "direction": "fitted"},
    "photo_taken": {
        "sha256": "b" * 64, "length_bytes": 9, "media_type": "image/jpeg", "width_px": 4, "height_px": 3,
        "check": None,
    },
    "proof_run": {"passed": True, "minutes": 10, "restarts": 0, "suction_hot_in_wc": 0.7, "looks_done": ["flame"]},
    "reading_taken": {"check": "suction", "quantity": "suction_in_wc", "value": 0.42, "state": "hot"},
    "repair_made": {"action": "new_tube"},
    "same_address": {"other_site_id": ID},
    "sheet_number": {"quantity": "make_point_in_wc", "value": 0.65, "where": "plate"},
    "vent_surveyed": {"nominal_in": 3, "straight_ft": 22.5, "elbows_90": 3, "elbows_45": 0},
    "withdrawn": {},
}  # fmt: skip

RIGHT |= {
    "call_taken": {
        "smell_of_gas": "no", "co_alarm": "unsure", "unwell": "no", "water_leak": "not_asked",
        "no_hot_water_since": "2026-11-24", "lately": ["moved"], "resets_tried": 2, "said": ["leave_it_off"],
    },
    "job_cancelled": {"why": "sold the house"},
    "due_out": {"due_out_wall": "2026-11-25T15:10:00Z", "ring_phone": "555-0100"},
    "came_out": {},
    "instrument_carried": {
        "instrument_id": ID, "instrument_kind": "co_meter", "calibrated_on": "2026-06-01", "zeroed": True,
    },
    "work_agreed": {
        "told_words": "tube is split", "scope_words": "new tube", "decision": "authorised",
        "signature_path": "M10 20L30 40M1 2",
    },
    "office_told": {"told_wall": "2026-11-25T15:20:00Z", "who_words": "Bo"},
    "put_back": {"words": "vent glued again"},
    "sheet_confirmed": {"sheet_event_id": ID, "quantity": "make_point_in_wc", "agrees": False, "read_value": 0.65},
}  # fmt: skip

# One right body of each later shape.
LATER: dict[tuple[str, int], dict[str, Any]] = {
    ("appliance_described", 2): RIGHT["appliance_described"] | {"installed_year": 2019, "model_sheet_id": ID},
    ("check_answered", 2): {"check": "limit_continuity", "outcome": None, "could_not": "not_allowed"},
    ("check_answered", 3): {"check": "co_room", "outcome": "acceptable", "could_not": None, "corrects": True},
    ("reading_taken", 2): RIGHT["reading_taken"] | {"corrects": False},
    ("code_read", 2): {"shown": "flashes", "flash_groups": "2-4", "model_sheet_id": ID},
    ("job_booked", 2): {name: one for name, one in RIGHT["job_booked"].items() if name != "technician_id"},
    ("job_closed", 2): {"state": "proven", "out": False},
    ("job_moved", 2): {"complaint": "leaks", "complaint_words": "it drips", "phone": "555-0143"},
    ("job_moved", 3): {"due_cleared": True, "why": "they cannot be there"},
    ("came_out", 2): {"person_id": ID, "words": "rang, is in the van"},
    ("photo_taken", 2): RIGHT["photo_taken"] | {"about": "plate"},
    ("put_back", 2): RIGHT["put_back"] | {"left_off_ids": [ID]},
    ("put_back", 3): RIGHT["put_back"] | {"left_off_ids": [ID], "who_words": "Ada Pipe", "co_room_ppm": 2},
    ("sheet_number", 2): RIGHT["sheet_number"] | {"where": "sheet", "model_sheet_id": ID},
    ("proof_run", 2): {
        "passed": True, "minutes": 12, "restarts": 2, "quantity": "closed_mv", "before_value": 7.5, "after_value": 14,
        "looks_done": ["tp_valve"], "fans_on": True,
    },
}  # fmt: skip
SHAPES_RIGHT = {(kind, 1): body for kind, body in RIGHT.items()} | LATER

ODD = st.one_of(
    st.none(), st.booleans(), st.integers(-5, 2**60), st.floats(), st.text(max_size=5), st.just("w" * 5000),
    st.lists(st.one_of(st.text(max_size=3), st.integers()), max_size=3),
    st.dictionaries(st.text(max_size=3), st.none()),
)  # fmt: skip


def event(kind: str, body: dict[str, Any], schema: int = 1) -> dict[str, Any]:
    return EventMaker(ID, ID).make(kind, body, site_id=new_id()) | {"schema": schema}


def test_there_is_a_right_body_of_every_kind_here() -> None:
    assert set(SHAPES_RIGHT) == set(BODIES)


@pytest.mark.parametrize(("kind", "schema"), sorted(SHAPES_RIGHT))
def test_a_right_body_passes_here_and_in_the_fold(kind: str, schema: int) -> None:
    assert check_event(event(kind, SHAPES_RIGHT[kind, schema], schema))[1] == ""
    assert read_body(kind, schema, SHAPES_RIGHT[kind, schema])[1] is None


@pytest.mark.parametrize(
    ("kind", "spoil"),
    [
        ("call_taken", {"no_hot_water_since": "2026-02-30"}),
        ("call_taken", {"no_hot_water_since": "yesterday"}),
        ("call_taken", {"unwell": "maybe"}),
        ("work_agreed", {"signature_path": "M10 20L30 40Z"}),
        ("work_agreed", {"signature_path": 'M1 1"/><script>'}),
        ("work_agreed", {"signature_path": "M1 1" + "L2 2" * 6000}),
    ],
)
def test_a_day_that_is_none_and_strokes_that_are_more_are_refused(kind: str, spoil: dict[str, Any]) -> None:
    assert check_event(event(kind, RIGHT[kind] | spoil))[1] != ""


@pytest.mark.parametrize("shape", sorted(SHAPES_RIGHT))
def test_a_body_without_what_is_asked_for_or_with_more_is_refused(shape: tuple[str, int]) -> None:
    kind, schema = shape
    right = SHAPES_RIGHT[shape]
    assert "more" in check_event(event(kind, right | {"more": 1}, schema))[1]
    for name, field in BODIES[shape].load_fields.items():
        without = {key: value for key, value in right.items() if key != name}
        assert (check_event(event(kind, without, schema))[1] != "") is field.required


@pytest.mark.parametrize(
    ("spoil", "words"),
    [
        ({"value": None}, "value must not be empty"),
        ({"value": "high"}, "value must be a number of at most 300 digits"),
        (
            {"place": "p" * 81, "more": 1},
            "more is not known in this place; place must be text of at most 80 characters",
        ),
    ],
)
def test_what_is_wrong_is_said_in_our_words_with_the_fields_name(spoil: dict[str, Any], words: str) -> None:
    assert check_event(event("reading_taken", RIGHT["reading_taken"] | spoil))[1] == words


@pytest.mark.parametrize("letter", ["w", "\u0436", "\U0001f525", "\n", "\x01"])
def test_words_that_are_each_short_enough_are_never_too_long_together(letter: str) -> None:
    body = dict.fromkeys(("what_words", "why_words", "told_words"), letter * 4000)
    assert check_event(event("left_off", body) | {"replaces": [ID] * 200})[1] == ""
    assert check_event(event("tomorrow", {"words": letter * 120_000}))[1] == "longer than 100000 bytes"


def test_what_is_missing_is_named() -> None:
    without = event("note", {})
    assert check_event(without)[1] == "words is missing"
    del without["lamport"]
    assert check_event(without)[1] == "lamport is missing"


@pytest.mark.parametrize(("outcome", "could_not"), [(None, None), ("split", "no_access")])
def test_an_answer_is_an_outcome_or_a_reason_never_both(outcome: str | None, could_not: str | None) -> None:
    body = {"check": "tube", "outcome": outcome, "could_not": could_not}
    assert "never both" in check_event(event("check_answered", body))[1]


def test_all_fields_are_of_the_kind_that_the_short_way_knows() -> None:
    for schema in (EventIn(), *BODIES.values()):
        assert all(isinstance(field, Exact) for field in schema.load_fields.values()), schema


@settings(max_examples=400, deadline=None)
@given(shape_of=st.sampled_from(sorted(SHAPES_RIGHT)), data=st.data())
def test_the_short_way_says_what_the_library_says(shape_of: tuple[str, int], data: st.DataObject) -> None:
    spoiled = event(shape_of[0], copy.deepcopy(SHAPES_RIGHT[shape_of]), shape_of[1])
    for target in (spoiled, spoiled["body"]):
        for _ in range(data.draw(st.integers(0, 2))):
            name = data.draw(st.sampled_from([*sorted(target), "more"]))
            if data.draw(st.booleans()):
                target.pop(name, None)
            else:
                target[name] = data.draw(ODD)
    schema = EventIn()
    assert passes(schema, spoiled) is (schema.validate(spoiled) == {})
    shape = BODIES[shape_of]
    body = spoiled.get("body")
    if isinstance(body, dict):
        short = passes(shape, body) and not shape.contradiction(body)
        assert short is (shape.validate(body) == {})
    assert isinstance(check_event(spoiled)[1], str)


JSON = st.recursive(
    st.one_of(st.none(), st.booleans(), st.integers(), st.just(10**400), st.floats(), st.text(max_size=5)),
    lambda inner: st.one_of(st.lists(inner, max_size=3), st.dictionaries(st.text(max_size=5), inner, max_size=3)),
    max_leaves=8,
)


@settings(max_examples=300, deadline=None)
@given(kind=st.sampled_from([*sorted(RIGHT), "tomorrow"]), data=st.data())
def test_whatever_arrives_is_answered_and_never_raises(kind: str, data: st.DataObject) -> None:
    spoiled = event(kind, copy.deepcopy(RIGHT.get(kind, {})))
    target = data.draw(st.sampled_from([spoiled, spoiled["body"]]))
    target[data.draw(st.sampled_from([*sorted(target), "more"]))] = data.draw(JSON)
    digest, problem = check_event(spoiled)
    assert bool(digest) is not bool(problem)
    check_event(data.draw(JSON))


def test_a_whole_number_of_four_hundred_digits_is_refused_alone() -> None:
    body = {"check": None, "quantity": "suction_in_wc", "value": 10**400}
    assert "number" in check_event(event("reading_taken", body))[1]
