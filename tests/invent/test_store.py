from __future__ import annotations

import json
from collections.abc import Iterator
from datetime import timedelta
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import func, select, text

from tests.invent.toy import toy_story
from webapp.errors import BadBody
from webapp.extensions import Database
from webapp.invent.bulk import store_in_bulk
from webapp.invent.service import TRUTH_FILE, move_in, store_batches, tell
from webapp.invent.story import Story
from webapp.migrations.run import migrate
from webapp.models import EventRow, Job, Person, Site
from webapp.models.base import Base
from webapp.sync.canonical import next_chain
from webapp.sync.rebuild import rebuild

JOBS = 60
BOOKKEEPING = {"alembic_version", "meta"}


@pytest.fixture
def make_database(tmp_path: Path) -> Iterator[Any]:
    made: list[Database] = []

    def make(name: str, story: Story) -> Database:
        database = Database(f"sqlite:///{tmp_path / name}.sqlite3")
        migrate(database.engine)
        with database.session() as session:
            move_in(session, story.company.members, story.founded, {})
        made.append(database)
        return database

    yield make
    for database in made:
        database.dispose()


def all_rows(database: Database) -> dict[str, list[tuple[Any, ...]]]:
    tables = sorted(set(Base.metadata.tables) - BOOKKEEPING)
    with database.reading_session() as session:
        return {name: sorted(map(tuple, session.execute(text(f"SELECT * FROM {name}"))), key=repr) for name in tables}


def test_many_at_once_makes_the_very_rows_of_one_push_after_another(make_database: Any) -> None:
    story = toy_story(JOBS)
    slow, fast = make_database("slow", story), make_database("fast", story)
    with slow.session() as session:
        for _, written in story.visits():
            store_batches(session, written.batches)
    with fast.session() as session:
        visits = [written.batches for _, written in story.visits()]
        for start in range(0, JOBS, 7):
            store_in_bulk(session, [batch for batches in visits[start : start + 7] for batch in batches])
    one, many = all_rows(slow), all_rows(fast)
    assert set(one) == set(many)
    for name in one:
        assert one[name] == many[name], name
    for name in ("event", "site", "job", "finding", "reading", "photo_use", "device", "person"):
        assert one[name], f"nothing to compare in {name}"


def test_a_rebuild_changes_none_of_the_rows(make_database: Any) -> None:
    story = toy_story(JOBS)
    database = make_database("rebuilt", story)
    tell(database, story, None)
    before = all_rows(database)
    with database.session() as session:
        done = rebuild(session)
    assert (done.jobs, done.failed) == (JOBS, 0)
    after = all_rows(database)
    for name in before:
        assert before[name] == after[name], name


def test_every_chain_can_be_worked_out_again_and_ends_at_its_head(make_database: Any) -> None:
    story = toy_story(JOBS)
    database = make_database("chain", story)
    tell(database, story, None)
    with database.reading_session() as session:
        for site in session.scalars(select(Site)):
            chain = ""
            rows = list(session.scalars(select(EventRow).where(EventRow.site_id == site.id).order_by(EventRow.seq)))
            for seq, row in enumerate(rows, start=1):
                chain = next_chain(chain, row.id, row.digest)
                assert (row.seq, row.chain) == (seq, chain)
            assert (site.head, site.chain) == (len(rows), chain)


def test_every_job_is_folded_and_nothing_in_it_is_unreadable(make_database: Any) -> None:
    story = toy_story(JOBS)
    database = make_database("fold", story)
    told = tell(database, story, None)
    with database.reading_session() as session:
        jobs = list(session.scalars(select(Job)))
        assert session.scalar(select(func.count()).select_from(EventRow)) == told.events
    assert len(jobs) == told.visits == JOBS
    for job in jobs:
        assert job.record is not None
        assert job.record["unreadable"] == job.record["unknown"] == []
        assert not job.needs_rebuild


def test_the_truth_lies_beside_the_store_and_names_every_job(make_database: Any, tmp_path: Path) -> None:
    story = toy_story(JOBS)
    database = make_database("truth", story)
    tell(database, story, tmp_path / TRUTH_FILE)
    truth = [json.loads(line) for line in (tmp_path / TRUTH_FILE).read_text(encoding="utf-8").splitlines()]
    with database.reading_session() as session:
        jobs = {job.id: job for job in session.scalars(select(Job))}
    assert {line["job_id"] for line in truth} == set(jobs)
    for line in truth:
        job = jobs[line["job_id"]]
        assert (line["site_id"], line["state"]) == (job.site_id, job.state)
        if job.cause:
            assert line["named"] == job.cause


def test_what_came_back_can_be_seen_in_the_jobs_alone(make_database: Any, tmp_path: Path) -> None:
    """What the audit will do: an unscheduled later job at the same address, credited to the job just before it."""
    story = toy_story(700)
    database = make_database("returns", story)
    tell(database, story, tmp_path / TRUTH_FILE)
    lines = [json.loads(line) for line in (tmp_path / TRUTH_FILE).read_text(encoding="utf-8").splitlines()]
    truth = {line["job_id"]: line for line in lines}
    by_site: dict[str, list[Job]] = {}
    with database.reading_session() as session:
        for job in session.scalars(select(Job).order_by(Job.booked_at)):
            by_site.setdefault(job.site_id, []).append(job)
    seen, by_chance = set(), set()
    for jobs in by_site.values():
        for job, later in pairwise(jobs):
            if job.close_state in ("proven", "not_proven"):
                (by_chance if truth[later.id]["why"] == "new" else seen).add(job.id)
                if truth[later.id]["episode"] == truth[job.id]["episode"]:
                    assert later.complaint == job.complaint
    came_back = {line["job_id"] for line in lines if line["came_back"]}
    assert seen <= came_back
    assert len(came_back - seen) <= len(by_chance), "another fault at that address got in between"
    assert len(seen) > 80


def test_an_event_that_the_store_would_refuse_stops_the_story_with_its_words(make_database: Any) -> None:
    story = toy_story(3)
    database = make_database("bad", story)
    _, written = next(story.visits())
    written.batches[-1].events[-1]["body"] = {"nonsense": 1}
    with database.session() as session, pytest.raises(BadBody, match="cannot be stored"):
        store_in_bulk(session, written.batches)


def test_people_without_a_password_given_cannot_sign_in(make_database: Any) -> None:
    story = toy_story(3)
    database = make_database("people", story)
    with database.reading_session() as session:
        assert all(person.password_hash is None for person in session.scalars(select(Person)))


def test_phones_send_after_the_visit_as_they_must_below_ground() -> None:
    story = toy_story(JOBS)
    for visit, written in story.visits():
        for batch in written.batches[1:2]:
            closed = story.founded + timedelta(days=visit.closed_day)
            assert batch.received_at >= min(closed, story.until)
