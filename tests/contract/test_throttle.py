from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from datetime import timedelta

import pytest

from tests.factories import NOW
from webapp.errors import TooManyTries
from webapp.extensions import Database
from webapp.people import queries
from webapp.people.throttle import Limit, count_failure, refuse_when_over

LIMIT = [Limit("someone", 5, 15)]


def fail_once(database: Database, minutes: float = 0) -> None:
    with database.session() as session:
        count_failure(session, LIMIT, NOW + timedelta(minutes=minutes))
        session.commit()


def test_failures_at_once_are_all_counted(database: Database) -> None:
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(lambda _: fail_once(database), range(16)))
    with database.reading_session() as session:
        row = queries.get_throttle(session, "someone")
        assert row is not None
        assert row.failures == 16


def test_after_the_window_it_begins_anew(database: Database) -> None:
    for _ in range(5):
        fail_once(database)
    with database.reading_session() as session:
        with pytest.raises(TooManyTries):
            refuse_when_over(session, LIMIT, NOW + timedelta(minutes=14.9))
        refuse_when_over(session, LIMIT, NOW + timedelta(minutes=15))
    fail_once(database, minutes=15)
    with database.reading_session() as session:
        refuse_when_over(session, LIMIT, NOW + timedelta(minutes=15))
        row = queries.get_throttle(session, "someone")
        assert row is not None
        assert row.failures == 1
