"""The tables themselves: what migrations make, and what the database refuses."""

from __future__ import annotations

import pytest
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError
from sqlalchemy.orm import Session

from tests.contract.conftest import Hand, count_events
from webapp.extensions import Database
from webapp.migrations.run import migrate
from webapp.models import Base


def test_the_migrations_make_what_the_models_say(database: Database) -> None:
    with database.engine.connect() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, Base.metadata) == []


def test_every_constraint_and_index_has_a_name() -> None:
    for table in Base.metadata.tables.values():
        assert all(constraint.name for constraint in table.constraints), table.name
        assert all(index.name for index in table.indexes), table.name


def test_migrating_again_changes_nothing(database: Database) -> None:
    migrate(database.engine)
    migrate(database.engine)


@pytest.mark.parametrize(
    "statement",
    [
        "UPDATE event SET body = '{}'",
        "UPDATE event SET seq = seq + 1",
        "DELETE FROM event",
    ],
)
def test_the_database_refuses_to_change_an_event(
    ada: Hand, database: Database, session: Session, site: str, statement: str
) -> None:
    ada.store(ada.note(site))
    with database.session() as writing, pytest.raises(DBAPIError, match="an event is never changed"):
        writing.execute(text(statement))
    assert count_events(session) == 1


def test_a_second_meta_row_is_refused(database: Database) -> None:
    with database.session() as writing, pytest.raises(DBAPIError):
        writing.execute(text("INSERT INTO meta (id, epoch, epoch_began_at) VALUES (2, 'x', '2026-01-01 00:00:00')"))
