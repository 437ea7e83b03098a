"""A store of an older release, with jobs in it, comes up to date: nothing is lost, and its rows are a new store's."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
import sqlalchemy as sa
import sqlalchemy.orm
from alembic import command
from alembic.config import Config

import webapp.migrations
from tests.invent.toy import toy_story
from tests.sites.stories import Story as Tale
from webapp.extensions import Database
from webapp.invent.bulk import store_in_bulk
from webapp.invent.service import move_in
from webapp.keeping.start import prepare_store
from webapp.models import Job, Site
from webapp.models.base import Base

JOBS = 40
OLD = "0003"
"""The last release before the call, the basement, the register and the owner's figures."""
NOT_COMPARED = {"alembic_version", "meta", "procedure_version"}
LATER = {"job_outcome", "company_setting", "model_sheet_version", "standing_off", "put_back_of", "person_change"}


def to_revision(database: Database, revision: str, *, up: bool = True) -> None:
    config = Config()
    config.set_main_option("script_location", str(Path(webapp.migrations.__file__).parent))
    config.set_main_option("path_separator", "os")
    with database.engine.begin() as connection:
        config.attributes["connection"] = connection
        (command.upgrade if up else command.downgrade)(config, revision)


@pytest.fixture
def old(backend: str, tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[Database]:
    """A second store, empty, with the tables of the older release."""
    if backend == "sqlite":
        database = Database(f"sqlite:///{tmp_path / 'old.sqlite3'}")
        to_revision(database, OLD)
        yield database
        database.dispose()
        return
    server: Database = request.getfixturevalue("postgresql_store")
    with server.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        connection.execute(sa.text("CREATE DATABASE undercroft_old"))
    database = Database(server.engine.url.set(database="undercroft_old").render_as_string(hide_password=False))
    try:
        to_revision(database, OLD)
        yield database
    finally:
        database.dispose()
        with server.engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
            connection.execute(sa.text("DROP DATABASE undercroft_old WITH (FORCE)"))


@pytest.fixture
def new(database: Database, session: sa.orm.Session) -> Database:
    """A store of this release: an invented company, heaters left off and put back, a joined address."""
    _by_hand(Tale(session))
    session.rollback()
    story = toy_story(JOBS)
    with database.session() as writing:
        move_in(writing, story.company.members, story.founded, {})
        store_in_bulk(writing, [batch for _, written in story.visits() for batch in written.batches])
    return database


def _by_hand(tale: Tale) -> None:
    off = {"what_words": "heater", "why_words": "cracked vent", "told_words": "Mrs Vale"}
    site = tale.address("3 Two Road")
    job = tale.book(site)
    one, _other = tale.walk(site, job, ("left_off", off), ("left_off", off))
    tale.say(tale.desk, "put_back", {"words": "x", "left_off_ids": [one["id"]]}, schema=2, site_id=site, job_id=job)
    for street in ("1 Long Road", "2 Late Road"):
        site = tale.address(street)
        tale.walk(site, tale.book(site), ("left_off", off), ("job_closed", {"state": "left_off"}))
    again = tale.book(site)
    tale.say(tale.desk, "put_back", {"words": "all that was off"}, site_id=site, job_id=again)
    tale.walk(site, again, ("due_out", {"due_out_wall": "2026-03-02T15:00:00Z"}))
    tale.say(tale.desk, "same_address", {"other_site_id": tale.address("2 Late Rd")}, site_id=site)


def rows_of(database: Database, names: set[str]) -> dict[str, list[dict[str, Any]]]:
    """All rows, in the shapes of this release."""
    found = {}
    with database.reading_session() as session:
        for name in sorted(names):
            table = Base.metadata.tables[name]
            rows = [dict(row) for row in session.execute(sa.select(table)).mappings()]
            found[name] = sorted(rows, key=lambda row: str([row[column.name] for column in table.primary_key]))
    return found


def pour(rows: dict[str, list[dict[str, Any]]], into: Database) -> None:
    """Put rows of this release into older tables, as far as these have the columns; jobs as an old fold left them."""
    there = sa.MetaData()
    there.reflect(into.engine)
    with into.engine.begin() as connection:
        for table in Base.metadata.sorted_tables:
            if table.name not in there.tables or not rows.get(table.name):
                continue
            columns = [column for column in table.columns if column.name in there.tables[table.name].columns]
            older = sa.table(table.name, *[sa.column(column.name, column.type) for column in columns])
            kept = [{column.name: row[column.name] for column in columns} for row in rows[table.name]]
            if table.name == "job":
                kept = [row | {"fold_version": 1, "record": {"state": row["state"]}} for row in kept]
            connection.execute(sa.insert(older), kept)


def test_an_older_store_comes_up_with_the_rows_of_a_new_one_and_goes_back_without_losing_an_event(
    new: Database, old: Database
) -> None:
    names = set(Base.metadata.tables) - NOT_COMPARED
    wanted = rows_of(new, names)
    assert len(wanted["job"]) == JOBS + 4
    assert len(wanted["event"]) > 10 * JOBS
    assert sum(row["left_off_at"] is not None for row in wanted["job"]) >= 2
    assert len(wanted["put_back_of"]) >= 1
    assert len(wanted["standing_off"]) >= 3
    assert sum(row["put_back_at"] is not None for row in wanted["job"]) >= 1
    assert sum(row["id"] != row["group_id"] for row in wanted["site"]) == 1
    pour(wanted, old)
    prepare_store(old)
    assert rows_of(old, names) == wanted
    with old.reading_session() as session:
        assert session.scalar(sa.select(sa.func.count()).select_from(Job).where(Job.needs_rebuild)) == 0
        assert session.scalar(sa.select(sa.func.count()).select_from(Site).where(Site.needs_rebuild)) == 0
    to_revision(old, OLD, up=False)
    assert LATER.isdisjoint(sa.inspect(old.engine).get_table_names())
    prepare_store(old)
    assert rows_of(old, names - LATER) == {name: rows for name, rows in wanted.items() if name not in LATER}
    assert rows_of(old, {"job_outcome"}) == {"job_outcome": wanted["job_outcome"]}


def test_events_of_an_older_store_can_still_not_be_changed_after_it_came_up(new: Database, old: Database) -> None:
    pour(rows_of(new, set(Base.metadata.tables) - NOT_COMPARED), old)
    prepare_store(old)
    for statement in ("UPDATE event SET kind = 'note'", "DELETE FROM event"):
        with pytest.raises(sa.exc.DBAPIError), old.engine.begin() as connection:
            connection.execute(sa.text(statement))
