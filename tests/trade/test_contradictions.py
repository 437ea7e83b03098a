"""Two people on one job, and an office that does not know yet what happens below: nothing is lost, and it is said."""

from __future__ import annotations

from typing import Any

import pytest

from tests.trade.making import answered, event
from webapp.trade.record import fold_job

CALL: dict[str, Any] = {
    **dict.fromkeys(("smell_of_gas", "co_alarm", "unwell", "water_leak"), "no"),
    "lately": [],
    "said": [],
}
BOOKED = {"complaint": "c", "complaint_words": "w", "technician_id": "ann", "procedure_name": "p"}
LEFT_OFF = {"what_words": "heater", "why_words": "split vent", "told_words": "the tenant"}
BO = {"person_id": "bo", "device_id": "d2"}
DESK = {"person_id": "cleo", "device_id": "d9"}


def due(number: int, hour: int, **who: Any) -> dict[str, Any]:
    return event(number, "due_out", {"due_out_wall": f"2026-11-25T{hour}:00:00Z"}, **who)


def below(record: dict[str, Any]) -> list[str]:
    return [line["by"]["person_id"] for line in record["below_now"]]


def folded(both: Any, *events: dict[str, Any]) -> Any:
    record = both("fold_job", {"events": list(events)})["ok"]
    assert both("fold_job", {"events": list(reversed(events)) * 2})["ok"] == record
    return record


def test_one_who_comes_out_says_nothing_about_the_other_who_is_still_below(both):
    record = folded(both, due(1, 14), due(2, 15, **BO), event(3, "came_out", {}))
    assert below(record) == ["bo"]
    assert record["below"]["due_out_wall"] == "2026-11-25T15:00:00Z"


def test_one_who_closes_the_job_says_nothing_about_the_other_who_is_still_below(both):
    record = folded(both, due(1, 14), due(2, 15, **BO), event(3, "job_closed", {"state": "proven"}))
    assert (record["state"], below(record)) == ("closed", ["bo"])


def test_a_newer_time_takes_the_place_of_the_same_persons(both):
    record = folded(both, due(1, 14), due(2, 15, **BO), due(3, 16))
    assert below(record) == ["bo", "ann"]
    assert [line["due_out_wall"][11:13] for line in record["below_now"]] == ["15", "16"]


def test_the_office_says_whom_it_heard_and_nobody_else_is_out(both):
    rang = event(3, "came_out", {"person_id": "bo", "words": "rang"}, schema=2, **DESK)
    assert below(folded(both, due(1, 14), due(2, 15, **BO), rang)) == ["ann"]


def test_a_word_of_the_office_without_a_name_brings_nobody_out(both):
    assert below(folded(both, due(1, 14), event(2, "came_out", {}, **DESK))) == ["ann"]


def test_coming_out_that_was_taken_back_puts_them_below_again(both):
    out = event(2, "came_out", {})
    assert below(folded(both, due(1, 14), out, event(3, "withdrawn", {}, replaces=[out["id"]]))) == ["ann"]


def test_a_cancelled_job_keeps_who_is_below_and_all_that_comes_after(both):
    cancelled = event(3, "job_cancelled", {"why": "works again"}, **DESK)
    finding = event(4, "check_answered", {"check": "tube", "outcome": "off", "could_not": None}, lamport=3)
    record = folded(both, event(1, "job_opened", {"procedure_hash": "h"}), due(2, 14), cancelled, finding)
    assert record["state"] == "cancelled"
    assert below(record) == ["ann"]
    assert [one["check"] for one in record["checks"]] == ["tube"]


def test_a_correction_of_the_booking_does_not_send_anybody_after_all(both):
    cancelled = event(2, "job_cancelled", {"why": "works again"}, **DESK)
    corrected = event(3, "job_moved", {"phone": "555-0101"}, schema=2, person_id="dana", device_id="d8")
    assert folded(both, event(1, "job_booked", BOOKED), cancelled, corrected)["state"] == "cancelled"
    moved = event(4, "job_moved", {"technician_id": "bo"}, **DESK)
    assert folded(both, event(1, "job_booked", BOOKED), cancelled, corrected, moved)["state"] == "booked"


def test_every_closing_is_kept_and_the_last_one_counts(both):
    record = folded(
        both, event(1, "job_closed", {"state": "proven"}), event(2, "job_closed", {"state": "waiting_part"}, **BO)
    )
    assert [(one["state"], one["by"]["person_id"]) for one in record["closings"]] == [
        ("proven", "ann"),
        ("waiting_part", "bo"),
    ]
    assert record["closed"]["state"] == "waiting_part"


def test_a_job_closed_as_left_off_stands_off_without_its_own_entry_too(both):
    left = event(1, "left_off", LEFT_OFF)
    closed = event(2, "job_closed", {"state": "left_off"})
    record = folded(both, left, closed, event(3, "withdrawn", {}, replaces=[left["id"]]))
    assert (record["heater_off"], record["office_not_told"]) == (True, True)
    told = event(4, "office_told", {"told_wall": "x", "who_words": "y"}, lamport=2)
    record = folded(both, left, told, dict(closed, lamport=3))
    assert (record["heater_off"], record["office_not_told"]) == (True, False)
    record = folded(both, closed, event(3, "put_back", {"words": "proved"}, **DESK))
    assert record["heater_off"] is False


