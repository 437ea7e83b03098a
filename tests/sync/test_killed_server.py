"""The server is killed in the middle of pushes, again and again: what it had acknowledged is there, exactly once."""

from __future__ import annotations

import contextlib
import http.client
import json
import os
import random
import signal
import socket
import sqlite3
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from tests.factories import EventMaker
from webapp.extensions import Database
from webapp.keeping.start import prepare_store
from webapp.models.ids import new_id
from webapp.people.service import create_person, enrol_phone, make_enrol_code

KILLS = 6
BATCHES = 40


class Server:
    """gunicorn with one worker, whose worker can be killed by its pid."""

    def __init__(self, data: Path) -> None:
        with socket.socket() as probe:
            probe.bind(("127.0.0.1", 0))
            self.port = int(probe.getsockname()[1])
        command = [sys.executable, "-m", "gunicorn", "webapp.wsgi:app", "-b", f"127.0.0.1:{self.port}", "-w", "1"]
        command += ["--log-level", "critical", "--no-control-socket"]
        environment = {"UNDERCROFT_DATA": str(data), "SECRET_KEY": "test", "PATH": os.environ["PATH"]}
        self.master = subprocess.Popen(command, cwd=Path(__file__).parents[2], env=environment)

    def worker_pids(self) -> list[int]:
        children = Path(f"/proc/{self.master.pid}/task/{self.master.pid}/children")
        return [int(pid) for pid in children.read_text().split()]

    def kill_worker(self) -> None:
        for pid in self.worker_pids():
            with contextlib.suppress(ProcessLookupError):
                os.kill(pid, signal.SIGKILL)

    def push(self, token: str, events: list[dict[str, Any]]) -> dict[str, Any] | None:
        """The answer, or None where none came."""
        body = json.dumps({"batch_id": new_id(), "events": events})
        connection = http.client.HTTPConnection("127.0.0.1", self.port, timeout=20)
        try:
            connection.request("POST", "/api/v1/events", body, {"Authorization": f"Bearer {token}"})
            answer = connection.getresponse()
            told = json.loads(answer.read())
        except (OSError, http.client.HTTPException, ValueError):
            return None
        finally:
            connection.close()
        assert answer.status == 200, told
        return told  # type: ignore[no-any-return]

    def stop(self) -> None:
        self.master.terminate()
        self.master.wait(20)


@pytest.fixture
def served(tmp_path: Path) -> Iterator[tuple[Server, str, EventMaker]]:
    database = Database(f"sqlite:///{tmp_path / 'undercroft.sqlite3'}")
    prepare_store(database)
    device_id = new_id()
    with database.session() as session:
        person = create_person(session, name="Ada Quill", login="ada", role="technician")
        code = make_enrol_code(session, person.id, minutes=10)
        token, _ = enrol_phone(session, code=code, device_id=device_id, device_words="", address="test", token_days=1)
    database.dispose()
    server = Server(tmp_path)
    yield server, token, EventMaker(person.id, device_id)
    server.stop()


def test_what_a_killed_server_acknowledged_is_there_exactly_once(
    served: tuple[Server, str, EventMaker], tmp_path: Path
) -> None:
    server, token, maker = served
    rng = random.Random(20261125)
    sites = [new_id() for _ in range(3)]
    job_of = {site: new_id() for site in sites}
    queue = [
        [
            maker.make("note", {"words": "x" * 300}, site_id=site, job_id=job_of[site])
            for site in sites
            for _ in range(30)
        ]
        for _ in range(BATCHES)
    ]
    acknowledged: set[str] = set()
    unanswered = killed = 0
    give_up = time.monotonic() + 60
    while queue and time.monotonic() < give_up:
        if killed < KILLS and len(queue) < BATCHES - 2 * killed:
            killed += 1
            killer = threading.Timer(rng.uniform(0, 0.03), server.kill_worker)
            killer.start()
            told = server.push(token, queue[0])
            killer.join()
        else:
            told = server.push(token, queue[0])
        if told is None:
            unanswered += 1
            time.sleep(0.05)
            continue
        assert {result["status"] for result in told["results"]} <= {"stored", "duplicate"}
        acknowledged |= {result["id"] for result in told["results"]}
        queue.pop(0)
    assert not queue, "the queue did not empty"
    assert (killed, unanswered > 0) == (KILLS, True)
    with contextlib.closing(sqlite3.connect(tmp_path / "undercroft.sqlite3")) as store:
        ids = [row[0] for row in store.execute("SELECT id FROM event")]
        assert sorted(ids) == sorted(acknowledged)
        for site, head in store.execute("SELECT id, head FROM site"):
            seqs = [row[0] for row in store.execute("SELECT seq FROM event WHERE site_id = ? ORDER BY seq", [site])]
            assert seqs == list(range(1, head + 1))
        counted = store.execute("SELECT sum(event_count) FROM job").fetchone()[0]
        assert counted == len(ids)
        assert store.execute("PRAGMA integrity_check").fetchone()[0] == "ok"
