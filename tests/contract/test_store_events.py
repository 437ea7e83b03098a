from __future__ import annotations

import hashlib
import json

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.contract.conftest import Hand, assert_whole, count_events
from webapp.models import Device, EventRow, Finding, Job, Reading, Site
from webapp.models.ids import new_id
from webapp.sync.canonical import event_of
from webapp.sync.counters import LARGEST_LEAP


def test_a_walk_is_stored_and_its_rows_are_made(ada: Hand, session: Session, site: str, job: str) -> None:
    noise = ada.note(new_id(), new_id())
    walk = [
        ada.make("address_given", {"street": "12 Mill Lane", "town": "Dunmere", "phone": "555-0142"}, site=site),
        ada.make("job_opened", {"procedure_hash": "a" * 64}, site=site, job=job),
        ada.make("check_answered", {"check": "tube", "outcome": "split", "could_not": None}, site=site, job=job),
        ada.make("reading_taken", {"check": None, "quantity": "suction_in_wc", "value": 0.4}, site=site, job=job),
        ada.make("job_closed", {"state": "not_proven"}, site=site, job=job),
    ]
    assert ada.statuses(noise, *walk) == ["stored"] * 6
    stored = session.get_one(Site, site)
    assert (stored.head, stored.street, stored.phone_key) == (5, "12 Mill Lane", "5550142"[-7:])
    row = session.get_one(Job, job)
    assert (row.state, row.close_state, row.technician_id) == ("closed", "not_proven", ada.person.id)
    assert session.scalars(select(Finding.outcome).where(Finding.job_id == job)).all() == ["split"]
    assert session.scalars(select(Reading.value).where(Reading.job_id == job)).all() == [0.4]


def test_the_same_push_again_changes_nothing(ada: Hand, session: Session, site: str, job: str) -> None:
    events = [ada.note(site, job) for _ in range(3)]
    first = ada.store(*events)
    again = ada.store(*events)
    assert [result["status"] for result in again["results"]] == ["duplicate"] * 3
    assert [result["seq"] for result in again["results"]] == [1, 2, 3]
    assert again["heads"] == first["heads"]
    assert count_events(session) == 3


def test_an_event_twice_in_one_batch_is_stored_once(ada: Hand, session: Session, site: str) -> None:
    event = ada.note(site)
    assert ada.statuses(event, event) == ["stored", "duplicate"]
    assert count_events(session) == 1


def test_an_id_used_again_with_another_body_is_refused_alone(ada: Hand, session: Session, site: str) -> None:
    event = ada.note(site)
    ada.store(event)
    outcome = ada.store(event | {"body": {"words": "something else"}}, ada.note(site))
    assert [(r["status"], r.get("code")) for r in outcome["results"]] == [("rejected", "id_reused"), ("stored", None)]
    assert session.get_one(EventRow, event["id"]).body == {"words": "a note"}


def test_an_id_used_again_at_another_site_is_refused(ada: Hand, site: str) -> None:
    event = ada.note(site)
    ada.store(event)
    assert ada.statuses(event | {"site_id": new_id()}) == ["rejected"]


@pytest.mark.parametrize(
    "spoil",
    [
        {"id": "not-a-uuid"},
        {"id": "0189d2f0-0000-4000-8000-000000000000"},
        {"site_id": None},
        {"dev_seq": 0},
        {"dev_seq": True},
        {"dev_seq": 1.0},
        {"dev_seq": 2**53},
        {"lamport": "7"},
        {"at_wall": "2026-11-25 08:19:09"},
        {"at_wall": "2026-13-25T08:19:09Z"},
        {"at_wall": "2026-11-25T08:19:09+01:00"},
        {"kind": "Check answered"},
        {"schema": 0},
        {"replaces": "none"},
        {"replaces": [7]},
        {"body": []},
        {"body": {}},
        {"body": {"words": 7}},
        {"body": {"words": "x", "more": 1}},
        {"body": {"words": "half a character: \ud800"}},
        {"body": {"words": "NUL: \x00"}},
        {"body": {"words": "w" * 30_000}},
        {"more": 1},
    ],
)
def test_one_poisoned_event_parks_itself_and_not_the_batch(
    ada: Hand, session: Session, site: str, spoil: object
) -> None:
    good = [ada.note(site) for _ in range(19)]
    poisoned = ada.note(site) | spoil  # type: ignore[operator]
    outcome = ada.store(*good[:10], poisoned, *good[10:])
    assert [r["status"] for r in outcome["results"]] == ["stored"] * 10 + ["rejected"] + ["stored"] * 9
    assert outcome["results"][10]["code"] == "bad_event"
    assert outcome["results"][10]["message"]
    assert count_events(session) == 19
    assert_whole(session)


@pytest.mark.parametrize("poison", [None, 7, "text", [], {}])
def test_what_is_no_event_at_all_parks_itself_too(ada: Hand, site: str, poison: object) -> None:
    assert ada.statuses(ada.note(site), poison) == ["stored", "rejected"]


