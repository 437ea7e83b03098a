"""How many events a second POST /api/v1/events takes: real HTTP, durable commits, rows made, on SQLite.

Run: python tests/benchmarks/bench_events.py [--events 20000]. Prints one JSON object. In the same run the same rows are
written with plain sqlite3.executemany at the same durability: the ratio says what the rest costs on this machine.
"""

from __future__ import annotations

import argparse
import http.client
import json
import os
import random
import signal
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from concurrent.futures import ThreadPoolExecutor
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

from e2e.server import free_port
from webapp import create_app
from webapp.keeping.start import prepare_store
from webapp.models.ids import new_id
from webapp.people.service import create_person, enrol_phone, make_enrol_code

BATCH = 200
EVENTS_A_JOB = 25
JOBS_A_SITE = 2
PHONES = 4


def make_walk(
    rng: random.Random, person_id: str, device_id: str, site_id: str, counter: list[int]
) -> list[dict[str, Any]]:
    """One job as a technician walks it: mostly answers, some readings."""
    job_id = new_id()
    drafts: list[tuple[str, dict[str, Any]]] = [("job_opened", {"procedure_hash": "a" * 64}), ("arrived", {})]
    while len(drafts) < EVENTS_A_JOB - 3:
        check = f"check_{len(drafts)}"
        drafts.append(
            ("check_answered", {"check": check, "outcome": rng.choice(["sound", "split"]), "could_not": None})
        )
        if rng.random() < 0.3:
            value = round(rng.uniform(0.1, 2), 2)
            drafts.append(
                ("reading_taken", {"check": check, "quantity": "suction_in_wc", "value": value, "place": "switch"})
            )
    drafts += [
        ("cause_named", {"cause": "tube", "words": "split at the port"}),
        ("repair_made", {"action": "new_tube"}),
        ("job_closed", {"state": "not_proven", "words": "to be looked at again when it is cold outside"}),
    ]
    events = []
    for lamport, (kind, body) in enumerate(drafts, start=1):
        counter[0] += 1
        events.append(
            {
                "id": new_id(), "site_id": site_id, "job_id": job_id, "person_id": person_id, "device_id": device_id,
                "dev_seq": counter[0], "lamport": lamport, "at_wall": "2026-11-25T08:19:09.123Z", "clock_offset": -1200,
                "kind": kind, "schema": 1, "replaces": [], "body": body,
            }
        )  # fmt: skip
    return events


class Phone:
    """One client with its batches, ready to send."""

    def __init__(self, token: str, events: list[dict[str, Any]]) -> None:
        self.headers = {"Authorization": f"Bearer {token}", "Content-Type": "application/json"}
        parts = [events[n : n + BATCH] for n in range(0, len(events), BATCH)]
        self.bodies = [json.dumps({"batch_id": new_id(), "events": part}).encode() for part in parts]

    def send_all(self, port: int) -> list[float]:
        """Milliseconds of each push; every event must have been stored."""
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=60)
        took = []
        for body in self.bodies:
            began = time.perf_counter()
            connection.request("POST", "/api/v1/events", body, self.headers)
            answer = connection.getresponse()
            told = json.loads(answer.read())
            took.append((time.perf_counter() - began) * 1000)
            assert answer.status == 200, told
            assert {result["status"] for result in told["results"]} == {"stored"}, told
        connection.close()
        return took


