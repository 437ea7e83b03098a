from __future__ import annotations

import re
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any
from zoneinfo import ZoneInfo

import pytest
from sqlalchemy import func, select

from webapp.errors import Conflict
from webapp.extensions import Database
from webapp.invent.demo import demo_words, open_demo
from webapp.invent.model_sheets import TIME_ZONE
from webapp.invent.scenario import DEMO_PEOPLE, due_of
from webapp.invent.scene_acts import PHOTO
from webapp.invent.scenes import SCENES
from webapp.keeping.backup import STORE_FILE
from webapp.models import EventRow, Job, Person, Photo, Site
from webapp.people.passwords import password_fits
from webapp.procedures import compiled
from webapp.sheets.for_phones import company_for_phone
from webapp.sheets.schemas import CompanyOut
from webapp.sheets.settings import read_settings
from webapp.sync.photos import photo_path

NOW = datetime(2026, 11, 25, 9, 30, tzinfo=UTC)
PROCEDURE: dict[str, Any] = dict(compiled("power_vent"))
CHECKS: dict[str, Any] = {check["id"]: check for check in PROCEDURE["checks"]}


@pytest.fixture(scope="module")
def data(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("demo") / "data"
    assert open_demo(folder, NOW, tell=lambda _words: None)
    return folder


@pytest.fixture
def demo(data: Path) -> Iterator[Database]:
    database = Database(f"sqlite:///{data / STORE_FILE}")
    yield database
    database.dispose()


def acts() -> Iterator[tuple[str, dict[str, Any]]]:
    return ((kind, body) for scene in SCENES for visit in scene.visits for kind, body in visit.acts)


def test_the_scenes_speak_of_checks_outcomes_and_causes_that_the_procedure_has() -> None:
    causes = {cause["id"] for cause in PROCEDURE["causes"]}
    looks = {look["id"] for look in PROCEDURE["closing_looks"]}
    for kind, body in acts():
        if kind in ("check_answered", "reading_taken", PHOTO) and body["check"]:
            check = CHECKS[body["check"]]
            if kind == "check_answered" and body["outcome"]:
                assert body["outcome"] in [outcome["id"] for outcome in check["outcomes"]]
            if kind == "reading_taken":
                assert body["quantity"] in [spec["quantity"] for spec in check["readings"]]
        elif kind in ("cause_named", "hunch"):
            assert body["cause"] in causes
        elif kind == "repair_made":
            assert body["action"] in [repair["id"] for repair in PROCEDURE["repairs"]]
        elif kind == "proof_run":
            assert set(body["looks_done"]) <= looks


def test_the_switch_was_changed_twice_and_today_somebody_else_is_sent(demo: Database) -> None:
    with demo.reading_session() as session:
        site = session.scalars(select(Site).where(Site.street.contains("Lamplighter"))).one()
        jobs = list(session.scalars(select(Job).where(Job.site_id == site.id).order_by(Job.due_wall)))
        people = {person.id: person.login for person in session.scalars(select(Person))}
    assert [job.state for job in jobs] == ["closed", "closed", "booked"]
    assert [job.cause for job in jobs] == ["switch_drifted", "switch_drifted", None]
    assert [people[job.technician_id or ""] for job in jobs] == ["maximiliane", "maximiliane", "teo"]
    for job in jobs[:2]:
        assert job.record is not None
        assert [repair["action"] for repair in job.record["repairs"]] == ["new_switch"]
        assert not [one for one in job.record["readings"] if one["quantity"] == "suction_in_wc"], "never measured"


def test_there_is_a_job_for_every_state_and_a_heater_left_off(demo: Database) -> None:
    with demo.reading_session() as session:
        jobs = list(session.scalars(select(Job)))
    assert {job.state for job in jobs} == {"booked", "open", "closed", "cancelled"}
    assert "left_off" in {job.close_state for job in jobs}
    assert all(job.record and not job.record["unreadable"] and not job.needs_rebuild for job in jobs)


def test_a_first_visit_waits_today_at_an_address_without_history(demo: Database) -> None:
    with demo.reading_session() as session:
        site = session.scalars(select(Site).where(Site.street == "8 Elm Row")).one()
        jobs = list(session.scalars(select(Job).where(Job.site_id == site.id)))
    assert [(job.state, job.due_wall and job.due_wall > "2026-11-25T10") for job in jobs] == [("booked", True)]


def test_a_hot_run_lasts_as_long_as_it_says_and_a_heater_is_back_only_after_it(demo: Database) -> None:
    with demo.reading_session() as session:
        told = select(Site.id).where(Site.street.in_([scene.address["street"] for scene in SCENES]))
        of_scenes = select(EventRow).where(EventRow.job_id.is_not(None), EventRow.site_id.in_(told))
        rows = session.scalars(of_scenes.order_by(EventRow.lamport)).all()
    of_job: dict[str, list[EventRow]] = {}
    for row in rows:
        of_job.setdefault(row.job_id or "", []).append(row)
    runs = put_back = 0
    for events in of_job.values():
        kinds = [event.kind for event in events]
        for before, run in pairwise(events):
            if run.kind == "proof_run" and before.person_id == run.person_id:
                took = datetime.fromisoformat(run.at_wall) - datetime.fromisoformat(before.at_wall)
                assert took >= timedelta(minutes=run.body["minutes"]), (kinds, took)
                runs += 1
        if "put_back" in kinds and "proof_run" in kinds:
            assert kinds.index("put_back") > kinds.index("proof_run")
            put_back += 1
    assert runs == 4
    assert put_back == 1


def test_no_hot_run_of_the_whole_company_is_noted_sooner_than_it_lasted(demo: Database) -> None:
    with demo.reading_session() as session:
        records = [record for record in session.scalars(select(Job.record)) if record]
    runs = [run for record in records for run in record["proofs"]]
    assert len(runs) > 30
    assert [run["too_soon"] for run in runs if run["too_soon"]] == []


def test_one_front_door_typed_twice_is_one_address(demo: Database) -> None:
    with demo.reading_session() as session:
        sites = list(
            session.scalars(select(Site).where(Site.street.in_(("41 Copperkettle Rise", "41 Copper Kettle Rise"))))
        )
    assert len(sites) == 2
    assert len({site.group_id for site in sites}) == 1


def test_every_photo_that_an_event_names_is_there(demo: Database, data: Path) -> None:
    with demo.reading_session() as session:
        photos = list(session.scalars(select(Photo)))
    assert len(photos) >= 3
    assert all(
        photo.stored_at and photo_path(data, photo.sha256).stat().st_size == photo.length_bytes for photo in photos
    )


def test_the_printed_passwords_fit_and_are_printed(demo: Database, data: Path) -> None:
    words = demo_words(data, 8106, is_new=True)
    with demo.reading_session() as session:
        hashes = {person.login: person.password_hash for person in session.scalars(select(Person))}
    assert set(hashes) == {who.login for who in DEMO_PEOPLE}
    for who in DEMO_PEOPLE:
        assert password_fits(who.password, hashes[who.login])
        assert who.password in words
    assert "http://127.0.0.1:8106/phone/" in words
    assert len(re.findall(r"\b[2-9A-Z]{4}-[2-9A-Z]{4}\b", words)) == 2


def test_a_second_start_keeps_the_data(demo: Database, data: Path) -> None:
    with demo.reading_session() as session:
        before = session.scalar(select(func.count()).select_from(EventRow))
    assert open_demo(data, NOW, tell=lambda _words: None) is False
    with demo.reading_session() as session:
        assert session.scalar(select(func.count()).select_from(EventRow)) == before
    assert before
    assert before > 500


def test_a_start_that_was_cut_off_leaves_nothing_half_made(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def cut_off(*_args: object) -> None:
        raise KeyboardInterrupt

    data = tmp_path / "data"
    with monkeypatch.context() as patched:
        patched.setattr("webapp.invent.demo.play_scenario", cut_off)
        with pytest.raises(KeyboardInterrupt):
            open_demo(data, NOW, tell=lambda _words: None)
    assert not data.exists()
    assert data.with_name("data.making").exists()
    monkeypatch.setattr("webapp.invent.demo.play_scenario", lambda *_args: None)
    assert open_demo(data, NOW, tell=lambda _words: None)
    assert (data / STORE_FILE).exists()
    assert not data.with_name("data.making").exists()


def test_a_folder_with_other_things_in_it_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / "letters.txt").write_text("mine", encoding="utf-8")
    with pytest.raises(Conflict, match="--data"):
        open_demo(tmp_path, NOW, tell=lambda _words: None)
    assert (tmp_path / "letters.txt").read_text(encoding="utf-8") == "mine"


@pytest.mark.parametrize("day", ["2026-03-07", "2026-03-08", "2026-03-09", "2026-07-14", "2026-11-01", "2026-11-02"])
@pytest.mark.parametrize("hour", [0, 6, 13, 18, 23])
def test_the_scenes_keep_working_hours_by_the_towns_clocks_also_where_these_change(day: str, hour: int) -> None:
    """US summer time of 2026 runs from 8 March to 1 November (15 U.S.C. 260a: second Sunday, first Sunday)."""
    town = ZoneInfo(TIME_ZONE)
    now = datetime.fromisoformat(f"{day}T{hour:02}:20").replace(tzinfo=town).astimezone(UTC)
    for scene in SCENES:
        for visit in scene.visits:
            begins = due_of(visit, now)
            if visit.days_ago or begins > now:
                assert 8 <= begins.astimezone(town).hour <= 19, (scene.key, begins.astimezone(town))
            if visit.days_ago:
                assert begins.astimezone(town).hour == int(visit.hour)


def test_the_demo_reads_its_times_by_the_towns_clocks_and_nobody_works_at_night(demo: Database) -> None:
    town = ZoneInfo(TIME_ZONE)
    with demo.reading_session() as session:
        assert read_settings(session).time_zone == TIME_ZONE
        jobs = list(session.scalars(select(Job).where(Job.booked_at < NOW - timedelta(days=1))))
    assert len(jobs) > 30
    assert {job.booked_at.astimezone(town).hour for job in jobs if job.booked_at} <= set(range(7, 21))
    assert {job.opened_at.astimezone(town).hour for job in jobs if job.opened_at} <= set(range(8, 18))


@pytest.mark.parametrize("hour", [0, 5, 12, 23])
def test_whatever_the_hour_of_the_first_start_what_is_booked_lies_ahead(hour: int) -> None:
    now = NOW.replace(hour=hour)
    for scene in SCENES:
        for visit in scene.visits:
            assert (due_of(visit, now) > now) == (not visit.acts and not visit.cancelled)


def test_the_demo_has_something_for_every_reason_why_the_office_must_act(demo: Database) -> None:
    with demo.reading_session() as session:
        jobs = list(session.scalars(select(Job)))
        kinds = set(session.scalars(select(EventRow.kind).distinct()))
    overdue = [job for job in jobs if job.due_out_wall and job.due_out_wall < "2026-11-25T09:30"]
    assert [job.ring_phone for job in overdue] == ["(068) 555-0121"]
    assert [job.state for job in jobs if job.caller_alarm and job.state == "booked"] == ["booked"]
    assert {job.close_state for job in jobs if job.heater_off and job.office_not_told} == {"left_off"}
    assert {job.no_hot_water_since for job in jobs} > {None, "2026-11-20"}
    assert {"call_taken", "office_told", "put_back", "job_cancelled"} <= kinds
    assert all(re.fullmatch(r"\(\d{3}\) 555-01\d\d", scene.address["phone"]) for scene in SCENES)


def test_the_demo_keeps_what_a_company_keeps_for_its_phones(demo: Database) -> None:
    with demo.reading_session() as session:
        told = company_for_phone(session, session.scalars(select(Person).where(Person.login == "teo")).one())
    assert CompanyOut().validate(told) == {}
    assert told["settings"]["co_ladder"] == "protocol_9_36_70"
    assert told["person"]["licence_words"]
    chain = {one["id"] for one in PROCEDURE["chain"]}
    assert len(told["model_sheets"]) == 8
    for sheet in told["model_sheets"]:
        assert sheet["limits"]
        assert sheet["vent"]
        assert {one for code in sheet["codes"] for one in code["could_be"]} <= chain
