"""The first page of an address's history, with 1,000 and with 100,000 jobs in the store: it must cost the same.

Run by `make bench`, or `python tests/benchmarks/bench_history.py [FEW] [MANY]`. The address that is read has twelve
visits of nine events each, told through the one way in; the other jobs are rows of the same shape, eight events each,
written at once.
"""

import statistics
import sys
import tempfile
import time
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import Any

if __package__ in {None, ""}:
    sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from flask.testing import FlaskClient
from sqlalchemy import insert
from sqlalchemy.orm import Session

from tests import factories
from tests.sites.stories import PROCEDURE, Story
from webapp import create_app
from webapp.extensions import Database
from webapp.keeping.start import prepare_store
from webapp.models import EventRow, Job, Site
from webapp.models.ids import new_id
from webapp.sites.address_key import phone_key, street_key

FEW, MANY = 1_000, 100_000
VISITS_READ = 12
JOBS_AN_ADDRESS = 3
WAITING, STAND_OFF = 120, 30
EVENTS_A_JOB = 8
CHUNK = 2_000
WARM_UP, TIMES = 5, 60
HISTORY = "an address's history, first page"
PAGES = {
    HISTORY: "/addresses/{read}",
    "what is known, while the address is typed": "/jobs/book/matches?street=12+mill+ln&phone=555-0142",
    "jobs, to do, by urgency, first page": "/jobs",
    "jobs, closed, first page": "/jobs?show=closed",
    "jobs, all, first page": "/jobs?show=all",
    "heaters left off": "/heaters-off",
    "addresses in doubt, first page": "/addresses/in-doubt",
    "addresses, first page": "/addresses",
    "addresses, found by a word": "/addresses?q=mill+lane",
}
BEGAN = datetime(2025, 1, 6, tzinfo=UTC)
MOST_RATIO = 1.5
"""Of the medians. More than this is no noise: some query grew with the store."""


@dataclass(frozen=True)
class Store:
    """A signed-in desk, and the address that is read."""

    client: FlaskClient
    read: str


def make_store(folder: Path, jobs: int) -> Store:
    """A store with so many jobs."""
    app = create_app({"UNDERCROFT_DATA": folder, "SECRET_KEY": "bench", "UNDERCROFT_COOKIE_SECURE": False})
    database: Database = app.extensions["database"]
    prepare_store(database)
    with database.session() as session:
        for name in dir(factories):
            if name.endswith("Factory"):
                getattr(factories, name)._meta.sqlalchemy_session = session
        story = Story(session)
        read = story.address(phone="555-0142")
        for _ in range(VISITS_READ):
            story.whole_visit(read)
            story.days_later(20)
        for start in range(0, jobs - VISITS_READ, CHUNK):
            write_noise(session, story, start, min(CHUNK, jobs - VISITS_READ - start))
        client = app.test_client()
        with client.session_transaction() as cookie:
            cookie["person_id"], cookie["device_id"] = story.dispatcher.id, story.desk_device.id
    return Store(client, read)


def write_noise(session: Session, story: Story, start: int, count: int) -> None:
    """So many closed jobs elsewhere."""
    sites: list[dict[str, Any]] = []
    jobs: list[dict[str, Any]] = []
    events: list[dict[str, Any]] = []
    site_id = ""
    for number in range(start, start + count):
        if (number - start) % JOBS_AN_ADDRESS == 0:
            site_id = new_id()
            sites.append(site_row(site_id, number, story))
        job_id, booked_at = new_id(), BEGAN + timedelta(minutes=5 * number)
        jobs.append(job_row(job_id, site_id, booked_at, story))
        events += event_rows(job_id, site_id, booked_at, (number - start) % JOBS_AN_ADDRESS, story)
        jobs[-1] |= still_wants_somebody(number)
    session.execute(insert(Site), sites)
    session.execute(insert(Job), jobs)
    session.execute(insert(EventRow), events)
    session.commit()


def site_row(site_id: str, number: int, story: Story) -> dict[str, Any]:
    street, phone = f"{number} Weir Road", f"555-{number:07d}"
    return {
        "id": site_id, "group_id": site_id, "head": 0, "chain": "", "created_at": BEGAN,
        "created_by_person_id": story.dispatcher.id, "street": street, "town": "Harrowby", "postcode": "",
        "customer_name": "", "phone": phone, "access_words": "", "street_key": street_key(street),
        "phone_key": phone_key(phone), "search_text": f"{street_key(street)} harrowby {phone_key(phone)}",
        "needs_rebuild": False,
    }  # fmt: skip


