"""A store of an older release: its jobs get their narrow rows at the next start."""

from __future__ import annotations

import importlib
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.migration import MigrationContext
from alembic.operations import Operations
from sqlalchemy import text

from tests.audit.conftest import History
from webapp.extensions import Database
from webapp.keeping.start import prepare_store
from webapp.migrations import run


def test_the_migration_marks_every_job_for_the_next_start(tmp_path: Path) -> None:
    database = Database(f"sqlite:///{tmp_path / 'old.sqlite3'}")
    config = Config()
    config.set_main_option("script_location", str(Path(run.__file__).parent))
    config.set_main_option("path_separator", "os")
    with database.engine.begin() as connection:
        config.attributes["connection"] = connection
        command.upgrade(config, "0004")
        connection.execute(
            text(
                "INSERT INTO site (id, head, chain, group_id, created_by_person_id, created_at, street, town, postcode,"
                " customer_name, phone, access_words, street_key, phone_key, search_text, needs_rebuild) VALUES"
                " ('s', 0, '', 's', 'p', '2026-01-01', '', '', '', '', '', '', '', '', '', 0)"
            )
        )
        connection.execute(
            text(
                "INSERT INTO job (id, site_id, state, complaint, complaint_words, procedure_name, last_received_at,"
                " event_count, fold_version, needs_rebuild)"
                " VALUES ('j', 's', 'closed', '', '', '', '2026-01-01', 1, 2, 0)"
            )
        )
    run.migrate(database.engine)
    with database.engine.connect() as connection:
        assert connection.execute(text("SELECT fold_version FROM job")).scalar_one() == 0
    database.dispose()


def test_a_start_makes_the_rows_of_marked_jobs(history: History, database: Database) -> None:
    history.visit(history.story.address(), 0)
    history.story.session.rollback()
    with database.engine.begin() as connection:
        connection.execute(text("DELETE FROM job_outcome"))
        connection.execute(text("UPDATE job SET fold_version = 0"))
    prepare_store(database)
    with database.engine.connect() as connection:
        row = connection.execute(text("SELECT state, repairs, hot_run FROM job_outcome")).one()
    assert tuple(row) == ("closed", "seat_tube", "held")


def test_only_jobs_with_a_blower_or_a_control_are_marked_when_these_become_watched(
    history: History, database: Database
) -> None:
    blower = history.visit(history.story.address("1 Mill Lane"), 0, action="new_blower")
    control = history.visit(history.story.address("2 Mill Lane"), 0, action="new_control")
    history.visit(history.story.address("3 Mill Lane"), 0)
    history.story.session.rollback()
    with database.engine.begin() as connection:
        operations = Operations(MigrationContext.configure(connection))
        with operations.context(operations.migration_context):
            importlib.import_module("webapp.migrations.versions.0011_blowers_and_controls_are_watched").upgrade()
        marked = connection.execute(text("SELECT id FROM job WHERE fold_version = 0")).scalars().all()
    assert sorted(marked) == sorted([blower, control])
