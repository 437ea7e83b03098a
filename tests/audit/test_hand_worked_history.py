"""The definition of a return visit, against a small history whose figures were worked out by hand.

Days since the first day; today is day 300. "r" repaired and closed, "w" closed to wait for a part, "?" fault not seen
that day, "b" booked only, "x" cancelled, "f" brought in from a file. Complaint: no hot water where nothing is said.

    A  J1 r0   J2 r20  J3 r100  J4 r195      20 days, then 80, then 95
    B  K1 r0   K2 r5 (a noise)  K3 r10       K3 is a return to K1, the job just before it for that complaint
    C  L1 w0   L2 r4                         agreed on
    D  M1 r0   M2 x8                         nobody went
    E  N1 r0 (heater 1)  N2 r6 (heater 2)    another heater
    F  P1 ?0   P2 r3                         nothing had been repaired
    G  Q1 r0   Q2 b15                        the call counts
    H  R1 r290 R2 b298                       days not over, and back already
    I  S1 f0   S2 r7                         S1 is none of ours
    J  T1 r0 and T2 r9 at a second entry for the same door
    K  U1 r0   U2 r5 (another complaint, not recorded)
    L  V1 r250                               its 30 days are over, its 90 are not

Counted as repairs: J1-4, K1-3, L2, M1, N1-2, P2, Q1, R1, S2, T1-2, U1-2, V1: 20 jobs.
30 days over: all but R1, 19. Back within them: J1, K1, Q1, T1: 4. Held: 15. Not over: R1, and it is back: 1 and 1.
90 days over: all but R1 and V1, 18. Back: those and J2: 5. Held: 13. Not over: 2, of these back: 1.
Any call within 30 days: J1, K1, K2 (K3 rang), N1, Q1, T1, U1: 7. Within 90: and J2: 8.
"""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from sqlalchemy.orm import Session

from tests.audit.conftest import History
from webapp.audit.lists import Wanted
from webapp.audit.service import all_lines, read_first_page
from webapp.models.ids import new_id


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    return str(request.param)


@pytest.fixture
def jobs(history: History) -> dict[str, str]:
    told = history.story
    site = {letter: told.address(f"{letter} Mill Lane") for letter in "ABCDEFGHIJKLZ"}
    found = {
        "J1": history.visit(site["A"], 0),
        "J2": history.visit(site["A"], 20),
        "J3": history.visit(site["A"], 100),
        "J4": history.visit(site["A"], 195),
        "K1": history.visit(site["B"], 0),
        "K2": history.visit(site["B"], 5, complaint="noise"),
        "K3": history.visit(site["B"], 10),
        "L1": history.visit(site["C"], 0, action=None, close="waiting_part", run=None),
        "L2": history.visit(site["C"], 4),
        "M1": history.visit(site["D"], 0),
        "M2": history.call(site["D"], 8),
        "N1": history.visit(site["E"], 0, heater=new_id()),
        "N2": history.visit(site["E"], 6, heater=new_id()),
        "P1": history.visit(site["F"], 0, action=None, close="not_seen_today", run=None),
        "P2": history.visit(site["F"], 3),
        "Q1": history.visit(site["G"], 0),
        "Q2": history.call(site["G"], 15),
        "R1": history.visit(site["H"], 290),
        "R2": history.call(site["H"], 298),
        "S1": history.brought_in(site["I"], 0),
        "S2": history.visit(site["I"], 7),
        "T1": history.visit(site["J"], 0),
        "T2": history.visit(site["Z"], 9),
        "U1": history.visit(site["K"], 0),
        "U2": history.visit(site["K"], 5, complaint="other"),
        "V1": history.visit(site["L"], 250),
    }
    told.say(told.desk, "job_cancelled", {"why": "runs again"}, site_id=site["D"], job_id=found["M2"])
    told.say(told.desk, "same_address", {"other_site_id": site["J"]}, site_id=site["Z"])
    return found


def names(session: Session, jobs: dict[str, str], wanted: Wanted) -> set[str]:
    of = {job: name for name, job in jobs.items()}
    session.rollback()
    return {of[line.case.job_id] for line in all_lines(session, wanted, datetime.now(UTC))}


REPAIRS = set("J1 J2 J3 J4 K1 K2 K3 L2 M1 N1 N2 P2 Q1 R1 S2 T1 T2 U1 U2 V1".split())  # noqa: SIM905  (read like the table)


def test_the_figures_are_those_worked_out_by_hand(session: Session, jobs: dict[str, str]) -> None:
    session.rollback()
    page = read_first_page(session, datetime.now(UTC))
    assert (page.jobs, page.counted, page.not_in_figures) == (26, 20, 0)
    month, quarter = page.windows
    assert month.counts == {"over": 19, "back": 4, "held": 15, "quiet": 0, "called": 7, "open": 1, "open_back": 1}
    assert quarter.counts == {"over": 18, "back": 5, "held": 13, "quiet": 0, "called": 8, "open": 2, "open_back": 1}


LISTS = [
    (Wanted("over", 30), REPAIRS - {"R1"}),
    (Wanted("over", 90), REPAIRS - {"R1", "V1"}),
    (Wanted("back", 30), {"J1", "K1", "Q1", "T1"}),
    (Wanted("back", 90), {"J1", "J2", "K1", "Q1", "T1"}),
    (Wanted("held", 30), REPAIRS - {"R1", "J1", "K1", "Q1", "T1"}),
    (Wanted("held", 90), REPAIRS - {"R1", "V1", "J1", "J2", "K1", "Q1", "T1"}),
    (Wanted("called", 30), {"J1", "K1", "K2", "N1", "Q1", "T1", "U1"}),
    (Wanted("open", 30), {"R1"}),
    (Wanted("open", 90), {"R1", "V1"}),
    (Wanted("open_back", 90), {"R1"}),
    (Wanted("out-not_closed"), {"Q2", "R2"}),
    (Wanted("out-cancelled"), {"M2"}),
    (Wanted("out-waiting_part"), {"L1"}),
    (Wanted("out-not_seen_today"), {"P1"}),
    (Wanted("out-brought_in"), {"S1"}),
    (Wanted("apart-other_complaint"), {"K1"}),
    (Wanted("apart-other_heater"), {"N1"}),
    (Wanted("apart-complaint_not_known"), {"U1"}),
    (Wanted("planned"), {"L2"}),
    (Wanted("after_nothing"), {"P2", "S2"}),
]


def test_every_list_holds_the_jobs_worked_out_by_hand(session: Session, jobs: dict[str, str]) -> None:
    for wanted, expected in LISTS:
        assert names(session, jobs, wanted) == expected, wanted


def test_every_job_is_counted_once(session: Session, jobs: dict[str, str]) -> None:
    session.rollback()
    page = read_first_page(session, datetime.now(UTC))
    assert page.counted + sum(figure.count for figure in page.out) == page.jobs
    for window in page.windows:
        assert window.counts["over"] + window.counts["open"] == page.counted
        assert window.counts["back"] + window.counts["held"] + window.counts["quiet"] == window.counts["over"]
