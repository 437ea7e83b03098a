"""An address page's work is counted, not timed: questions to the store, rows, the store's own steps, and our calls.

A clock tells nothing on a machine that is busy otherwise. These counts are the same on every machine, and what makes a
page slow is in one of them: a question a visit, a read of all that ever was, a loop over it. `make bench` tells the
milliseconds that belong to them: 50 ms of the processor at most for the demo's slowest page.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from pathlib import Path
from types import FrameType
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy import event, func, select

from tests.office.conftest import Desk
from webapp import create_app
from webapp.extensions import Database
from webapp.invent.demo import open_demo
from webapp.models import Device, Job, Person, Site
from webapp.models.ids import new_id

FEW, MANY = 10, 200
STEPS_AT_ONCE = 10
"""The store tells each so many steps of its own."""
STEPS_A_VISIT = 300
"""That the store may spend on a visit that is not on the page: it is passed over in an index, and put in order."""
MOST_QUESTIONS, MOST_ROWS, MOST_CALLS = 30, 300, 85_000
"""What the slowest page of the demo may ask, read and call: a quarter more than it did when this was written (24, 224,
67,404, and 30 to 40 ms of the processor, by how busy the machine was). So many calls are about 50 ms."""


@dataclass
class Work:
    """What one request made everybody do."""

    questions: int = 0
    rows: int = 0
    steps: int = 0
    calls: int = 0


@contextmanager
def counted(database: Database) -> Iterator[Work]:
    """Count from here to the end of the block, on this thread."""
    work = Work()

    def row(_cursor: object, values: tuple[Any, ...]) -> tuple[Any, ...]:
        work.rows += 1
        return values

    def step() -> int:
        work.steps += STEPS_AT_ONCE
        return 0

    def asked(connection: Any, *_rest: object) -> None:
        work.questions += 1
        raw = connection.connection.dbapi_connection
        raw.row_factory = row
        raw.set_progress_handler(step, STEPS_AT_ONCE)

    def put_back(raw: Any, _record: object) -> None:
        raw.row_factory = None
        raw.set_progress_handler(None, STEPS_AT_ONCE)

    def called(_frame: FrameType, what: str, _arg: object) -> None:
        work.calls += what == "call"

    event.listen(database.engine, "before_cursor_execute", asked)
    event.listen(database.engine, "checkin", put_back)
    before = sys.getprofile()
    sys.setprofile(called)
    try:
        yield work
    finally:
        sys.setprofile(before)
        event.remove(database.engine, "before_cursor_execute", asked)
        event.remove(database.engine, "checkin", put_back)


def work_of(client: FlaskClient, database: Database, path: str) -> Work:
    client.get(path)  # templates and statements are prepared once
    with counted(database) as work:
        answer = client.get(path)
        answer.get_data()
    assert answer.status_code == 200
    return work


@pytest.mark.slow
def test_an_address_with_two_hundred_visits_is_read_as_one_with_ten(desk: Desk, database: Database) -> None:
    desk.story.at = datetime.now(UTC) - timedelta(days=MANY + 5)
    site = desk.story.address()
    path = f"/addresses/{site}"
    found = {}
    for visit in range(1, MANY + 1):
        desk.story.whole_visit(site)
        desk.story.days_later(1)
        if visit in (FEW + 1, MANY):  # one more than a page, so that both have a next one
            found[visit] = work_of(desk.client, database, path)
    few, many = found[FEW + 1], found[MANY]
    assert (many.questions, many.rows) == (few.questions, few.rows)
    assert many.calls < 1.15 * few.calls
    assert many.steps < few.steps + STEPS_A_VISIT * (MANY - FEW)


@pytest.mark.slow
def test_no_address_page_of_the_demo_asks_reads_or_calls_more_than_its_share(tmp_path: Path) -> None:
    open_demo(tmp_path / "demo", datetime.now(UTC), tell=lambda _words: None)
    app = create_app({"UNDERCROFT_DATA": tmp_path / "demo", "SECRET_KEY": "light", "UNDERCROFT_COOKIE_SECURE": False})
    database: Database = app.extensions["database"]
    client = app.test_client()
    with database.writing() as session:
        person_id = session.scalars(select(Person.id).where(Person.role == "dispatcher")).one()
        desk_id = new_id()
        session.add(Device(id=desk_id, person_id=person_id, kind="office", words="d", enrolled_at=datetime.now(UTC)))
        session.commit()
        visits = select(Site.group_id, func.count(Job.id)).join(Job, Job.site_id == Site.id).group_by(Site.group_id)
        groups = [group_id for group_id, _count in session.execute(visits)]
    with client.session_transaction() as cookie:
        cookie["person_id"], cookie["device_id"] = person_id, desk_id
    heaviest = Work()
    for group_id in groups:
        work = work_of(client, database, f"/addresses/{group_id}")
        heaviest = Work(*(max(getattr(work, name), getattr(heaviest, name)) for name in vars(work)))
    database.dispose()
    assert heaviest.questions <= MOST_QUESTIONS
    assert heaviest.rows <= MOST_ROWS
    assert heaviest.calls <= MOST_CALLS
