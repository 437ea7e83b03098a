from __future__ import annotations

import json
import re
import uuid
from collections import Counter
from functools import cache
from typing import Any

from tests.invent.toy import toy_story
from webapp.invent.company import make_company
from webapp.invent.plan import Visit
from webapp.invent.stage import Written


@cache
def told(jobs: int, seed: int = 7) -> list[tuple[Visit, Written]]:
    return list(toy_story(jobs, seed).visits())


def events_of(written: Written) -> list[dict[str, Any]]:
    return [dict(event) for batch in written.batches for event in batch.events]


def all_events(jobs: int, seed: int = 7) -> list[dict[str, Any]]:
    return [event for _, written in told(jobs, seed) for event in events_of(written)]


def test_the_same_seed_tells_the_same_story_to_the_byte() -> None:
    again = [event for _, written in toy_story(300).visits() for event in events_of(written)]
    assert json.dumps(again) == json.dumps(all_events(300))


def test_another_seed_tells_another_story() -> None:
    assert json.dumps(all_events(40, seed=8)) != json.dumps(all_events(40))


def test_a_story_told_twice_by_one_company_does_not_count_on() -> None:
    story = toy_story(30)
    assert [events_of(w) for _, w in story.visits()] == [events_of(w) for _, w in story.visits()]


def test_exactly_as_many_jobs_as_asked_for_within_about_eighteen_months() -> None:
    visits = [visit for visit, _ in told(1000)]
    assert len(visits) == 1000
    assert 430 < max(v.booked_day for v in visits) < 670


def test_ids_are_uuid7_of_their_moment_and_never_repeat() -> None:
    events = all_events(1000)
    ids = [event["id"] for event in events]
    assert len(set(ids)) == len(ids)
    parsed = uuid.UUID(ids[500])
    assert (parsed.version, parsed.variant) == (7, uuid.RFC_4122)


def test_site_ids_sort_as_the_addresses_first_called() -> None:
    sites = list(dict.fromkeys(written.site_id for _, written in told(300)))
    moments = [site_id[:13] for site_id in sites]  # the milliseconds of a UUIDv7
    assert moments == sorted(moments)


def test_every_device_counts_its_events_without_a_hole() -> None:
    by_device: dict[str, list[int]] = {}
    for event in all_events(1000):
        by_device.setdefault(event["device_id"], []).append(event["dev_seq"])
    assert all(sorted(seqs) == list(range(1, len(seqs) + 1)) for seqs in by_device.values())


def test_lamport_grows_by_one_within_a_job() -> None:
    for _, written in told(300):
        of_job = [event["lamport"] for event in events_of(written) if event["job_id"]]
        assert of_job == list(range(1, len(of_job) + 1))


def test_an_address_is_named_once_and_before_its_first_job() -> None:
    seen: set[str] = set()
    for _, written in told(1000):
        kinds = [event["kind"] for event in events_of(written)]
        assert kinds.count("address_given") == (written.site_id not in seen)
        assert "address_given" not in kinds or kinds[0] == "address_given"
        seen.add(written.site_id)


def test_what_is_replaced_is_an_earlier_event_of_the_same_person() -> None:
    replaced = 0
    for _, written in told(1000):
        by_id: dict[str, dict[str, Any]] = {}
        for event in events_of(written):
            for other in event["replaces"]:
                assert by_id[other]["person_id"] == event["person_id"]
                replaced += 1
            by_id[event["id"]] = event
    assert replaced > 50


def test_a_second_person_contradicts_and_replaces_nothing() -> None:
    found = 0
    for _, written in told(1000):
        people = Counter(e["person_id"] for e in events_of(written) if e["kind"] == "check_answered")
        if len(people) > 1:
            found += 1
            last = events_of(written)[-1]
            before = [
                e
                for e in events_of(written)[:-1]
                if e["kind"] == "check_answered" and e["body"]["check"] == last["body"]["check"]
            ]
            assert not last["replaces"]
            assert before[-1]["body"]["outcome"] != last["body"]["outcome"]
    assert 20 < found < 90


def test_a_heater_left_off_was_stopped_at_the_gate_and_nothing_was_repaired() -> None:
    left_off = 0
    for visit, written in told(1000):
        kinds = [event["kind"] for event in events_of(written)]
        if visit.ending == "left_off" and written.state == "closed":
            left_off += 1
            assert {"left_off", "job_closed"} <= set(kinds)
            assert not {"repair_made", "cause_named", "proof_run"} & set(kinds)
    assert left_off > 10


def test_the_story_ends_with_work_still_to_do_and_nothing_from_the_future() -> None:
    story = toy_story(1000)
    states = Counter()  # type: Counter[str]
    for _, written in story.visits():
        states[written.state] += 1
        assert all(batch.received_at <= story.until or batch.member.role == "technician" for batch in written.batches)
    assert states["booked"] > 0
    assert states["closed"] > 950


def test_clocks_of_some_phones_are_hours_wrong_and_their_events_say_by_how_much() -> None:
    story = toy_story(6)
    technicians = make_company(7, 20_000, story.company.procedures, story.founded).of_role("technician")
    wrong = [member for member in technicians if abs(member.clock_error_ms) >= 3_600_000]
    assert 1 <= len(wrong) <= len(technicians) // 4
    story.company.of_role("technician")[0].clock_error_ms = 7_200_000
    offsets = {event["clock_offset"] for _, written in story.visits() for event in events_of(written)}
    assert {-7_200_000, 0} <= offsets


def test_no_text_holds_a_telephone_number_outside_the_range_for_stories() -> None:
    text = json.dumps(all_events(1000))
    for digits in re.findall(r"\d{3}-\d{4}", re.sub(r"[0-9a-f]{8}-[0-9a-f-]{27}", "", text)):
        assert re.fullmatch(r"555-01\d\d", digits), digits