def measure_http(data: Path, workers: int, count: int) -> dict[str, Any]:
    """Start gunicorn, let the phones push at once, stop it."""
    app = create_app({"UNDERCROFT_DATA": data, "DATABASE_URL": "", "SECRET_KEY": "bench"})
    database = app.extensions["database"]
    prepare_store(database)
    rng = random.Random(11)
    phones, seeds = [], []
    with database.session() as session:
        for n in range(PHONES):
            person = create_person(session, name=f"Technician {n}", login=f"t{n}", role="technician")
            device_id, counter = new_id(), [0]
            code = make_enrol_code(session, person.id, minutes=10)
            token, _ = enrol_phone(
                session, code=code, device_id=device_id, device_words="bench", address="127.0.0.1", token_days=1
            )
            events: list[dict[str, Any]] = []
            while len(events) < count // PHONES:
                site_id = new_id()
                for _ in range(JOBS_A_SITE):
                    events += make_walk(rng, person.id, device_id, site_id, counter)
            events = events[: count // PHONES // BATCH * BATCH]
            phones.append(Phone(token, events))
            seeds += events
    database.dispose()
    port = free_port()
    server = start_server(data, port, workers)
    try:
        began = time.perf_counter()
        with ThreadPoolExecutor(PHONES) as pool:
            took = sorted(ms for phone in pool.map(lambda phone: phone.send_all(port), phones) for ms in phone)
        seconds = time.perf_counter() - began
        cpu_seconds = cpu_seconds_of_workers(server.pid)
    finally:
        server.send_signal(signal.SIGTERM)
        server.wait(20)
    with sqlite3.connect(data / "undercroft.sqlite3") as store:
        rows = store.execute("SELECT * FROM event ORDER BY site_id, seq").fetchall()
        found = store.execute("SELECT count(*) FROM finding").fetchone()[0]
    assert len(rows) == len(seeds)
    return {
        "workers": workers,
        "events": len(rows),
        "findings_made": found,
        "events_a_second": round(len(rows) / seconds),
        "server_cpu_us_an_event": round(cpu_seconds / len(rows) * 1e6, 1),
        "batch_ms_median": round(statistics.median(took), 1),
        "batch_ms_p95": round(took[int(len(took) * 0.95)], 1),
        "rows": rows,
    }


def measure_raw(folder: Path, source: Path, rows: list[tuple[Any, ...]]) -> int:
    """The same rows into the same table with its indexes, by executemany, 200 to a durable commit; events a second."""
    with sqlite3.connect(source) as store:
        wanted = (
            "SELECT sql FROM sqlite_master WHERE tbl_name = 'event' AND type IN ('table', 'index') AND sql IS NOT NULL"
        )
        statements = [row[0] for row in store.execute(wanted)]
    raw = sqlite3.connect(folder / "raw.sqlite3", isolation_level=None)
    for pragma in ("journal_mode = WAL", "synchronous = FULL"):
        raw.execute(f"PRAGMA {pragma}")
    for statement in statements:
        raw.execute(statement)
    holes = ", ".join("?" * len(rows[0]))
    began = time.perf_counter()
    for n in range(0, len(rows), BATCH):
        raw.execute("BEGIN IMMEDIATE")
        raw.executemany(f"INSERT INTO event VALUES ({holes})", rows[n : n + BATCH])
        raw.execute("COMMIT")
    seconds = time.perf_counter() - began
    raw.close()
    return round(len(rows) / seconds)


def cpu_seconds_of_workers(master_pid: int) -> float:
    """User and system time of the server's workers (Linux): says what a busy neighbour hides."""
    children = Path(f"/proc/{master_pid}/task/{master_pid}/children").read_text().split()
    ticks = 0
    for pid in children:
        after_name = Path(f"/proc/{pid}/stat").read_text().rpartition(")")[2].split()
        ticks += int(after_name[11]) + int(after_name[12])
    return ticks / os.sysconf("SC_CLK_TCK")


def start_server(data: Path, port: int, workers: int) -> subprocess.Popen[bytes]:
    """gunicorn on our app, ready to answer."""
    command = [sys.executable, "-m", "gunicorn", "webapp.wsgi:app", "-b", f"127.0.0.1:{port}", "-w", str(workers)]
    command += ["--worker-class", "gthread", "--threads", "4", "--log-level", "error", "--no-control-socket"]
    server = subprocess.Popen(
        command,
        cwd=Path(__file__).parents[2],
        env={"UNDERCROFT_DATA": str(data), "SECRET_KEY": "bench", "PATH": "/usr/bin:/bin"},
    )
    for _ in range(200):
        time.sleep(0.05)
        try:
            connection = http.client.HTTPConnection("127.0.0.1", port, timeout=5)
            connection.request("GET", "/healthz")
            if connection.getresponse().status == 200:
                return server
        except OSError:
            continue
    server.kill()
    raise RuntimeError("the server did not start")


def main() -> None:
    """Measure with one worker and with two, and the raw insert."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--events", type=int, default=20_000)
    count = parser.parse_args().events
    figures: dict[str, Any] = {"bench": "events", "at": datetime.now(UTC).isoformat(timespec="seconds"), "http": []}
    for workers in (1, 2):
        with tempfile.TemporaryDirectory() as folder:
            data = Path(folder)
            figure = measure_http(data, workers, count)
            rows = figure.pop("rows")
            raw = measure_raw(data, data / "undercroft.sqlite3", rows)
            figure["raw_executemany_a_second"] = raw
            figure["ratio_to_raw"] = round(figure["events_a_second"] / raw, 3)
            figures["http"].append(figure)
    print(json.dumps(figures))


if __name__ == "__main__":
    main()
