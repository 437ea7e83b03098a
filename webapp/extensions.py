"""The database of one app, and the session of one request."""

from __future__ import annotations

import os
import weakref
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, cast

from flask import Flask, current_app, g, has_request_context, request
from flask_wtf import CSRFProtect
from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.orm import Session

csrf = CSRFProtect()

SAFE_METHODS = {"GET", "HEAD", "OPTIONS"}
LOCK_WAIT_SECONDS = 30
READS_ONLY = "undercroft_reads_only"


class Database:
    """An engine and its sessions. Writers take SQLite's lock at the start, so that they never fail half-way."""

    def __init__(self, url: str) -> None:
        self.engine = make_engine(url)
        self._reading_engine = self.engine.execution_options(**{READS_ONLY: True})

    def session(self) -> Session:
        """A session that may write."""
        return Session(self.engine, expire_on_commit=False)

    def reading_session(self) -> Session:
        """A session that only reads: in SQLite it waits for nobody and nobody waits for it."""
        return Session(self._reading_engine, expire_on_commit=False)

    @contextmanager
    def writing(self) -> Iterator[Session]:
        """`with database.writing() as session:` for scripts and tests."""
        with self.session() as session:
            yield session

    def dispose(self) -> None:
        """Close all connections."""
        self.engine.dispose()


def make_engine(url: str) -> Engine:
    """The engine for one of the two databases, set up for durability (docs/adr/0021)."""
    if url.startswith("sqlite"):
        engine = create_engine(url, connect_args={"timeout": LOCK_WAIT_SECONDS, "isolation_level": None})
        event.listen(engine, "connect", _set_up_sqlite)
        event.listen(engine, "begin", _begin_sqlite)
    else:
        engine = create_engine(url, pool_pre_ping=True)
    reference = weakref.ref(engine)
    os.register_at_fork(after_in_child=lambda: _forget_connections(reference()))
    return engine


def _forget_connections(engine: Engine | None) -> None:
    """A connection must not be shared with a forked worker."""
    if engine is not None:
        engine.dispose(close=False)


def _set_up_sqlite(connection: Any, _record: object) -> None:
    for pragma in ("journal_mode = WAL", "synchronous = FULL", "foreign_keys = ON"):
        connection.execute(f"PRAGMA {pragma}")


def _begin_sqlite(connection: Connection) -> None:
    reads_only = connection.get_execution_options().get(READS_ONLY, False)
    connection.exec_driver_sql("BEGIN" if reads_only else "BEGIN IMMEDIATE")


def init_database(app: Flask) -> None:
    """Give the app its database, and close each request's session at its end."""
    app.extensions["database"] = Database(app.config["DATABASE_URL"])
    app.teardown_appcontext(_close_session)


def get_database() -> Database:
    """The database of the current app."""
    return cast("Database", current_app.extensions["database"])


def get_session() -> Session:
    """The session of this request; it only reads where the method is GET or HEAD."""
    if "session" not in g:
        reads_only = has_request_context() and request.method in SAFE_METHODS
        g.session = get_database().reading_session() if reads_only else get_database().session()
    return cast("Session", g.session)


def _close_session(_error: BaseException | None) -> None:
    session = g.pop("session", None)
    if session is not None:
        session.close()
