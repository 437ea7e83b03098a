"""A PostgreSQL store, copied and put back by the database's own means, as docs/deploy.md says.

The copy is `CREATE DATABASE … TEMPLATE`: the pg_dump that comes with the server of these tests is of another release
and refuses it. What follows a put-back is the same.
"""

from __future__ import annotations

import pytest
from click.testing import CliRunner
from flask import Flask
from sqlalchemy import create_engine, text
from sqlalchemy.engine import make_url
from sqlalchemy.exc import DBAPIError

from tests.sync.conftest import Phone
from webapp.cli import main
from webapp.extensions import Database

pytestmark = pytest.mark.postgresql


@pytest.fixture
def backend() -> str:
    return "postgresql"


def copy_database(url: str, source: str, target: str) -> None:
    """The whole of one database in the place of another. Nobody may be connected to either."""
    engine = create_engine(make_url(url).set(database="postgres"), isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.execute(text(f"DROP DATABASE IF EXISTS {target} WITH (FORCE)"))
        connection.execute(text(f"CREATE DATABASE {target} TEMPLATE {source}"))
    engine.dispose()


def test_a_store_put_back_takes_again_what_it_lost(
    app: Flask, database: Database, postgresql_store: Database, database_url: str, phone: Phone
) -> None:
    name = make_url(database_url).database
    assert name is not None
    kept, lost = [phone.open_job(), phone.note()], phone.note()
    phone.push(*kept)
    before = phone.get("manifest").json
    for one in (database, postgresql_store):
        one.dispose()
    copy_database(database_url, name, "kept_copy")
    phone.push(lost)
    database.dispose()

    copy_database(database_url, "kept_copy", name)
    said = CliRunner().invoke(
        main, ["new-epoch", "--yes", "--data", str(app.config["UNDERCROFT_DATA"])], env={"DATABASE_URL": database_url}
    )

    assert said.exit_code == 0, said.output
    after = phone.get("manifest").json
    assert after["epoch"] != before["epoch"]
    assert after["streams"] == before["streams"]
    assert phone.statuses(*kept, lost) == ["duplicate", "duplicate", "stored"]
    with pytest.raises(DBAPIError, match="never changed"), database.session() as session:
        session.execute(text("UPDATE event SET kind = 'note'"))


def test_nothing_begins_where_the_question_is_answered_no(app: Flask, phone: Phone, database_url: str) -> None:
    before = phone.get("manifest").json["epoch"]
    said = CliRunner().invoke(
        main,
        ["new-epoch", "--data", str(app.config["UNDERCROFT_DATA"])],
        input="n\n",
        env={"DATABASE_URL": database_url},
    )
    assert said.exit_code == 1
    assert phone.get("manifest").json["epoch"] == before