def job_row(job_id: str, site_id: str, booked_at: datetime, story: Story) -> dict[str, Any]:
    return {
        "id": job_id, "site_id": site_id, "state": "closed", "technician_id": story.technician.id,
        "complaint": "no_hot_water", "complaint_words": "cold", "procedure_name": PROCEDURE["name"],
        "procedure_hash": PROCEDURE["hash"], "booked_at": booked_at, "opened_at": booked_at, "closed_at": booked_at,
        "close_state": "proven", "cause": "tube_off", "last_received_at": booked_at, "event_count": EVENTS_A_JOB,
        "record": {"noise": "x" * 2_000}, "fold_version": 1, "needs_rebuild": False,
    }  # fmt: skip


def still_wants_somebody(number: int) -> dict[str, Any]:
    """The same in both stores: so many jobs wait, and so many heaters stand off, however many are closed."""
    if number < WAITING:
        below = {"due_out_wall": "2025-01-06T15:10:00Z"} if number % 20 == 0 else {}
        cold = {"no_hot_water_since": f"2025-01-{number % 28 + 1:02d}"} if number % 3 == 0 else {}
        waits = {"state": "booked", "closed_at": None, "close_state": None, "caller_alarm": number % 15 == 0}
        return {**waits, **below, **cold}
    off = number < WAITING + STAND_OFF
    return {"heater_off": off, "office_not_told": off and number % 2 == 0}


def event_rows(job_id: str, site_id: str, at: datetime, place: int, story: Story) -> Iterator[dict[str, Any]]:
    for number in range(1, EVENTS_A_JOB + 1):
        yield {
            "id": new_id(), "site_id": site_id, "seq": place * EVENTS_A_JOB + number, "chain": "0" * 64,
            "digest": "0" * 64, "received_at": at, "job_id": job_id, "person_id": story.technician.id,
            "device_id": story.phone.id, "dev_seq": number, "lamport": number, "at_wall": at.isoformat(),
            "clock_offset": 0, "kind": "check_answered", "schema": 1, "replaces": [],
            "body": {"check": "tube", "outcome": "off", "could_not": None},
        }  # fmt: skip


def read_in_turn(stores: list[Store], path: str) -> list[list[float]]:
    """Milliseconds of every reading, by store. The stores take turns, so that a busy machine slows both alike."""
    took: list[list[float]] = [[] for _ in stores]
    for turn in range(WARM_UP + TIMES):
        for store, times in zip(stores, took, strict=True):
            began = time.perf_counter()
            answer = store.client.get(path.format(read=store.read))
            spent = (time.perf_counter() - began) * 1000
            if answer.status_code != 200:
                raise RuntimeError(f"{path}: {answer.status_code}")
            if turn >= WARM_UP:
                times.append(spent)
    return took


def main(few: int, many: int) -> int:
    """Print the figures; 1 where the history of one address grew with the store."""
    with tempfile.TemporaryDirectory() as folder:
        stores = [make_store(Path(folder) / str(jobs), jobs) for jobs in (few, many)]
        print(f"median (95th percentile) in ms{'':<18}{few:>16,} jobs {many:>16,} jobs")
        ratios = {}
        for name, path in PAGES.items():
            took = read_in_turn(stores, path)
            medians = [statistics.median(times) for times in took]
            ratios[name] = medians[1] / medians[0]
            told = [f"{m:10.1f} ({statistics.quantiles(t, n=20)[-1]:6.1f})" for m, t in zip(medians, took, strict=True)]
            print(f"{name:<45} {told[0]:>19} {told[1]:>19}   {ratios[name]:.2f} times")
        for store in stores:
            store.client.application.extensions["database"].dispose()
    print(f"the history may cost at most {MOST_RATIO} times as much")
    return int(ratios[HISTORY] > MOST_RATIO)


if __name__ == "__main__":
    sys.exit(main(*([int(word) for word in sys.argv[1:]] or [FEW, MANY])))
