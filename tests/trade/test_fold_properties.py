"""Any order of arrival and any duplicates give the same record; the fold never raises, whatever it is given."""

from __future__ import annotations

import json

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from tests.trade.making import event
from webapp.trade.bodies import SHAPES
from webapp.trade.record import fold_job

BODIES = [
    ("check_answered", {"check": "terminal", "outcome": "clear", "could_not": None}),
    ("check_answered", {"check": "terminal", "outcome": "iced", "could_not": None}),
    ("check_answered", {"check": "terminal", "outcome": None, "could_not": "no_access"}),
    ("check_answered", {"check": "slope", "outcome": "falls_right", "could_not": None}),
    ("reading_taken", {"check": None, "quantity": "suction_in_wc", "value": 0.31}),
    ("cause_named", {"cause": "tube_off"}),
    ("cause_named", {"cause": "tube_wet"}),
    ("repair_made", {"action": "new_tube"}),
    ("proof_run", {"passed": True, "minutes": 10, "restarts": 2, "looks_done": []}),
    ("withdrawn", {}),
    ("note", {"words": "n"}),
    ("note", {"words": None}),
    ("job_closed", {"state": "proven"}),
    ("job_booked", {"complaint": "c", "complaint_words": "w", "technician_id": "t", "procedure_name": "p"}),
    ("job_moved", {"technician_id": "u"}),
    ("kind_of_tomorrow", {}),
]


@st.composite
def jobs(draw):
    """Up to 14 events of three people on four phones, with counters that collide and replaces that cross."""
    events = []
    for number in range(draw(st.integers(0, 14))):
        kind, body = draw(st.sampled_from(BODIES))
        replaces = draw(st.lists(st.integers(0, 14), max_size=2))
        events.append(
            event(
                number,
                kind,
                body,
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
