"""A run that did not hold is no repair that held, however long nobody calls."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from sqlalchemy.orm import Session

from tests.audit.conftest import History, OwnersDesk
from webapp.audit.lists import Wanted
from webapp.audit.service import all_lines, read_first_page


@pytest.fixture
def jobs(history: History) -> dict[str, str]:
    site = {name: history.story.address(f"{name} Mill Lane") for name in "ABC"}
    found = {
        "held": history.visit(site["A"], 0),
        "quiet": history.visit(site["B"], 0, close="not_proven", run=False),
        "back": history.visit(site["C"], 0, close="not_proven", run=False),
    }
    history.call(site["C"], 5)
    return found


@pytest.mark.parametrize("name", ["held", "quiet", "back"])
def test_not_proven_and_nobody_called_stands_apart_from_held(session: Session, jobs: dict[str, str], name: str) -> None:
    session.rollback()
    lines = all_lines(session, Wanted(name, 30), datetime.now(UTC))
    assert [line.case.job_id for line in lines] == [jobs[name]]


def test_the_share_is_still_of_all_repairs_whose_days_are_over(session: Session, jobs: dict[str, str]) -> None:
    session.rollback()
    window = read_first_page(session, datetime.now(UTC)).windows[0]
    assert (window.share.count, window.share.of) == (1, 3)


def test_the_page_defines_both_and_each_column_stands_beside_its_own_base(
    owner: OwnersDesk, jobs: dict[str, str]
) -> None:
    page = owner.read()
    assert "Held: closed as proven, and not back within these days." in page
    assert "closed as not proven, and nobody called about it: nothing shows that it held." in page
    for head in ("30 days over Back in 30 90 days over Back in 90",):
        assert head in page
