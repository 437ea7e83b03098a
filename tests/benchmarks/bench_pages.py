"""Every page of the office over an invented company: processor time, questions to the database, memory.

Run by `make bench`, or `python tests/benchmarks/bench_pages.py [JOBS]`. With 20,000 jobs the company takes two minutes
to make; without a number it has 2,000.
"""

import resource
import statistics
import sys
import tempfile
import time
from datetime import UTC, datetime
from pathlib import Path

if __package__ in {None, ""}:
    sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from flask.testing import FlaskClient
from sqlalchemy import event, func, select
from sqlalchemy.orm import Session

from webapp import create_app
from webapp.cli import main
from webapp.extensions import Database
from webapp.models import Device, Job, Person, Role
from webapp.models.ids import new_id

JOBS = 2_000
TIMES = 7
MOST_MS = 200.0
"""What a page may cost in processor time: a shared machine's clock says nothing."""
COUNTED_OVER_ALL = ("/held",)
"""The owner's figures read every job, and have a bench and a limit of their own (bench_audit.py)."""


def pages(session: Session) -> list[str]:
    """Each page once; of addresses and jobs those of the address that was visited most often."""
    visits = func.count(Job.id)
    site = session.scalars(select(Job.site_id).group_by(Job.site_id).order_by(visits.desc()).limit(1)).one()
    job = session.scalars(select(Job.id).where(Job.site_id == site).limit(1)).one()
    return [
        *("/jobs", "/jobs?show=booked", "/jobs?show=open", "/jobs?show=closed", "/jobs?show=all"),
        *(f"/jobs/{job}", f"/jobs/{job}/call", f"/jobs/{job}/sheet", f"/jobs/{job}/sheet.pdf"),
        *("/jobs/book", f"/jobs/book?site={site}", "/jobs/book/matches?street=Mill&town=&phone=&customer_name="),
        *("/heaters-off", "/addresses", "/addresses?q=mill", "/addresses/in-doubt"),
        *(f"/addresses/{site}", f"/addresses/{site}/same-as", "/queues", "/models", "/models/typed-on-site"),
        *("/company", "/people", "/held", "/held/jobs?list=over&days=90"),
    ]


def sign_in(client: FlaskClient, database: Database) -> None:
    """As the owner, who may open all of them."""
    with database.session() as session:
        owner = session.scalars(select(Person.id).where(Person.role == Role.OWNER.value).limit(1)).one()
        device = Device(id=new_id(), person_id=owner, kind="office", words="bench", enrolled_at=datetime.now(UTC))
        session.add(device)
        session.commit()
        device_id = device.id
    with client.session_transaction() as cookie:
        cookie["person_id"], cookie["device_id"] = owner, device_id


def measure(jobs: int, folder: Path) -> bool:
    """Print one line a page; whether all kept to the limit."""
    main(["invent", "--jobs", str(jobs), "--data", str(folder)], standalone_mode=False)
    app = create_app({"UNDERCROFT_DATA": folder, "SECRET_KEY": "bench", "UNDERCROFT_COOKIE_SECURE": False})
    database: Database = app.extensions["database"]
    client, asked = app.test_client(), []
    sign_in(client, database)
    event.listen(database.engine, "before_cursor_execute", lambda _c, _cursor, words, *_rest: asked.append(words))
    with database.reading_session() as session:
        paths = pages(session)
    kept = True
    print(f"{jobs:,} jobs. Page, processor ms (median of {TIMES}), questions, kB")
    for path in paths:
        client.get(path)
        took = []
        for _ in range(TIMES):
            asked.clear()
            began = time.process_time()
            answer = client.get(path)
            took.append((time.process_time() - began) * 1_000)
        median = statistics.median(took)
        well = answer.status_code == 200 and (median <= MOST_MS or path.startswith(COUNTED_OVER_ALL))
        kept = kept and well
        mark = "" if well else "  TOO LONG"
        print(f"  {path[:64]:64} {median:7.1f} {len(asked):4} {len(answer.data) / 1e3:8.0f}{mark}")
    print(f"  most memory of this process: {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss // 1024} MB")
    database.dispose()
    return kept


if __name__ == "__main__":
    with tempfile.TemporaryDirectory(prefix="undercroft-bench-") as made:
        if not measure(int(sys.argv[1]) if len(sys.argv) > 1 else JOBS, Path(made) / "data"):
            sys.exit("a page took longer than it may")
