"""What a technician found unsafe is the office's first thing to read, from the moment at which it gets here."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from sqlalchemy.orm import Session

from tests.office.conftest import Desk
from tests.office.test_urgency import booked, days_ago, due_out, row_of, streets
from webapp.extensions import Database
from webapp.models import Job, ProcedureVersion
from webapp.procedures import compiled

WALKED: dict[str, Any] = dict(compiled("power_vent"))


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture(autouse=True)
def _today(desk: Desk, session: Session) -> None:
    walked_today(desk, session)


def walked_today(desk: Desk, session: Session) -> None:
    """It is this morning, and the office knows the procedure by which is walked."""
    desk.story.at = datetime.now(UTC) - timedelta(hours=8)
    version = {"name": WALKED["name"], "body": WALKED, "stored_at": desk.story.at, "is_current": True}
    session.merge(ProcedureVersion(hash=WALKED["hash"], **version))
    session.commit()


def on_the_job(desk: Desk, street: str, *acts: tuple[str, dict[str, Any]]) -> tuple[str, str]:
    place = booked(desk, street)
    desk.story.walk(*place, ("job_opened", {"procedure_hash": WALKED["hash"]}), ("arrived", {}), *acts)
    return place


def answered(check: str, outcome: str) -> tuple[str, dict[str, Any]]:
    return "check_answered", {"check": check, "outcome": outcome, "could_not": None}


GAS = answered("smell_of_gas", "smell")
NEST = answered("terminal", "nest_or_debris")


def test_gas_at_the_door_and_a_nest_stand_with_the_unsafe_ones_and_say_what_it_is(desk: Desk) -> None:
    booked(desk, "3 Cold Road", no_hot_water_since=days_ago(9))
    on_the_job(desk, "4 Quiet Road", answered("smell_of_gas", "no_smell"))
    on_the_job(desk, "1 Gas Road", GAS)
    on_the_job(desk, "2 Nest Road", NEST)
    assert set(streets(desk)[:2]) == {"1 Gas Road", "2 Nest Road"}
    assert streets(desk)[2:] == ["3 Cold Road", "4 Quiet Road"]
    assert row_of(desk, "1 Gas Road").startswith("found unsafe: Smell of gas booked ")
    assert row_of(desk, "2 Nest Road").startswith("found unsafe: Terminal and screen: ")
    assert "unsafe" not in row_of(desk, "4 Quiet Road")
    assert streets(desk, "/jobs?show=open")[-1] == "4 Quiet Road"


def test_the_jobs_page_says_it_first_until_it_is_looked_at_again(desk: Desk) -> None:
    place = on_the_job(desk, "1 Gas Road", GAS)
    page = desk.read(f"/jobs/{place[1]}")
    assert page.index("Found unsafe, and it stands: Smell of gas ") < page.index("What is wrong")
    desk.story.walk(*place, answered("smell_of_gas", "no_smell"))
    assert "Found unsafe, and it stands" not in desk.read(f"/jobs/{place[1]}")
    assert "nobody noted what put it right" in row_of(desk, "1 Gas Road")
    desk.story.walk(*place, ("repair_made", {"action": "other", "words": "union tightened"}))
    assert "Found unsafe" not in desk.read(f"/jobs/{place[1]}")
    assert "found unsafe" not in row_of(desk, "1 Gas Road")


def test_a_raised_figure_stands_though_nobody_chose_an_answer_for_it(desk: Desk) -> None:
    reading = {"check": "co_room", "quantity": "co_room_ppm", "value": 90.0, "place": "room"}
    place = on_the_job(desk, "1 Carbon Road", ("reading_taken", reading), answered("co_room", "leave"))
    assert "found unsafe: CO in the room: Leave now, 90 ppm" in row_of(desk, "1 Carbon Road")
    desk.story.walk(*place, ("job_closed", {"state": "handed_over"}))
    assert "Found unsafe on this visit, and not seen put right on it: CO in the room: Leave now, 90 ppm" in desk.read(
        f"/jobs/{place[1]}"
    )


def test_who_is_below_too_long_still_comes_first(desk: Desk) -> None:
    on_the_job(desk, "2 Gas Road", GAS)
    below = on_the_job(desk, "1 Below Road", NEST)
    due_out(desk, below, -12)
    assert streets(desk)[:2] == ["1 Below Road", "2 Gas Road"]
    row = row_of(desk, "1 Below Road")
    assert row.index("overdue 12 min") < row.index("found unsafe: ")


def test_a_row_that_an_older_fold_made_breaks_no_list(desk: Desk, session: Session, database: Database) -> None:
    _site, job = on_the_job(desk, "1 Gas Road", GAS)
    session.rollback()
    with database.session() as writing:
        older = writing.get_one(Job, job)
        older.record = {"fold_version": 5, "checks": (older.record or {})["checks"], "readings": []}
        writing.commit()
    assert "1 Gas Road" in desk.read("/jobs")
