"""Any order of arrival and any duplicates give the same record; the fold never raises, whatever it is given."""

from __future__ import annotations

import json

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.trade.making import event
from webapp.trade.bodies import SHAPES
from webapp.trade.envelope import live_events, take_in
from webapp.trade.record import fold_job

CALL = {"co_alarm": "no", "unwell": "no", "water_leak": "not_asked", "lately": [], "said": ["gas_out"]}
BOOKED = {"complaint": "c", "complaint_words": "w", "technician_id": "t", "procedure_name": "p"}
SHOT = {"sha256": "ab" * 32, "length_bytes": 9, "media_type": "image/jpeg", "width_px": 1, "height_px": 1}

BODIES = [
    ("check_answered", 1, {"check": "terminal", "outcome": "clear", "could_not": None}),
    ("check_answered", 1, {"check": "terminal", "outcome": "iced", "could_not": None}),
    ("check_answered", 1, {"check": "terminal", "outcome": None, "could_not": "no_access"}),
    ("check_answered", 2, {"check": "terminal", "outcome": None, "could_not": "not_allowed"}),
    ("check_answered", 3, {"check": "terminal", "outcome": "clear", "could_not": None, "corrects": True}),
    ("check_answered", 1, {"check": "slope", "outcome": "falls_right", "could_not": None}),
    ("reading_taken", 1, {"check": "co_room", "quantity": "co_room_ppm", "value": 90}),
    ("reading_taken", 2, {"check": "co_room", "quantity": "co_room_ppm", "value": 2}),
    ("reading_taken", 1, {"check": None, "quantity": "suction_in_wc", "value": 0.31}),
    ("cause_named", 1, {"cause": "tube_off"}),
    ("cause_named", 1, {"cause": "tube_wet"}),
    ("repair_made", 1, {"action": "new_tube"}),
    ("part_used", 1, {"part_words": "tube", "count": 1, "direction": "fitted"}),
    ("hunch", 1, {"cause": "tube_off"}),
    ("vent_surveyed", 1, {"nominal_in": 3, "straight_ft": 12.5, "elbows_90": 2, "elbows_45": 0}),
    ("proof_run", 1, {"passed": True, "minutes": 10, "restarts": 2, "looks_done": []}),
    (
        "proof_run",
        2,
        {
            "passed": False,
            "minutes": 9,
            "restarts": 1,
            "looks_done": ["slope"],
            "quantity": "suction_in_wc",
            "after_value": 0.2,
        },
    ),
    ("withdrawn", 1, {}),
    ("note", 1, {"words": "n"}),
    ("note", 1, {"words": None}),
    ("job_opened", 1, {"procedure_hash": "h"}),
    ("arrived", 1, {}),
    ("job_closed", 1, {"state": "proven"}),
    ("job_closed", 2, {"state": "proven", "out": False}),
    ("job_closed", 2, {"state": "handed_over", "out": True}),
    ("job_closed", 1, {"state": "left_off"}),
    ("job_booked", 1, BOOKED),
    ("job_booked", 2, {name: words for name, words in BOOKED.items() if name != "technician_id"}),
    ("job_moved", 1, {"technician_id": "u"}),
    ("job_moved", 2, {"complaint": "d", "phone": "555-0101"}),
    ("job_moved", 3, {"due_cleared": True}),
    ("job_cancelled", 1, {"why": "works again"}),
    ("call_taken", 1, {"smell_of_gas": "yes", **CALL}),
    ("call_taken", 1, {"smell_of_gas": "no", **CALL}),
    ("due_out", 1, {"due_out_wall": "2026-11-25T15:10:00Z"}),
    ("due_out", 1, {"due_out_wall": "no time", "ring_phone": "555-0100"}),
    ("came_out", 1, {}),
    ("came_out", 2, {"person_id": "bo"}),
    ("instrument_carried", 1, {"instrument_id": "i", "instrument_kind": "co_meter", "zeroed": True}),
    ("code_read", 1, {"shown": "flashes", "flashes": 2}),
    ("code_read", 2, {"shown": "flashes", "flash_groups": "2-4"}),
    ("photo_taken", 1, {**SHOT, "check": None}),
    ("photo_taken", 2, {**SHOT, "check": None, "about": "plate"}),
    ("work_agreed", 1, {"told_words": "t", "scope_words": "s", "decision": "authorised"}),
    ("work_agreed", 1, {"told_words": "t", "scope_words": "s", "decision": "declined"}),
    ("left_off", 1, {"what_words": "w", "why_words": "y", "told_words": "t"}),
    ("office_told", 1, {"told_wall": "2026-11-25T15:10:00Z", "who_words": "w"}),
    ("put_back", 1, {"words": "p"}),
    ("put_back", 2, {"words": "p", "left_off_ids": ["e001", "e004"]}),
    ("put_back", 2, {"words": "p"}),
    ("put_back", 3, {"words": "p", "who_words": "w"}),
    ("appliance_described", 1, {"appliance_id": "a", "kind": "power_vent"}),
    ("appliance_described", 2, {"appliance_id": "a", "kind": "power_vent", "installed_year": 2019}),
    ("sheet_number", 1, {"quantity": "make_point_in_wc", "value": 0.36, "where": "plate"}),
    ("sheet_number", 2, {"quantity": "make_point_in_wc", "value": 0.4, "where": "sheet", "model_sheet_id": "m"}),
    ("sheet_confirmed", 1, {"sheet_event_id": "e001", "quantity": "make_point_in_wc", "agrees": True}),
    ("kind_of_tomorrow", 1, {}),
]
OF_THE_ADDRESS = {
    ("address_given", 1), ("same_address", 1), ("not_same_address", 1), ("may_be_same_address", 1),
}  # fmt: skip
"""They are in no job: what folds them is tried in tests/contract/test_groups.py."""


