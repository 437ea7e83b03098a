"""Rows made from events: gone wrong they cost nothing, made again they are the same."""

from __future__ import annotations

from datetime import timedelta
from typing import Any

import pytest
from sqlalchemy import inspect, select
from sqlalchemy.orm import Session

from tests.contract.conftest import Hand, book, count_events
from tests.factories import NOW
from webapp.extensions import Database
from webapp.models import Finding, Job, JobOutcome, Photo, PhotoUse, PutBackOf, Reading, Site, StandingOff
from webapp.models.ids import new_id
from webapp.sync import projections
from webapp.sync.rebuild import rebuild

MADE = (Job, JobOutcome, Finding, Reading, StandingOff, PutBackOf, Photo, PhotoUse, Site)


def all_rows(session: Session) -> dict[str, list[dict[str, Any]]]:
    session.rollback()
    session.expire_all()
    found = {}
    for table in MADE:
        keys = [attribute.key for attribute in inspect(table).column_attrs]
        rows = [{key: getattr(row, key) for key in keys} for row in session.scalars(select(table))]
        found[table.__tablename__] = sorted(rows, key=lambda row: str(next(iter(row.values()))))
    return found


def a_company(desk: Hand, ada: Hand, bo: Hand) -> None:
    for n in range(3):
        site, job = new_id(), new_id()
        book(desk, ada, site, job, now=NOW + timedelta(hours=n))
        photo = {
            "sha256": f"{n:064x}",
            "length_bytes": 9,
            "media_type": "image/jpeg",
            "width_px": 1,
            "height_px": 1,
            "check": None,
        }
        check = {"check": "tube", "outcome": "split", "could_not": None}
        first = ada.make("check_answered", check, site=site, job=job)
        walk = [
            ada.make("job_opened", {"procedure_hash": "a" * 64}, site=site, job=job),
            first,
            ada.make("check_answered", check | {"outcome": "sound"}, site=site, job=job, replaces=[first["id"]]),
            ada.make(
                "reading_taken", {"check": None, "quantity": "suction_in_wc", "value": 0.4 + n}, site=site, job=job
            ),
            ada.make("photo_taken", photo, site=site, job=job),
            ada.make("tomorrows_kind", {"x": n}, site=site, job=job),
        ]
        for event in walk:
            ada.store(event, now=NOW + timedelta(hours=n, minutes=7))
        ada.store(ada.make("address_given", {"street": f"{n} New Row", "town": "Dunmere"}, site=site, lamport=99))


def test_rebuilt_rows_are_the_same_rows(desk: Hand, ada: Hand, bo: Hand, database: Database, session: Session) -> None:
    a_company(desk, ada, bo)
    before = all_rows(session)
    assert [len(before[name]) for name in ("job", "finding", "reading", "photo", "site")] == [3, 3, 3, 3, 3]
    with database.session() as writing:
        writing.query(Job).update({"record": None, "state": "booked", "cause": "nonsense", "event_count": 0})
        writing.query(Finding).delete()
        writing.query(Reading).update({"value": 0})
        writing.query(PhotoUse).delete()
        writing.query(Site).update({"street": "nonsense", "search_text": ""})
        writing.commit()
        done = rebuild(writing)
    assert (done.sites, done.jobs, done.failed) == (3, 3, 0)
    assert all_rows(session) == before


def test_events_one_by_one_and_all_at_once_give_the_same_rows(
    desk: Hand, ada: Hand, session: Session, database: Database
) -> None:
    site, job = new_id(), new_id()
    walk = [ada.make("job_opened", {"procedure_hash": "a" * 64}, site=site, job=job)]
    walk += [
        ada.make("check_answered", {"check": f"c{n}", "outcome": "ok", "could_not": None}, site=site, job=job)
        for n in range(5)
    ]
    ada.store(*walk)
    at_once = all_rows(session)
    other = {event["id"]: event | {"id": new_id(), "site_id": "", "job_id": ""} for event in walk}
    second_site, second_job = new_id(), new_id()
    for event in other.values():
        ada.store(event | {"site_id": second_site, "job_id": second_job})
    one_by_one = all_rows(session)
    strip = {"id", "site_id", "job_id", "event_id", "record", "group_id", "chain"}

    def plain(rows: list[dict[str, Any]], owner: str) -> list[dict[str, Any]]:
        own = [row for row in rows if owner in (row.get("site_id"), row.get("id"))]
        return sorted(({k: v for k, v in row.items() if k not in strip} for row in own), key=str)

    for name in ("job", "finding", "site"):
        assert plain(one_by_one[name], second_site) == plain(at_once[name], site) != []


