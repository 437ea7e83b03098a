from __future__ import annotations

import re
import stat
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from webapp import create_app
from webapp.config import SETTINGS, BadSetting, complete_settings, database_url, read_settings, secret_key_of
from webapp.extensions import Database

DEPLOY = Path(__file__).parents[1] / "docs" / "deploy.md"


def test_every_setting_is_explained_and_nothing_else_is() -> None:
    told = re.findall(r"^\| `([A-Z_]+)` \|", DEPLOY.read_text(), re.MULTILINE)
    assert sorted(told) == sorted(setting.name for setting in SETTINGS)


def test_no_setting_is_read_anywhere_else() -> None:
    webapp = Path(__file__).parents[1] / "webapp"
    readers = [path.name for path in webapp.rglob("*.py") if re.search(r"os\.environ|os\.getenv", path.read_text())]
    assert set(readers) <= {"config.py", "cli.py"}


def test_the_environment_is_read_and_the_caller_wins() -> None:
    environ = {"UNDERCROFT_PROXIES": "2", "UNDERCROFT_COOKIE_SECURE": "no", "UNDERCROFT_SIGN_IN_HOURS": ""}
    settings = read_settings(environ, {"UNDERCROFT_PROXIES": 3, "TESTING": True})
    assert settings["UNDERCROFT_PROXIES"] == 3
    assert settings["UNDERCROFT_COOKIE_SECURE"] is False
    assert settings["UNDERCROFT_SIGN_IN_HOURS"] == 12
    assert settings["TESTING"] is True


@pytest.mark.parametrize(
    ("name", "value"),
    [("UNDERCROFT_PROXIES", "two"), ("UNDERCROFT_COOKIE_SECURE", "maybe"), ("UNDERCROFT_ENROL_MINUTES", "-1")],
)
def test_a_setting_that_cannot_be_read_stops_the_start(name: str, value: str) -> None:
    with pytest.raises(BadSetting, match=name):
        read_settings({name: value})


@pytest.mark.parametrize(
    ("given", "used"),
    [
        ("", "sqlite:////data/undercroft.sqlite3"),
        ("postgres://u@h/d", "postgresql+psycopg://u@h/d"),
        ("postgresql://u@h/d", "postgresql+psycopg://u@h/d"),
        ("postgresql+psycopg://u@h/d", "postgresql+psycopg://u@h/d"),
        ("sqlite:///x.db", "sqlite:///x.db"),
    ],
)
def test_the_database_address(given: str, used: str) -> None:
    assert database_url(given, Path("/data")) == used


def test_the_secret_is_made_once_and_only_its_owner_may_read_it(tmp_path: Path) -> None:
    secret = secret_key_of(tmp_path)
    assert secret_key_of(tmp_path) == secret
    assert len(secret) == 64
    assert stat.S_IMODE((tmp_path / "secret-key").stat().st_mode) == 0o600
    assert complete_settings({"UNDERCROFT_DATA": tmp_path})["SECRET_KEY"] == secret


def test_sqlite_is_set_up_for_durability(tmp_path: Path) -> None:
    database = Database(f"sqlite:///{tmp_path / 'x.sqlite3'}")
    with database.reading_session() as session:
        found = {
            name: session.execute(text(f"PRAGMA {name}")).scalar()
            for name in ("journal_mode", "synchronous", "foreign_keys")
        }
    database.dispose()
    assert found == {"journal_mode": "wal", "synchronous": 2, "foreign_keys": 1}  # 2 is FULL


def test_behind_a_proxy_its_word_counts_and_otherwise_it_does_not(tmp_path: Path) -> None:
    for proxies, secure in ((0, False), (1, True)):
        app = create_app({"UNDERCROFT_DATA": tmp_path, "UNDERCROFT_PROXIES": proxies})
        answer = app.test_client().get("/api/v1/openapi.json", headers={"X-Forwarded-Proto": "https"})
        assert ("Strict-Transport-Security" in answer.headers) is secure
        app.extensions["database"].dispose()


def test_a_writer_that_fails_gives_its_turn_on(database: Database) -> None:
    for _ in range(3):
        with pytest.raises(IntegrityError), database.session() as session:
            session.execute(text("INSERT INTO person (id) VALUES ('x')"))
    with ThreadPoolExecutor(1) as other_thread:
        other_thread.submit(lambda: write_something(database)).result(timeout=5)


def test_readers_wait_for_no_writer(database: Database) -> None:
    with database.session() as writing, ThreadPoolExecutor(1) as other_thread:
        writing.execute(text("UPDATE meta SET id = id"))
        with database.reading_session() as reading:
            assert (
                other_thread.submit(lambda: reading.execute(text("SELECT count(*) FROM meta")).scalar()).result(5) == 1
            )


def write_something(database: Database) -> None:
    with database.session() as session:
        session.execute(text("UPDATE meta SET id = id"))
        session.commit()