@pytest.mark.parametrize("late", ["before", "after"])
def test_left_off_by_one_and_put_back_by_another_goes_by_the_fold_order_and_keeps_both(both, late):
    left, back = event(5, "left_off", LEFT_OFF), event(4 if late == "before" else 6, "put_back", {"words": "x"}, **BO)
    record = folded(both, left, back)
    assert record["heater_off"] is (late == "before")
    assert (len(record["left_off"]), len(record["put_back"])) == (1, 1)


def test_of_two_heaters_left_off_one_is_put_back_by_name_and_the_other_stands_off(both):
    left, right = event(1, "left_off", LEFT_OFF), event(2, "left_off", LEFT_OFF)
    back = event(3, "put_back", {"words": "proved", "left_off_ids": [left["id"]]}, schema=2, **DESK)
    record = folded(both, left, right, back)
    assert (record["standing_off"], record["heater_off"]) == ([right["id"]], True)
    rest = event(4, "put_back", {"words": "proved too", "left_off_ids": [right["id"]]}, schema=2, **DESK)
    assert folded(both, left, right, back, rest)["standing_off"] == []
    undone = event(5, "withdrawn", {}, replaces=[back["id"]], **DESK)
    assert folded(both, left, right, back, rest, undone)["standing_off"] == [left["id"]]


@pytest.mark.parametrize(("schema", "body"), [(1, {"words": "x"}), (2, {"words": "x"})])
def test_a_put_back_that_names_nothing_means_all_that_was_left_off_before(both, schema, body):
    before = [event(1, "left_off", LEFT_OFF), event(2, "left_off", LEFT_OFF)]
    back, after = event(3, "put_back", body, schema=schema, **DESK), event(4, "left_off", LEFT_OFF)
    assert folded(both, *before, back, after)["standing_off"] == [after["id"]]


def test_a_close_as_left_off_speaks_only_as_long_as_no_entry_does(both):
    closed, left = event(1, "job_closed", {"state": "left_off"}), event(2, "left_off", LEFT_OFF, **BO)
    assert folded(both, closed)["standing_off"] == [closed["id"]]
    assert folded(both, closed, left)["standing_off"] == [left["id"]]


def test_a_call_that_was_corrected_says_what_it_says_now_and_two_peoples_calls_both_stand(both):
    heard = event(1, "call_taken", dict(CALL, smell_of_gas="yes"))
    meant = event(2, "call_taken", CALL, replaces=[heard["id"]])
    assert [one["smell_of_gas"] for one in folded(both, heard, meant)["calls"]] == ["no"]
    other = event(3, "call_taken", CALL, replaces=[heard["id"]], **BO)
    record = folded(both, heard, other)
    assert [one["smell_of_gas"] for one in record["calls"]] == ["yes", "no"]
    assert record["call"]["smell_of_gas"] == "no"


def test_an_appointment_is_taken_back_and_promised_again(both):
    booked = event(1, "job_booked", dict(BOOKED, due_wall="2026-11-25T15:00:00Z"))
    cleared = event(2, "job_moved", {"due_cleared": True}, schema=3)
    assert folded(both, booked, cleared)["due_wall"] is None
    again = event(3, "job_moved", {"due_wall": "2026-11-26T15:00:00Z"})
    assert folded(both, booked, cleared, again)["due_wall"] == "2026-11-26T15:00:00Z"


def test_a_day_of_a_wrong_clock_changes_nothing_but_what_is_shown():
    def job(first: str, second: str) -> Any:
        record: Any = fold_job([due(1, 14, at_wall=first), event(2, "came_out", {}, at_wall=second), due(3, 15, **BO)])
        for line in [*record["due_outs"], *record["came_out"], *record["below_now"], record["below"]]:
            line["by"].pop("at_wall", None)
        return record

    assert job("2026-11-25T08:00:00Z", "2026-11-25T09:00:00Z") == job("2026-11-26T08:00:00Z", "2026-11-24T09:00:00Z")


@pytest.mark.parametrize(("probe", "live"), [("a-phone", "b-phone"), ("b-phone", "a-phone")])
def test_of_two_phones_that_count_alike_the_folds_order_says_what_came_later(probe, live, both, power_vent):
    """Plug out on one, volts under power on the other, with the same count: one of them comes first, on every phone."""
    events = [
        event(1, "job_opened", {"procedure_hash": power_vent["hash"]}),
        answered(2, "gas_off", "off_and_tagged"),
        answered(3, "plug_out", "proved_dead", device_id=probe, lamport=10),
        answered(4, "blower_volts", "present", device_id=live, lamport=10, person_id="bo"),
    ]
    advice = both("step", {"procedure_hash": power_vent["hash"], "events": events})["ok"]["advice"]
    is_undone = probe < live
    assert ("plug_out" in advice["available"]) is is_undone