def test_the_jobs_below_are_made_of_every_kind_and_schema():
    assert {
        (kind, schema) for kind, schema, _body in BODIES if kind != "kind_of_tomorrow"
    } == SHAPES.keys() - OF_THE_ADDRESS


@st.composite
def jobs(draw):
    """Up to 14 events of three people on four phones, with counters that collide and replaces that cross."""
    events = []
    for number in range(draw(st.integers(0, 14))):
        kind, schema, body = draw(st.sampled_from(BODIES))
        replaces = draw(st.lists(st.integers(0, 14), max_size=2))
        events.append(
            event(
                number,
                kind,
                body,
                schema=schema,
                person_id=draw(st.sampled_from(["ann", "bo", "cy"])),
                device_id=draw(st.sampled_from(["d1", "d2", "d3", "d4"])),
                dev_seq=draw(st.integers(1, 4)),
                lamport=draw(st.integers(0, 5)),
                replaces=[f"e{one:03}" for one in replaces],
            )
        )
    return events


@given(jobs(), st.randoms(use_true_random=False))
@settings(max_examples=300, deadline=None)
def test_any_order_and_any_duplicates_give_the_same_record(events, chance):
    shuffled = events + [one for one in events if chance.random() < 0.4]
    chance.shuffle(shuffled)
    assert fold_job(shuffled) == fold_job(events)


@given(jobs())
@settings(max_examples=200, deadline=None)
def test_every_event_that_stands_and_can_be_read_is_in_the_record(events):
    record = fold_job(events)
    text = json.dumps(record)
    ordered, _ = take_in(events)
    for one in live_events(ordered):
        if one["kind"] in ("withdrawn", "kind_of_tomorrow") or one["id"] in {
            line["event_id"] for line in record["unreadable"]
        }:
            continue
        if one["kind"] in ("job_opened", "job_booked", "job_cancelled"):  # one place each: the timeline has the others
            continue
        assert f'"event_id": "{one["id"]}"' in text, one["kind"]


@given(jobs(), st.randoms(use_true_random=False))
@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_the_phones_engine_folds_the_same_jobs_alike(both, events, chance):
    shuffled = events * 2
    chance.shuffle(shuffled)
    assert both("fold_job", {"events": shuffled})["ok"] == json.loads(json.dumps(fold_job(events)))


junk = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=5), inner, max_size=4),
    max_leaves=8,
)
envelope_names = ["id", "site_id", "job_id", "person_id", "device_id", "dev_seq", "lamport", "at_wall", "clock_offset",
                  "kind", "schema", "replaces", "body"]  # fmt: skip


@st.composite
def nearly_events(draw):
    """A good event with some of its parts, or of its body's, replaced by junk."""
    kind, _schema = draw(st.sampled_from(sorted(SHAPES)))
    body = {name: draw(junk) for name, *_holds in SHAPES[(kind, 1)] if draw(st.booleans())}
    one = event(draw(st.integers(0, 3)), kind, body)
    for name in draw(st.lists(st.sampled_from(envelope_names), max_size=2)):
        one[name] = draw(junk)
    return one


@given(st.lists(nearly_events() | junk, max_size=6) | junk, st.randoms(use_true_random=False))
@settings(max_examples=400, deadline=None)
def test_the_fold_never_raises_and_junk_has_no_order_either(events, chance):
    record = fold_job(events)
    json.dumps(record, allow_nan=False)
    if isinstance(events, list):
        shuffled = events * 2
        chance.shuffle(shuffled)
        assert fold_job(shuffled) == record


@given(st.lists(nearly_events() | junk, max_size=6))
@settings(max_examples=60, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_the_phones_engine_takes_the_same_junk(both, events):
    try:
        text = json.dumps({"events": events}, allow_nan=False, ensure_ascii=False)  # as JSON.stringify writes it
    except ValueError:  # RFC 8259 has no NaN and no infinity: they cannot arrive
        return
    assert "ok" in both("fold_job", text)
