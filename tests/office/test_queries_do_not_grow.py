"""A list asks the database hardly more often for twelve jobs than for three: no question is asked once a line."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from sqlalchemy import event

from tests.office.conftest import Desk
from webapp.extensions import Database

FEW, MANY = 3, 12
LISTS = [
    "/jobs", "/jobs?show=booked", "/jobs?show=closed", "/jobs?show=all", "/heaters-off", "/addresses",
    "/addresses?q=mill", "/addresses/in-doubt", "/queues", "/models/typed-on-site", "/people",
]  # fmt: skip
SLACK = 2
"""What a page asks only where there is more to say than fits; far fewer than the lines that came on."""


def fill(desk: Desk, jobs: range) -> None:
    desk.story.at = datetime.now(UTC) - timedelta(days=3)
    off = {"what_words": "heater", "why_words": "cracked vent", "told_words": "Mrs Vale"}
    typed = {"quantity": "make_point_in_wc", "value": 0.36, "where": "plate"}
    for number in jobs:
        site = desk.story.address(f"{number} Mill Lane", phone=f"555-01{number:02}")
        desk.story.book(site)
        job = desk.story.whole_visit(site)
        desk.story.walk(
            site, job, ("left_off", off), ("sheet_number", typed), ("due_out", {"due_out_wall": wall(desk)})
        )
        desk.story.walk(site, desk.story.book(site), ("put_back", {"words": "of another heater"}), ("left_off", off))


def wall(desk: Desk) -> str:
    return (desk.story.at + timedelta(hours=1)).isoformat().replace("+00:00", "Z")


def questions(desk: Desk, database: Database, path: str) -> int:
    asked: list[str] = []

    def note(_connection: object, _cursor: object, statement: str, *_rest: object) -> None:
        asked.append(statement)

    desk.read(path)  # what is kept from then on is kept for both
    event.listen(database.engine, "before_cursor_execute", note)
    try:
        desk.read(path)
    finally:
        event.remove(database.engine, "before_cursor_execute", note)
    return len(asked)


def test_no_list_asks_once_a_line(desk: Desk, database: Database) -> None:
    fill(desk, range(FEW))
    few = {path: questions(desk, database, path) for path in LISTS}
    fill(desk, range(FEW, MANY))
    many = {path: questions(desk, database, path) for path in LISTS}
    assert {path: many[path] for path in LISTS if many[path] > few[path] + SLACK} == {}


@pytest.mark.parametrize("visits", [4])
def test_an_address_asks_once_a_heater_left_off_and_no_more(desk: Desk, database: Database, visits: int) -> None:
    """Only a visit that left a heater off asks who put it back, which is at most two questions."""
    desk.story.at = datetime.now(UTC) - timedelta(days=30)
    site = desk.story.address()
    desk.story.whole_visit(site)
    one = questions(desk, database, f"/addresses/{site}")
    for _ in range(visits):
        desk.story.days_later(1)
        desk.story.whole_visit(site)
    assert questions(desk, database, f"/addresses/{site}") == one
