"""The owner's first page with 1,000, 20,000 and 100,000 jobs in the store: counted afresh, and shown again.

Run by `make bench`, or `python tests/benchmarks/bench_audit.py [JOBS …]`. Rows are written at once, in the shape of
what the pushes make: three visits an address, every twelfth back for the same complaint within some weeks.
"""

import random
import statistics
import sys
import tempfile
import time
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

if __package__ in {None, ""}:
    sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from flask.testing import FlaskClient
from sqlalchemy import insert
from sqlalchemy.orm import Session

from webapp import create_app
from webapp.audit import kept
from webapp.extensions import Database
from webapp.keeping.start import prepare_store
from webapp.models import Device, Job, JobOutcome, Person, Role, Site
from webapp.models.ids import new_id
from webapp.procedures import compiled
from webapp.trade.record import FOLD_VERSION, fold_job

SIZES = (1_000, 20_000, 100_000)
JOBS_AN_ADDRESS = 3
COMES_BACK = 1 / 12
CHUNK = 3_000
TIMES = 9
JUDGED_AT, MOST_MS = 20_000, 300.0
"""What the page may cost afresh, in processor time: a shared machine's clock says nothing."""
DAYS = 540
PROCEDURES = [compiled(name) for name in ("power_vent", "standing_pilot")]
RECORD: dict[str, Any] = {**fold_job([]), "notes": ["x" * 4_000]}
"""As long as a real one, and never read here."""


def make_store(folder: Path, jobs: int) -> FlaskClient:
    """A signed-in owner before a store with so many jobs."""
    app = create_app({"UNDERCROFT_DATA": folder, "SECRET_KEY": "bench", "UNDERCROFT_COOKIE_SECURE": False})
    database: Database = app.extensions["database"]
    prepare_store(database)
    rng, now = random.Random(jobs), datetime.now(UTC)
    owner, device = new_id(), new_id()
    with database.session() as session:
        session.add(Person(id=owner, name="Owner", login="owner", role=Role.OWNER.value, active=True))
        session.flush()
        session.add(Device(id=device, person_id=owner, kind="office", words="bench", enrolled_at=now))
        session.commit()
        for start in range(0, jobs, CHUNK):
            write_jobs(session, rng, owner, now, min(CHUNK, jobs - start))
    client = app.test_client()
    with client.session_transaction() as cookie:
        cookie["person_id"], cookie["device_id"] = owner, device
    return client


def write_jobs(session: Session, rng: random.Random, owner: str, now: datetime, count: int) -> None:
    """So many closed repairs."""
    sites: list[dict[str, Any]] = []
    jobs: list[dict[str, Any]] = []
    outcomes: list[dict[str, Any]] = []
    for _ in range(0, count, JOBS_AN_ADDRESS):
        site_id, at = new_id(), now - timedelta(days=rng.uniform(1, DAYS))
        sites.append(site_row(site_id, len(sites), owner, at))
        for job, outcome in visit_rows(rng, site_id, owner, at, now):
            jobs.append(job)
            outcomes.append(outcome)
    session.execute(insert(Site), sites)
    session.execute(insert(Job), jobs[:count])
    session.execute(insert(JobOutcome), outcomes[:count])
    session.commit()


def site_row(site_id: str, number: int, owner: str, at: datetime) -> dict[str, Any]:
    empty = dict.fromkeys(
        ("town", "postcode", "customer_name", "phone", "access_words", "street_key", "phone_key", "search_text"), ""
    )
    named = {"id": site_id, "group_id": site_id, "street": f"{number} Weir Road", "head": 0, "chain": ""}
    return empty | named | {"created_at": at, "created_by_person_id": owner, "needs_rebuild": False}


def visit_rows(
    rng: random.Random, site_id: str, owner: str, at: datetime, now: datetime
) -> Iterator[tuple[dict[str, Any], dict[str, Any]]]:
    """The visits of one address: its narrow row beside each job."""
    for _ in range(JOBS_AN_ADDRESS):
        procedure = rng.choice(PROCEDURES)
        cause = rng.choice(procedure["causes"][:-1])
        job_id, closed = new_id(), at + timedelta(hours=2)
        shared = {
            "site_id": site_id, "state": "closed", "complaint": rng.choice(procedure["complaints"])["id"],
            "procedure_name": procedure["name"], "procedure_hash": procedure["hash"],
            "close_state": "proven" if rng.random() < 0.85 else "not_proven", "cause": cause["id"],
        }  # fmt: skip
        job = shared | {
            "id": job_id, "technician_id": owner, "complaint_words": "cold", "booked_at": at, "opened_at": at,
            "closed_at": closed, "last_received_at": closed, "event_count": 30, "needs_rebuild": False,
            "record": RECORD, "fold_version": FOLD_VERSION,
        }  # fmt: skip
        outcome = shared | {
            "job_id": job_id, "brought_in": False, "appliance_id": None, "rung_at_s": int(at.timestamp()),
            "closed_at_s": int(closed.timestamp()), "repairs": "\n".join(cause["repairs"][:1]),
            "changed_unread": "new_switch not_read" if cause["repairs"][:1] == ["new_switch"] else "",
            "hot_run": "held" if shared["close_state"] == "proven" else "failed",
        }  # fmt: skip
        yield job, outcome
        days = rng.uniform(1, 90) if rng.random() < COMES_BACK else rng.uniform(100, DAYS)
        at = min(at + timedelta(days=days), now)


def read(client: FlaskClient, path: str) -> tuple[float, float]:
    """(milliseconds by the clock, milliseconds of processor)."""
    began, began_cpu = time.perf_counter(), time.process_time()
    answer = client.get(path)
    spent = (time.perf_counter() - began) * 1000, (time.process_time() - began_cpu) * 1000
    if answer.status_code != 200:
        raise RuntimeError(f"{path}: {answer.status_code}")
    return spent


def measured(client: FlaskClient, path: str, *, afresh: bool) -> tuple[float, float]:
    """Medians of the clock and of the processor."""
    took = []
    for _ in range(TIMES):
        if afresh:
            kept.forget()
        took.append(read(client, path))
    return statistics.median(wall for wall, _ in took), statistics.median(cpu for _, cpu in took)


def main(sizes: list[int]) -> int:
    """Print the figures; 1 where the page costs more than it may."""
    judged_ms = 0.0
    print(f"{'median ms by the clock (of processor)':<40}{'afresh':>18}{'shown again':>18}{'a list of it':>18}")
    with tempfile.TemporaryDirectory() as folder:
        for jobs in sizes:
            client = make_store(Path(folder) / str(jobs), jobs)
            read(client, "/held")  # the first one brings scipy in
            fresh = measured(client, "/held", afresh=True)
            again = measured(client, "/held", afresh=False)
            listed = measured(client, "/held/jobs?list=back&days=90", afresh=False)
            told = "".join(f"{wall:>9.0f} ({cpu:>5.0f}) " for wall, cpu in (fresh, again, listed))
            print(f"the owner's first page, {jobs:>7,} jobs{'':<8}{told}")
            judged_ms = fresh[1] if jobs == JUDGED_AT else judged_ms
            client.application.extensions["database"].dispose()
    print(f"with {JUDGED_AT:,} jobs the page may cost {MOST_MS:.0f} ms of processor afresh")
    return int(judged_ms > MOST_MS)


if __name__ == "__main__":
    sys.exit(main([int(word) for word in sys.argv[1:]] or list(SIZES)))
