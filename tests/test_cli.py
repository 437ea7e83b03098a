from __future__ import annotations

import http.client
import json
import os
import re
import signal
import socket
import sqlite3
import subprocess
import sys
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from e2e.server import free_port
from webapp import cli
from webapp.keeping.backup import STORE_FILE
from webapp.serving import PortTaken, refuse_taken_port

Run = Callable[..., Result]


@pytest.fixture
def run(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Run:
    monkeypatch.delenv("DATABASE_URL", raising=False)
    monkeypatch.delenv("UNDERCROFT_DATA", raising=False)
    monkeypatch.chdir(tmp_path)

    def invoke(*arguments: object, **more: Any) -> Result:
        return CliRunner().invoke(cli.main, [str(one) for one in arguments], **more)

    return invoke


@pytest.fixture
def served(monkeypatch: pytest.MonkeyPatch) -> list[dict[str, Any]]:
    """What would have been served; the server itself does not start."""
    calls: list[dict[str, Any]] = []

    def record(config: dict[str, Any], **more: Any) -> None:
        calls.append({"config": config, **more})
        more["when_ready"]()

    monkeypatch.setattr(cli, "run_server", record)
    return calls


def ask(store: Path, question: str) -> list[tuple[Any, ...]]:
    with closing(sqlite3.connect(store / STORE_FILE)) as connection:
        return connection.execute(question).fetchall()


def test_help_names_every_command_in_one_line_each(run: Run) -> None:
    words = run("--help").output
    assert "...\n" not in words.partition("Commands:")[2], "a line that is cut short says nothing"
    for name in (
        "demo",
        "serve",
        "rebuild",
        "backup",
        "restore",
        "new-epoch",
        "invent",
        "migrate",
        "person",
        "check-procedures",
    ):
        assert re.search(rf"^  {name} +\S", words, re.MULTILINE), name


def test_demo_is_made_once_and_kept(run: Run, served: list[dict[str, Any]], tmp_path: Path) -> None:
    port = free_port()
    first = run("demo", "--port", port, "--data", tmp_path / "d")
    assert first.exit_code == 0, first.output
    assert f"http://127.0.0.1:{port}/" in first.output
    assert "Made in" in first.output
    before = ask(tmp_path / "d", "SELECT count(*), max(id) FROM event")
    second = run("demo", "--port", port, "--data", tmp_path / "d")
    assert "Kept in" in second.output
    assert ask(tmp_path / "d", "SELECT count(*), max(id) FROM event") == before
    assert [call["host"] for call in served] == ["127.0.0.1", "127.0.0.1"]
    assert served[0]["config"]["DATABASE_URL"] == "", "the demo never touches a company's own database"


def test_the_demo_does_not_open_a_store_that_is_none(run: Run, served: list[dict[str, Any]], tmp_path: Path) -> None:
    run("person", "add", "--name", "Real One", "--login", "real", "--role", "technician", "--data", tmp_path / "mine")
    result = run("demo", "--port", free_port(), "--data", tmp_path / "mine")
    assert result.exit_code == 1
    assert "no demo" in result.output
    assert served == []


def test_a_taken_port_is_said_before_anything_is_made(run: Run, tmp_path: Path) -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        result = run("demo", "--port", other.getsockname()[1], "--data", tmp_path / "d")
    assert result.exit_code == 1
    assert "--port" in result.output
    assert not (tmp_path / "d").exists()


def test_serve_makes_nobody_and_says_that_nobody_can_sign_in(
    run: Run, served: list[dict[str, Any]], tmp_path: Path
) -> None:
    result = run("serve", "--data", tmp_path / "s")
    assert result.exit_code == 0, result.output
    assert "undercroft person add" in result.output
    assert ask(tmp_path / "s", "SELECT count(*) FROM person") == [(0,)]
    assert len(served) == 1


def test_migrate_can_be_run_again(run: Run, tmp_path: Path) -> None:
    assert run("migrate", "--data", tmp_path / "m").exit_code == 0
    epoch = ask(tmp_path / "m", "SELECT epoch FROM meta")
    assert run("migrate", "--data", tmp_path / "m").exit_code == 0
    assert ask(tmp_path / "m", "SELECT epoch FROM meta") == epoch


def test_a_person_is_added_and_gets_a_code_for_their_phone(run: Run, tmp_path: Path) -> None:
    data = ("--data", tmp_path / "p")
    added = run("person", "add", "--name", "Teo Fernwhistle", "--login", "Teo", "--role", "technician", *data)
    assert added.exit_code == 0, added.output
    code = run("person", "code", "teo", *data)
    assert re.match(r"[2-9A-Z]{4}-[2-9A-Z]{4}  for Teo Fernwhistle", code.output), code.output
    assert ask(tmp_path / "p", "SELECT role, password_hash FROM person") == [("technician", None)]


def test_a_licence_is_kept_and_told_when_it_ran_out(run: Run, tmp_path: Path) -> None:
    data = ("--data", tmp_path / "p")
    run("person", "add", "--name", "Teo Fernwhistle", "--login", "teo", "--role", "technician", *data)
    told = run("person", "licence", "teo", "--words", "Gas fitter G-1187", "--until", "2020-02-29", *data)
    assert told.output == "Teo Fernwhistle: Gas fitter G-1187 (licence ran out Sat 29 Feb 2020)\n"
    kept = ask(tmp_path / "p", "SELECT licence_words, licence_expires_on FROM person")
    assert kept == [("Gas fitter G-1187", "2020-02-29")]
    assert run("person", "licence", "teo", "--words", "G", "--until", "soon", *data).exit_code == 1
    assert run("person", "licence", "nobody", *data).exit_code == 1


def test_who_left_is_let_in_again(run: Run, tmp_path: Path) -> None:
    data = ("--data", tmp_path / "p")
    run("person", "add", "--name", "Teo Fernwhistle", "--login", "teo", "--role", "technician", *data)
    run("person", "deactivate", "teo", *data)
    assert run("person", "reactivate", "teo", *data).output == "Teo Fernwhistle can sign in again.\n"
    assert ask(tmp_path / "p", "SELECT active FROM person") == [(1,)]


def test_the_last_owner_is_not_shut_out(run: Run, tmp_path: Path) -> None:
    data = ("--data", tmp_path / "p")
    for login in ("ottilie", "odo"):
        run("person", "add", "--name", login, "--login", login, "--role", "owner", "--password", "long enough", *data)
    assert run("person", "deactivate", "odo", *data).exit_code == 0
    refused = run("person", "deactivate", "ottilie", *data)
    assert refused.exit_code == 1
    assert "This is the only owner who can sign in." in refused.output
    assert ask(tmp_path / "p", "SELECT login FROM person WHERE active") == [("ottilie",)]


def test_a_password_is_asked_for_where_it_is_needed(run: Run, tmp_path: Path) -> None:
    typed = "three-calls-waiting\nthree-calls-waiting\n"
    who = ("--name", "Bo Ox", "--login", "bo", "--role", "dispatcher")
    result = run("person", "add", *who, "--data", tmp_path / "p", input=typed)
    assert result.exit_code == 0, result.output
    assert ask(tmp_path / "p", "SELECT password_hash LIKE '$argon2id$%' FROM person") == [(1,)]


def test_a_new_password_is_set_and_everybody_is_listed(run: Run, tmp_path: Path) -> None:
    data = ("--data", tmp_path / "p")
    who = ("--name", "Bo Ox", "--login", "bo", "--role", "dispatcher")
    run("person", "add", *who, "--password", "three-calls-waiting", *data)
    before = ask(tmp_path / "p", "SELECT password_hash FROM person")
    result = run("person", "password", "Bo", *data, input="four-calls-waiting\nfour-calls-waiting\n")
    assert result.exit_code == 0, result.output
    assert "four-calls" not in result.output
    assert ask(tmp_path / "p", "SELECT password_hash FROM person") != before
    run("person", "deactivate", "bo", *data)
    assert run("person", "list", *data).output == "bo  Bo Ox (dispatcher, left), open phones: 0\n"


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("person", "code", "nobody"), "Nobody has the login"),
        (("person", "deactivate", "nobody"), "Nobody has the login"),
        (("person", "password", "nobody", "--password", "long enough"), "Nobody has the login"),
        (("person", "add", "--name", "A", "--login", "a", "--role", "owner", "--password", "short"), "10 characters"),
        (("backup", "there"), "is there already"),
        (("restore", "there", "--yes"), f"no {STORE_FILE}"),
    ],
)
def test_what_goes_wrong_is_said_in_one_line_without_a_traceback(
    run: Run, tmp_path: Path, arguments: tuple[str, ...], words: str
) -> None:
    (tmp_path / "there").mkdir()
    run("migrate", "--data", tmp_path / "e")
    result = run(*arguments, "--data", tmp_path / "e")
    assert result.exit_code == 1
    assert words in result.output
    assert len(result.output.strip().splitlines()) == 1


