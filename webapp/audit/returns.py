"""Which visit is a return visit, and to which job: the definition that stands on the owner's page.

An unscheduled later visit to the same heater for the same complaint, counted against the job just before it. The call
counts, whether or not somebody has been there yet. Each job has one return visit at most: its first.
"""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from webapp.audit.cases import days_between, same_heater

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from webapp.audit.cases import Case

WINDOWS_DAYS = (30, 90)
LONGEST_DAYS = WINDOWS_DAYS[-1]


def link_returns(cases: Iterable[Case]) -> None:
    """Say of each job by which visit it came back, and of each visit to which job it is a return."""
    groups: dict[str, list[Case]] = defaultdict(list)
    for case in cases:
        groups[case.group_id].append(case)
    for group in groups.values():
        if len(group) > 1:
            _link_group(group)


def _link_group(group: list[Case]) -> None:
    visits = [case for case in group if case.state != "cancelled" and case.rung_at_s is not None]
    visits.sort(key=lambda case: (case.rung_at_s, case.job_id))
    closed = [case for case in visits if case.state == "closed" and case.closed_at_s is not None]
    closed.sort(key=lambda case: (case.closed_at_s, case.job_id))
    ever, known = {case.appliance_id for case in visits if case.appliance_id}, set[str]()
    for visit in visits:
        known |= {visit.appliance_id} if visit.appliance_id else set()
        if not visit.brought_in:
            earlier = [case for case in closed if case is not visit and 0 <= days_between(case, visit) <= LONGEST_DAYS]
            _link_visit(visit, earlier, known or ever)
            _tell_apart_what_came_meanwhile(visit, closed)


def _link_visit(visit: Case, earlier: list[Case], known: Collection[str]) -> None:
    """`earlier`: the closed jobs of the address within the longest window, the job just before last.

    `known`: the heaters that anybody had described there by then; where nobody had, those described since.
    """
    same = [case for case in earlier if _same_complaint(case, visit) and same_heater(case, visit, known)]
    if same:
        visit.before = same[-1]
        same[-1].back = same[-1].back or visit
    elif earlier and earlier[-1].apart is None:
        earlier[-1].apart, earlier[-1].apart_why = visit, _why_apart(earlier[-1], visit, known)
    if not is_planned(visit):
        for case in earlier:
            case.next_call = case.next_call or visit


def _tell_apart_what_came_meanwhile(visit: Case, closed: list[Case]) -> None:
    """A call before the close of a job that had been called for earlier: whoever closes late would lose it silently."""
    if visit.before is not None or visit.rung_at_s is None:
        return
    during = [case for case in closed if case.rung_at_s is not None and case.closed_at_s is not None]
    during = [case for case in during if case.rung_at_s < visit.rung_at_s < case.closed_at_s]  # type: ignore[operator]
    for case in during[-1:]:
        if case.apart is None:
            case.apart, case.apart_why = visit, "before_close"


def _same_complaint(case: Case, visit: Case) -> bool:
    return visit.family is not None and case.family == visit.family


def _why_apart(case: Case, visit: Case, known: Collection[str]) -> str:
    if not same_heater(case, visit, known):
        return "other_heater"
    return "complaint_not_known" if None in (case.family, visit.family) else "other_complaint"


def is_planned(visit: Case) -> bool:
    """A second visit that was agreed on: the job before it waited for a part."""
    return visit.planned