def test_numbers_that_json_does_not_have_are_refused(ada: Hand, site: str) -> None:
    for value in (float("nan"), float("inf")):
        body = {"check": None, "quantity": "suction_in_wc", "value": value}
        assert ada.statuses(ada.make("reading_taken", body, site=site)) == ["rejected"]
        assert ada.statuses(ada.make("not_known_yet", {"value": value}, site=site)) == ["rejected"]


def test_kinds_and_schemas_of_tomorrow_are_stored_and_counted(ada: Hand, session: Session, site: str, job: str) -> None:
    tomorrow = ada.make("smell_noted", {"anything": [1, {"deep": None}]}, site=site, job=job)
    newer = ada.make("note", {"other": "shape"}, site=site, job=job, schema=2)
    assert ada.statuses(tomorrow, newer, ada.note(site, job)) == ["stored"] * 3
    record = session.get_one(Job, job).record
    assert record is not None
    assert [(u["kind"], u["schema"], u["count"]) for u in record["unknown"]] == [("note", 2, 1), ("smell_noted", 1, 1)]


def test_what_comes_out_is_byte_for_byte_what_went_in(ada: Hand, session: Session, site: str) -> None:
    body = {"é": "Größe 3/4″", "n": [1, 1.5, 1e-7, -0.0, 12345678901234567890], "t": True, "z": None}
    event = ada.make("not_known_yet", body, site=site, clock_offset=-32_400_000)
    ada.store(event)
    stored = event_of(session.get_one(EventRow, event["id"]))
    assert json.dumps(stored, sort_keys=True) == json.dumps(event, sort_keys=True)


def test_the_chain_can_be_made_again_from_the_contract_alone(ada: Hand, session: Session, site: str) -> None:
    events = [ada.note(site) for _ in range(4)]
    ada.store(*events[:2])
    heads = ada.store(*events[2:])["heads"]
    chain = ""
    for event in events:  # docs/sync.md, written out again here with nothing of the app's
        text = json.dumps(event, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
        digest = hashlib.sha256(text.encode()).hexdigest()
        chain = hashlib.sha256((chain + event["id"] + digest).encode()).hexdigest()
    assert heads == [{"site_id": site, "head": 4, "chain": chain}]


def test_the_hole_in_a_devices_numbers_can_be_seen(ada: Hand, session: Session, site: str) -> None:
    events = [ada.note(site) for _ in range(5)]
    ada.store(events[4], events[0])
    assert session.scalar(select(Device.last_dev_seq).where(Device.id == ada.device.id)) == 5
    assert count_events(session) == 2


def test_the_largest_number_that_the_contract_allows_is_remembered(ada: Hand, session: Session, site: str) -> None:
    assert ada.statuses(ada.note(site, dev_seq=2**53 - 1)) == ["stored"]
    assert session.scalar(select(Device.last_dev_seq).where(Device.id == ada.device.id)) == 2**53 - 1


def test_events_may_arrive_in_any_order_and_give_the_same_record(ada: Hand, session: Session, site: str) -> None:
    jobs = [new_id(), new_id()]
    records = []
    for job, step in zip(jobs, (1, -1), strict=True):
        walk = [
            ada.make("job_opened", {"procedure_hash": "a" * 64}, site=site, job=job),
            ada.make("check_answered", {"check": "tube", "outcome": "split", "could_not": None}, site=site, job=job),
            ada.make("check_answered", {"check": "tube", "outcome": "sound", "could_not": None}, site=site, job=job),
        ]
        for event in walk[::step]:
            ada.store(event)
        session.rollback()
        record = session.get_one(Job, job).record
        assert record is not None
        records.append([(c["check"], c["state"], c["outcome"]) for c in record["checks"]])
    assert records[0] == records[1] == [("tube", "answered", "sound")]


def test_a_counter_that_ran_away_parks_its_event_and_leaves_the_job_usable(
    ada: Hand, bo: Hand, desk: Hand, site: str, job: str
) -> None:
    highest = ada.note(site, job, lamport=7)
    ada.maker.lamport = 7
    assert ada.statuses(highest) == ["stored"]
    answer = ada.store(ada.note(site, job, lamport=2**53 - 1), ada.note(site, job))
    assert [result["status"] for result in answer["results"]] == ["rejected", "stored"]
    assert (answer["results"][0]["code"], "lamport" in answer["results"][0]["message"]) == ("bad_event", True)
    assert desk.statuses(desk.note(site, job)) == ["stored"]


def test_a_counter_may_run_ahead_of_what_the_server_knows_up_to_the_limit(ada: Hand, site: str, job: str) -> None:
    at_limit = ada.note(site, job, lamport=LARGEST_LEAP)
    above = ada.note(site, job, lamport=2 * LARGEST_LEAP + 1)
    assert ada.statuses(at_limit, above) == ["stored", "rejected"]
    assert ada.statuses(ada.note(site, job, lamport=2 * LARGEST_LEAP)) == ["stored"]
    assert ada.statuses(ada.note(site, job, lamport=3 * LARGEST_LEAP), above) == ["stored", "stored"]
    assert ada.statuses(above) == ["duplicate"]
