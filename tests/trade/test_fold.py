"""The fold by cases: order, live, replaces, withdrawn, contradictions, the unreadable. Source: docs/sync.md."""

from __future__ import annotations

import pytest

from tests.trade.making import answered, event
from webapp.trade.bodies import SHAPES
from webapp.trade.record import fold_job
from webapp.trade.walk import advise


def finding(record, check):
    return next(one for one in record["checks"] if one["check"] == check)


def test_events_fold_in_order_of_lamport_then_device_then_dev_seq_then_id(both):
    events = [
        event(1, "note", {"words": "fourth"}, id="z", lamport=2, device_id="b", dev_seq=1),
        event(2, "note", {"words": "third"}, id="y", lamport=2, device_id="a", dev_seq=9),
        event(3, "note", {"words": "second"}, id="x2", lamport=2, device_id="a", dev_seq=8),
        event(4, "note", {"words": "first"}, id="w", lamport=1, device_id="c", dev_seq=7),
    ]
    record = both("fold_job", {"events": events})["ok"]
    assert [note["words"] for note in record["notes"]] == ["first", "second", "third", "fourth"]


def test_wall_time_orders_nothing(both):
    events = [
        answered(1, "terminal", "iced", at_wall="2026-11-25T23:00:00.000Z"),
        answered(2, "terminal", "clear", at_wall="2026-11-25T01:00:00.000Z"),
    ]
    assert finding(both("fold_job", {"events": events})["ok"], "terminal")["outcome"] == "clear"


def test_a_correction_takes_the_place_of_the_same_persons_answer(both):
    events = [answered(1, "terminal", "iced"), answered(2, "terminal", "clear", replaces=["e001"])]
    record = both("fold_job", {"events": events})["ok"]
    assert finding(record, "terminal")["outcome"] == "clear"
    assert len(finding(record, "terminal")["entries"]) == 1


def test_another_persons_answer_is_never_replaced_and_both_stand(both):
    events = [answered(1, "terminal", "iced"), answered(2, "terminal", "clear", person_id="bo", replaces=["e001"])]
    record = both("fold_job", {"events": events})["ok"]
    assert finding(record, "terminal")["state"] == "contradicted"
    assert finding(record, "terminal")["outcome"] is None
    assert [entry["outcome"] for entry in finding(record, "terminal")["entries"]] == ["iced", "clear"]


def test_two_people_who_agree_do_not_contradict(both):
    events = [answered(1, "terminal", "clear"), answered(2, "terminal", "clear", person_id="bo")]
    assert finding(both("fold_job", {"events": events})["ok"], "terminal")["state"] == "answered"


def test_one_who_could_not_check_does_not_contradict_one_who_could(both):
    events = [answered(1, "terminal", None, "no_access"), answered(2, "terminal", "clear", person_id="bo")]
    record = both("fold_job", {"events": events})["ok"]
    assert (finding(record, "terminal")["state"], finding(record, "terminal")["outcome"]) == ("answered", "clear")


def test_withdrawing_gives_back_what_stood_before(both):
    events = [
        answered(1, "terminal", "iced"),
        answered(2, "terminal", "clear", replaces=["e001"]),
        event(3, "withdrawn", {}, replaces=["e002"]),
    ]
    assert finding(both("fold_job", {"events": events})["ok"], "terminal")["outcome"] == "iced"


def test_withdrawing_a_withdrawal_brings_the_first_back(both):
    events = [
        event(1, "note", {"words": "kept"}),
        event(2, "withdrawn", {}, replaces=["e001"]),
        event(3, "withdrawn", {}, replaces=["e002"]),
    ]
    assert [note["words"] for note in both("fold_job", {"events": events})["ok"]["notes"]] == ["kept"]


def test_an_event_cannot_replace_what_comes_after_it(both):
    events = [event(1, "withdrawn", {}, replaces=["e002"]), event(2, "note", {"words": "later"})]
    assert len(both("fold_job", {"events": events})["ok"]["notes"]) == 1


def test_what_was_found_stands_beside_what_is_after_the_repair(both):
    events = [
        answered(1, "terminal", "nest_or_debris"),
        event(2, "repair_made", {"action": "clear_terminal"}),
        answered(3, "terminal", "clear"),
    ]
    terminal = finding(both("fold_job", {"events": events})["ok"], "terminal")
    assert (terminal["outcome"], terminal["now_outcome"]) == ("nest_or_debris", "clear")


def test_causes_named_by_two_people_stand_side_by_side(both):
    events = [
        event(1, "cause_named", {"cause": "tube_off"}),
        event(2, "cause_named", {"cause": "tube_wet"}, person_id="bo"),
    ]
    record = both("fold_job", {"events": events})["ok"]
    assert [line["cause"] for line in record["causes"]] == ["tube_off", "tube_wet"]
    assert record["causes_disagree"]