def test_a_store_that_was_never_made_says_which_command_makes_it(run: Run, tmp_path: Path) -> None:
    result = run("person", "code", "teo", "--data", tmp_path / "empty")
    assert result.exit_code == 1
    assert "undercroft migrate" in result.output


def test_a_setting_that_cannot_be_read_is_named(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("UNDERCROFT_ENROL_MINUTES", "soon")
    result = run("migrate", "--data", "x")
    assert result.exit_code == 1
    assert "UNDERCROFT_ENROL_MINUTES" in result.output


def test_invent_fills_a_new_store_prints_its_speed_and_tells_the_truth(run: Run, tmp_path: Path) -> None:
    result = run("invent", "--jobs", 25, "--seed", 3, "--until", "2026-11-20", "--data", tmp_path / "i")
    assert result.exit_code == 0, result.output
    assert re.search(r"^25 jobs, [\d,]+ events in [\d.]+ s: [\d,]+ events/s", result.output)
    assert ask(tmp_path / "i", "SELECT count(*) FROM job") == [(25,)]
    truth = (tmp_path / "i" / "invented-truth.jsonl").read_text(encoding="utf-8").splitlines()
    assert len([json.loads(line) for line in truth]) == 25
    assert ask(tmp_path / "i", "SELECT count(*) FROM person WHERE password_hash IS NOT NULL") == [(0,)]


def test_the_same_seed_invents_the_same_events_in_two_stores(run: Run, tmp_path: Path) -> None:
    for name in ("one", "two"):
        run("invent", "--jobs", 12, "--seed", 5, "--until", "2026-11-20", "--data", tmp_path / name)
    question = "SELECT id, digest, chain FROM event ORDER BY id"
    assert ask(tmp_path / "one", question) == ask(tmp_path / "two", question) != []


def test_invent_refuses_a_store_with_people_in_it(run: Run, tmp_path: Path) -> None:
    data = ("--data", tmp_path / "p")
    run("person", "add", "--name", "Teo", "--login", "teo", "--role", "technician", *data)
    result = run("invent", "--jobs", 5, *data)
    assert result.exit_code == 1
    assert "has people in it already" in result.output


def test_a_backup_comes_back_whole_and_under_a_new_epoch(run: Run, tmp_path: Path) -> None:
    data, copy = tmp_path / "b", tmp_path / "copy"
    run("invent", "--jobs", 20, "--seed", 3, "--until", "2026-11-20", "--data", data)
    events, epoch = ask(data, "SELECT id, chain FROM event ORDER BY id"), ask(data, "SELECT epoch FROM meta")
    photos = sorted(path.name for path in (data / "photos").rglob("*.jpg"))
    assert photos
    assert run("backup", copy, "--data", data).exit_code == 0
    run("person", "add", "--name", "Late Comer", "--login", "late", "--role", "technician", "--data", data)
    for photo in (data / "photos").rglob("*.jpg"):
        photo.unlink()
    refused = run("restore", copy, "--data", data, input="n\n")
    assert refused.exit_code == 1
    assert ask(data, "SELECT count(*) FROM person WHERE login = 'late'") == [(1,)]
    restored = run("restore", copy, "--data", data, "--yes")
    assert restored.exit_code == 0, restored.output
    assert ask(data, "SELECT id, chain FROM event ORDER BY id") == events
    assert ask(data, "SELECT count(*) FROM person WHERE login = 'late'") == [(0,)]
    assert sorted(path.name for path in (data / "photos").rglob("*.jpg")) == photos
    assert ask(data, "SELECT epoch FROM meta") != epoch


def test_rebuild_makes_rows_again_that_were_lost(run: Run, tmp_path: Path) -> None:
    data = tmp_path / "r"
    run("invent", "--jobs", 20, "--seed", 3, "--until", "2026-11-20", "--data", data)
    question = "SELECT id, state, cause, record FROM job ORDER BY id"
    before = ask(data, question)
    with closing(sqlite3.connect(data / STORE_FILE)) as connection:
        connection.execute("UPDATE job SET cause = 'nonsense', record = '{}', fold_version = 0")
        connection.commit()
    assert ask(data, question) != before
    result = run("rebuild", "--data", data)
    assert result.exit_code == 0, result.output
    assert ask(data, question) == before


@pytest.mark.parametrize("command", ["serve", "demo", "migrate"])
def test_a_start_makes_the_rows_anew_that_an_older_release_folded(
    run: Run, served: list[dict[str, Any]], tmp_path: Path, command: str
) -> None:
    data = ("--data", tmp_path / "old")
    port = () if command == "migrate" else ("--port", free_port())
    if command == "demo":
        run("demo", *port, *data)
    else:
        run("invent", "--jobs", 10, "--seed", 3, "--until", "2026-11-20", *data)
    question, events = "SELECT id, state, record, fold_version FROM job ORDER BY id", "SELECT id, chain FROM event"
    before, written = ask(tmp_path / "old", question), ask(tmp_path / "old", events)
    with closing(sqlite3.connect(tmp_path / "old" / STORE_FILE)) as connection:
        connection.execute("UPDATE job SET record = '{\"fold_version\": 1}', state = 'booked', fold_version = 1")
        connection.commit()
    result = run(command, *port, *data)
    assert result.exit_code == 0, result.output
    assert ask(tmp_path / "old", question) == before
    assert ask(tmp_path / "old", events) == written


def test_check_procedures_passes_what_is_shipped(run: Run) -> None:
    result = run("check-procedures")
    assert result.exit_code == 0, result.output
    assert "power_vent: good" in result.output


def test_check_procedures_says_what_is_wrong_with_a_file(run: Run, tmp_path: Path) -> None:
    (tmp_path / "half.yaml").write_text("name: half\n", encoding="utf-8")
    result = run("check-procedures", tmp_path / "half.yaml")
    assert result.exit_code == 1
    assert "missing: checks" in result.output


def test_a_taken_port_is_said_at_once() -> None:
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        with pytest.raises(PortTaken, match="cannot be used"):
            refuse_taken_port("127.0.0.1", other.getsockname()[1])


def answer(port: int, path: str) -> tuple[int, bytes]:
    connection = http.client.HTTPConnection("127.0.0.1", port, timeout=2)
    try:
        connection.request("GET", path)
        response = connection.getresponse()
        return response.status, response.read()
    finally:
        connection.close()


# A shell that runs the tests in the background has them ignore SIGINT, and what they start as well.
HEARS_CTRL_C = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler); "


def test_the_demo_answers_and_ends_cleanly_on_ctrl_c(tmp_path: Path) -> None:
    port = free_port()
    command = [sys.executable, "-c", HEARS_CTRL_C + "from webapp.cli import main; main()", "demo"]
    process = subprocess.Popen(
        [*command, "--port", str(port), "--data", str(tmp_path / "d")],
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env={**os.environ, "PYTHONUNBUFFERED": "1"},
    )  # fmt: skip
    try:
        deadline = time.monotonic() + 30
        found: tuple[int, bytes] | None = None
        while found is None and process.poll() is None and time.monotonic() < deadline:
            try:
                found = answer(port, "/healthz")
            except OSError:
                time.sleep(0.1)
        if process.poll() is None:
            process.send_signal(signal.SIGINT)
        output, _ = process.communicate(timeout=15)
    finally:
        if process.poll() is None:
            process.kill()
            process.wait()
    assert process.returncode == 0, output
    assert found is not None
    assert found[0] == 200
    assert json.loads(found[1])["ok"] is True
    assert f"http://127.0.0.1:{port}/" in output
    assert output.count("Stopped.") == 1
    assert "Traceback" not in output
