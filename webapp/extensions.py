"""The database of one app, and the session of one request."""

from __future__ import annotations

import os
import threading
import weakref
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, cast

from flask import Flask, current_app, g, has_request_context, request
from flask_wtf import CSRFProtect
from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.orm import Session
from sqlalchemy.pool import ConnectionPoolEntry

csrf = CSRFProtect()

SAFE_METHODS = {"GET", "HEAD", "OPTIONS"}
LOCK_WAIT_SECONDS = 30
READS_ONLY = "undercroft_reads_only"
HAS_TURN = "undercroft_has_turn"


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


class _Turns:
    """Writers of one process queue here for SQLite's lock: its own way of waiting is to sleep and ask again."""

    def __init__(self) -> None:
        self._lock = threading.Lock()

    def begin(self, connection: Connection) -> None:
        """Begin; whoever may write first waits for their turn, and keeps it until the connection is put back."""
        if connection.get_execution_options().get(READS_ONLY, False):
            connection.exec_driver_sql("BEGIN")
            return
        if HAS_TURN not in connection.info:
            if not self._lock.acquire(timeout=LOCK_WAIT_SECONDS):
                raise TimeoutError("another write took too long")
            connection.info[HAS_TURN] = True
        connection.exec_driver_sql("BEGIN IMMEDIATE")

    def end(self, _dbapi_connection: object, record: ConnectionPoolEntry) -> None:
        """The connection goes back to the pool, after its commit or rollback."""
        if record.info.pop(HAS_TURN, False):
            self._lock.release()

    def forget(self) -> None:
        """In a forked worker, which has no share in its parent's turn."""
        self._lock = threading.Lock()


def make_engine(url: str) -> Engine:
    """The engine for one of the two databases, set up for durability (docs/adr/0021)."""
    if url.startswith("sqlite"):
        engine = create_engine(url, connect_args={"timeout": LOCK_WAIT_SECONDS, "isolation_level": None})
        event.listen(engine, "connect", _set_up_sqlite)
        turns = _Turns()
        event.listen(engine, "begin", turns.begin)
        event.listen(engine, "checkin", turns.end)
        os.register_at_fork(after_in_child=turns.forget)
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