def test_unknown_kinds_and_schemas_are_counted_and_still_replace(both):
    events = [
        event(1, "note", {"words": "gone"}),
        event(2, "thing_of_tomorrow", {"x": 1}, replaces=["e001"]),
        event(3, "note", {"words": "shape of tomorrow"}, schema=99),
        event(4, "thing_of_tomorrow", {}),
    ]
    record = both("fold_job", {"events": events})["ok"]
    assert record["unknown"] == [
        {"kind": "note", "schema": 99, "count": 1},
        {"kind": "thing_of_tomorrow", "schema": 1, "count": 2},
    ]
    assert record["notes"] == []


@pytest.mark.parametrize(
    ("kind", "body", "why"),
    [
        ("note", {}, "words"),
        ("note", {"words": 3}, "words"),
        ("check_answered", {"check": "a", "outcome": None, "could_not": None}, "outcome"),
        ("check_answered", {"check": "a", "outcome": "b", "could_not": "unsafe"}, "outcome"),
        ("check_answered", {"check": "a", "outcome": None, "could_not": "bored"}, "could_not"),
        ("check_answered", {"check": "a", "outcome": None, "could_not": "not_allowed"}, "could_not"),  # of schema 2
        ("reading_taken", {"check": None, "quantity": "x", "value": "3"}, "value"),
        ("reading_taken", {"check": None, "quantity": "x", "value": True}, "value"),
        ("reading_taken", {"check": None, "quantity": "x", "value": 1e400}, "value"),
        ("code_read", {"shown": "flashes", "flashes": 2.5}, "flashes"),
        ("code_read", {"shown": "?"}, "shown"),
        ("job_closed", {"state": "done"}, "state"),
        ("proof_run", {"passed": True, "minutes": 1, "restarts": 1, "looks_done": [1]}, "looks_done"),
    ],
)
def test_a_body_that_cannot_be_read_is_listed_by_its_field(kind, body, why):
    record = fold_job([event(1, kind, body)])
    assert record["unreadable"] == [{"event_id": "e001", "kind": kind, "why": why}]


@pytest.mark.parametrize(
    "junk", [None, 3, "x", [], {}, {"id": 1}, {"id": "a", "body": None}, True, event(1, "note", {}, replaces=[3])]
)
def test_junk_in_the_place_of_an_event_is_listed_not_raised(junk):
    record = fold_job([junk, event(1, "note", {"words": "good"})])
    assert [line["why"] for line in record["unreadable"]] == ["envelope"]
    assert len(record["notes"]) == 1


def test_one_id_with_two_contents_counts_as_neither(both):
    events = [
        event(1, "note", {"words": "one"}),
        event(1, "note", {"words": "two"}),
        event(2, "note", {"words": "three"}),
    ]
    for order in (events, events[::-1]):
        record = both("fold_job", {"events": order})["ok"]
        assert [note["words"] for note in record["notes"]] == ["three"]
        assert record["unreadable"] == [{"event_id": "e001", "kind": "", "why": "id_reused"}]


def test_a_number_with_and_without_its_point_is_one_event(both):
    events = [
        event(1, "code_read", {"shown": "flashes", "flashes": 3}),
        event(1, "code_read", {"shown": "flashes", "flashes": 3.0}, lamport=1.0),
    ]
    record = both("fold_job", {"events": events})["ok"]
    assert record["unreadable"] == []
    assert len(record["codes"]) == 1


def test_one_id_with_other_fields_in_its_body_is_another_content(both):
    for other in ({"words": "a", "more": 1}, {"more": "a"}, {"words": ["a"]}):
        events = [event(1, "note", {"words": "a"}), event(1, "note", other)]
        assert both("fold_job", {"events": events})["ok"]["unreadable"][0]["why"] == "id_reused"


def test_events_of_another_job_are_listed_apart(both):
    events = [event(1, "note", {"words": "ours"}), event(2, "note", {"words": "theirs"}, job_id="other")]
    record = both("fold_job", {"events": events})["ok"]
    assert record["unreadable"] == [{"event_id": "e002", "kind": "note", "why": "other_job"}]


def test_a_closed_job_is_open_again_when_its_closing_is_withdrawn(both):
    events = [
        event(1, "job_opened", {"procedure_hash": "h"}),
        event(2, "job_closed", {"state": "proven"}),
        event(3, "withdrawn", {}, replaces=["e002"]),
    ]
    assert both("fold_job", {"events": events[:2]})["ok"]["state"] == "closed"
    assert both("fold_job", {"events": events})["ok"]["state"] == "open"


def test_a_proof_run_speaks_of_the_cause_named_before_it(both):
    proof = {"passed": False, "minutes": 4, "restarts": 0, "looks_done": []}
    events = [
        event(1, "cause_named", {"cause": "tube_wet"}),
        event(2, "proof_run", proof),
        event(3, "cause_named", {"cause": "water_in_sag"}),
        event(4, "proof_run", {**proof, "passed": True}),
    ]
    record = both("fold_job", {"events": events})["ok"]
    assert [(line["cause"], line["passed"]) for line in record["proofs"]] == [
        ("tube_wet", False),
        ("water_in_sag", True),
    ]
    assert record["proven"]