def test_a_fold_that_fails_leaves_the_events_and_marks_the_job(
    ada: Hand, database: Database, session: Session, site: str, job: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    good_job = new_id()
    real_fold = projections.fold_job

    def broken_fold(events: object) -> object:
        record = real_fold(events)
        if record["job_id"] == job:
            raise ZeroDivisionError
        return record

    monkeypatch.setattr(projections, "fold_job", broken_fold)
    events = [ada.note(site, job), ada.note(site, good_job), ada.note(site)]
    assert ada.statuses(*events) == ["stored"] * 3
    assert count_events(session) == 3
    assert session.get_one(Job, job).needs_rebuild
    assert not session.get_one(Job, good_job).needs_rebuild

    monkeypatch.undo()
    with database.session() as writing:
        assert rebuild(writing, only_marked=True).failed == 0
    session.rollback()
    session.expire_all()
    assert not session.get_one(Job, job).needs_rebuild
    assert session.get_one(Job, job).event_count == 1


def test_a_row_that_the_database_refuses_marks_the_job_and_spares_the_rest(
    ada: Hand, session: Session, site: str, job: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    good_job = new_id()
    real_row = projections.job_row

    def broken_row(record: Any, **given: Any) -> dict[str, Any]:
        row = real_row(record, **given)
        return row | {"site_id": new_id()} if given["job_id"] == job else row

    monkeypatch.setattr(projections, "job_row", broken_row)
    assert ada.statuses(ada.note(site, job), ada.note(site, good_job)) == ["stored", "stored"]
    assert session.get_one(Job, job).needs_rebuild
    assert session.get_one(Job, good_job).event_count == 1


def test_a_job_id_taken_at_another_address_is_not_hijacked(
    desk: Hand, ada: Hand, bo: Hand, session: Session, site: str, job: str
) -> None:
    book(desk, ada, site, job)
    elsewhere = new_id()
    assert bo.statuses(bo.make("job_opened", {"procedure_hash": "b" * 64}, site=elsewhere, job=job)) == ["stored"]
    row = session.get_one(Job, job)
    assert (row.site_id, row.state, row.technician_id) == (site, "booked", ada.person.id)


def test_an_address_without_any_address_given_has_empty_words(ada: Hand, session: Session, site: str) -> None:
    ada.store(ada.note(site))
    assert session.get_one(Site, site).search_text == ""


def test_a_clock_at_the_edge_of_time_gives_no_moment_and_no_fault(
    ada: Hand, session: Session, site: str, job: str
) -> None:
    at_the_edge = {"at_wall": "0001-01-01T00:00:00Z", "clock_offset": -(10**12)}
    event = ada.make("job_opened", {"procedure_hash": "a" * 64}, site=site, job=job, **at_the_edge)
    assert ada.statuses(event) == ["stored"]
    row = session.get_one(Job, job)
    assert (row.state, row.opened_at, row.needs_rebuild) == ("open", None, False)


def test_a_job_folded_by_an_older_version_counts_as_marked(
    ada: Hand, database: Database, session: Session, site: str, job: str
) -> None:
    ada.store(ada.note(site, job), ada.note(new_id(), new_id()))
    with database.session() as writing:
        assert rebuild(writing, only_marked=True).jobs == 0
        writing.query(Job).filter_by(id=job).update({"fold_version": 0, "record": None})
        writing.commit()
        assert rebuild(writing, only_marked=True).jobs == 1
    row = session.get_one(Job, job)
    assert row.record is not None
    assert row.fold_version == row.record["fold_version"]
