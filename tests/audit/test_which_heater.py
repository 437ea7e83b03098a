"""Whether a repair held never hangs on the kind of heater that was guessed at the call."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from sqlalchemy.orm import Session

from tests.audit.conftest import History, OwnersDesk
from webapp.audit.lists import Wanted
from webapp.audit.service import all_lines
from webapp.models import JobOutcome
from webapp.models.ids import new_id

BACK, OTHER_HEATER = Wanted("back", 30), Wanted("apart-other_heater")
HEATER, SECOND = new_id(), new_id()


@pytest.fixture
def site(history: History) -> str:
    return history.story.address("5 Saltcellar Street")


def jobs_in(session: Session, wanted: Wanted) -> list[str]:
    session.rollback()
    return [line.case.job_id for line in all_lines(session, wanted, datetime.now(UTC))]


def test_a_call_under_another_kind_counts_against_the_only_heater_known_there(
    history: History, site: str, session: Session
) -> None:
    repaired = history.visit(site, 0, heater=HEATER)
    history.call(site, 3, kind="other_kind")
    assert jobs_in(session, BACK) == [repaired]
    assert jobs_in(session, OTHER_HEATER) == []


def test_a_visit_that_did_not_describe_the_only_heater_was_at_it(history: History, site: str, session: Session) -> None:
    repaired = history.visit(site, 0, kind="other_kind")
    history.visit(site, 3, heater=HEATER)
    assert jobs_in(session, BACK) == [repaired]


def test_what_the_technician_described_outdoes_the_desk(history: History, site: str, session: Session) -> None:
    first = history.visit(site, 0, heater=HEATER, kind="other_kind")
    second = history.visit(site, 3, heater=SECOND, kind="other_kind")
    assert jobs_in(session, OTHER_HEATER) == [first]
    history.visit(site, 6, heater=SECOND)
    assert jobs_in(session, BACK) == [second]


def test_a_job_counts_under_the_kind_of_heater_that_was_found(history: History, site: str, session: Session) -> None:
    job = history.visit(site, 0, heater=HEATER, kind="other_kind")
    session.rollback()
    outcome = session.get(JobOutcome, job)
    assert outcome is not None
    assert outcome.procedure_name == "toy_vent"


def test_with_two_heaters_known_the_word_of_the_desk_is_all_there_is(
    history: History, site: str, session: Session
) -> None:
    history.visit(site, 0, heater=HEATER)
    other = history.visit(site, 1, kind="other_kind")
    described = {"appliance_id": SECOND, "kind": "other_kind"}
    history.story.walk(site, other, ("appliance_described", described))
    history.call(site, 3, kind="other_kind")
    assert jobs_in(session, BACK) == [other]


def test_the_owners_page_says_which_heater_is_the_same(history: History, site: str, owner: OwnersDesk) -> None:
    history.visit(site, 0)
    assert "the only heater known at that address, whatever kind was guessed at the call" in owner.read()