def test_what_was_taken_back_is_shown_as_such_and_counts_for_nothing(both):
    events = [
        event(1, "repair_made", {"action": "new_tube"}),
        event(2, "proof_run", {"passed": True, "minutes": 12, "restarts": 2, "looks_done": []}),
        event(3, "withdrawn", {}, replaces=["e001", "e002"]),
    ]
    record = both("fold_job", {"events": events})["ok"]
    assert (record["repairs"], record["proofs"], record["proven"]) == ([], [], False)
    back = record["taken_back"]
    assert [line["action"] for line in back["repairs"]] == ["new_tube"]
    assert [(line["passed"], line["cause"]) for line in back["proofs"]] == [(True, None)]
    assert [(one["event_id"], one["by"]["event_id"]) for one in back["withdrawals"]] == [
        ("e001", "e003"),
        ("e002", "e003"),
    ]


def test_an_answer_and_a_reading_that_were_taken_back_are_told_and_count_for_nothing(both):
    events = [
        event(1, "reading_taken", {"check": "co_room", "quantity": "co_room_ppm", "value": 90, "place": "room"}),
        event(2, "check_answered", {"check": "terminal", "outcome": "nest_or_debris", "could_not": None}),
        event(3, "withdrawn", {}, replaces=["e001", "e002"]),
    ]
    record = both("fold_job", {"events": events})["ok"]
    assert (record["checks"], record["readings"]) == ([], [])
    back = record["taken_back"]
    assert [(line["check"], line["outcome"]) for line in back["answers"]] == [("terminal", "nest_or_debris")]
    assert [(line["quantity"], line["value"]) for line in back["readings"]] == [("co_room_ppm", 90)]


def test_a_correction_and_a_withdrawal_that_is_withdrawn_take_nothing_back(both):
    events = [
        event(1, "note", {"words": "kept"}),
        event(2, "withdrawn", {}, replaces=["e001"]),
        event(3, "withdrawn", {}, replaces=["e002"]),
        event(4, "note", {"words": "wrong"}),
        event(5, "note", {"words": "right"}, replaces=["e004"]),
    ]
    record = both("fold_job", {"events": events})["ok"]
    assert [line["words"] for line in record["notes"]] == ["kept", "right"]
    assert record["taken_back"]["notes"] == []


def test_another_persons_withdrawal_takes_nothing_back(both):
    events = [event(1, "note", {"words": "mine"}), event(2, "withdrawn", {}, person_id="bo", replaces=["e001"])]
    record = both("fold_job", {"events": events})["ok"]
    assert [line["words"] for line in record["notes"]] == ["mine"]
    assert record["taken_back"]["withdrawals"] == []


def test_an_older_version_that_does_not_know_a_reason_counts_it_and_takes_the_check_as_not_done(monkeypatch, shipped):
    """It must not stand for an answer there: the gate waits, and nothing that needs the check can be done."""
    gate = [one for one in shipped["gate"] if one != "control_code"]
    events = [event(1, "job_opened", {"procedure_hash": shipped["hash"]})]
    events += [answered(n, one, outcome_of(shipped, one)) for n, one in enumerate(gate, start=2)]
    not_allowed = {"check": "co_meter", "outcome": None, "could_not": "not_allowed"}
    own = next(one for one in events if one["body"].get("check") == "co_meter")
    events.append(event(90, "check_answered", not_allowed, schema=2, replaces=[own["id"]]))
    newer = advise(shipped, fold_job(events))
    monkeypatch.delitem(SHAPES, ("check_answered", 2))
    record = fold_job(events)
    assert record["unknown"] == [{"kind": "check_answered", "schema": 2, "count": 1}]
    assert [one["check"] for one in record["checks"]] == [one for one in gate if one != "co_meter"]
    older = advise(shipped, record)
    assert newer["may_fire"] == older["may_fire"]
    assert "CO meter on, and staying on" in older["may_fire"]["missing"]
    assert older["gate"]["state"] == "open"
    assert older["gate"]["next_check"] == "co_meter"


def outcome_of(procedure, check):
    return next(one["outcomes"][0]["id"] for one in procedure["checks"] if one["id"] == check)


def below(*events):
    return [line["by"]["person_id"] for line in fold_job(list(events))["below_now"]]


def test_whoever_closes_at_the_heater_is_waited_for_until_they_are_out():
    went = event(1, "due_out", {"due_out_wall": "2026-11-25T10:00:00Z"})
    closed = event(2, "job_closed", {"state": "proven", "out": False}, schema=2)
    assert fold_job([went, closed])["state"] == "closed"
    assert below(went, closed) == ["ann"]
    assert below(went, closed, event(3, "came_out", {})) == []


def test_whoever_closes_outside_says_so_and_an_older_phone_knew_no_better():
    went = event(1, "due_out", {"due_out_wall": "2026-11-25T10:00:00Z"})
    assert below(went, event(2, "job_closed", {"state": "proven", "out": True}, schema=2)) == []
    assert below(went, event(2, "job_closed", {"state": "proven"})) == []
    other = event(2, "job_closed", {"state": "proven", "out": True}, schema=2, person_id="bo", device_id="d2")
    assert below(went, other) == ["ann"]
