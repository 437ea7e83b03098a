"""Every figure of the owner's pages is a list of jobs: this says which, by the name that stands in the address."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from webapp.audit.cases import DAY_S
from webapp.audit.returns import LONGEST_DAYS, WINDOWS_DAYS, is_planned

if TYPE_CHECKING:
    from webapp.audit.cases import Case

OUT_WORDS = {
    "not_closed": "booked or on the job: nothing to hold yet",
    "cancelled": "cancelled: nobody went",
    "waiting_part": "closed to wait for a part: its second visit was agreed on",
    "not_seen_today": "the fault was not seen that day: nothing was repaired",
    "declined": "the customer declined the repair",
    "handed_over": "handed over to somebody else",
    "left_off": "left off and tagged: nothing runs that could fail again",
    "replaced": "the heater was replaced: another one stands there now",
    "brought_in": "brought in from a file: no technician, and no heater walked",
    "no_repair": "closed as repaired, but no repair stands recorded",
    "no_time": "its close has no readable time",
}
APART_WORDS = {
    "other_complaint": "came back with another complaint",
    "complaint_not_known": "came back, and one of the two complaints is not recorded",
    "other_heater": "the next call was for another heater at that address",
    "before_close": "another call from there came before the job was closed",
}
PROOF_WORDS = {
    "proven_no_run": "closed as repaired and held, and no hot run stands recorded",
    "proven_failed": "closed as repaired and held, and the last hot run recorded did not hold",
    "proven_too_soon": "closed as repaired and held, and the hot run was noted sooner after the repair, or after "
    "the visit began, than the minutes that it says it ran: by the clock alone, which may be wrong",
    "repair_no_run": "something was repaired, closed in another way, and no hot run stands recorded",
    "not_proven_failed": "closed as not proven: the hot run did not hold",
    "not_proven_no_run": "closed as not proven: no hot run stands recorded",
    "not_proven_held": "closed as not proven, although the last hot run recorded held",
}


def is_ours(case: Case) -> bool:
    """Closed, and walked here."""
    return case.state == "closed" and not case.brought_in


def proof_of(case: Case) -> str:
    """Which of PROOF_WORDS this closed job is; empty where it was proven, or nothing was repaired."""
    if not is_ours(case):
        return ""
    if case.close_state == "not_proven":
        return {"none": "not_proven_no_run", "failed": "not_proven_failed"}.get(case.hot_run, "not_proven_held")
    if case.close_state == "proven":
        known = {"none": "proven_no_run", "held": "", "too_soon": "proven_too_soon"}
        return known.get(case.hot_run, "proven_failed")
    return "repair_no_run" if case.repairs and case.hot_run == "none" else ""


OVER, BACK, CALLED, UNPROVEN = 1, 2, 4, 8
BY_WINDOW: dict[str, tuple[str, Callable[[int], bool]]] = {
    "over": ("Repairs whose {days} days are over", lambda flags: bool(flags & OVER)),
    "back": (
        "Repairs that came back within {days} days, of those whose {days} days are over",
        lambda flags: flags & (OVER | BACK) == OVER | BACK,
    ),
    "held": (
        "Repairs closed as proven, and not back within {days} days",
        lambda flags: flags & (OVER | BACK | UNPROVEN) == OVER,
    ),
    "quiet": (
        "Repairs closed as not proven, and nobody called about them within {days} days",
        lambda flags: flags & (OVER | BACK | UNPROVEN) == OVER | UNPROVEN,
    ),
    "called": (
        "Repairs with any call from that address within {days} days, whatever it was about",
        lambda flags: flags & (OVER | CALLED) == OVER | CALLED,
    ),
    "open": ("Repairs whose {days} days are not over yet", lambda flags: not flags & OVER),
    "open_back": (
        "Repairs whose {days} days are not over yet, and that are back already",
        lambda flags: flags & (OVER | BACK) == BACK,
    ),
}
"""Name → words and test, for the jobs that count as repairs."""


def flags_of(case: Case, days: int, now_s: int) -> int:
    """OVER: so many days have passed since its close. BACK, CALLED: it came back, or anybody called, within them.

    UNPROVEN: it was closed so; that nobody called shows nothing.
    """
    closed_at_s, span_s = case.closed_at_s or 0, days * DAY_S
    flags = OVER if closed_at_s + span_s <= now_s else 0
    flags |= UNPROVEN if case.close_state == "not_proven" else 0
    if case.back is not None and (case.back.rung_at_s or 0) - closed_at_s <= span_s:
        flags |= BACK
    if case.next_call is not None and (case.next_call.rung_at_s or 0) - closed_at_s <= span_s:
        flags |= CALLED
    return flags


@dataclass(frozen=True)
class Wanted:
    """A list as its address names it."""

    name: str
    days: int = LONGEST_DAYS
    by: str = ""
    of: str = ""

    @property
    def part(self) -> str:
        """The repair whose changes are listed; empty where the list is of something else."""
        kind, _, of = self.name.partition("-")
        return of.partition("-")[0] if kind in ("unread", "changed") else ""

    def address(self) -> dict[str, str]:
        """What stands in the address of the page."""
        told = {"list": self.name, "by": self.by, "of": self.of}
        if self.name in BY_WINDOW:
            told["days"] = str(self.days)
        return {name: value for name, value in told.items() if value}


def jobs_of(wanted: Wanted, cases: Iterable[Case], now_s: int, groups_of: Callable[[Case], list[str]]) -> list[Case]:
    """The jobs of a list, newest first. `groups_of`: the rows of the table `wanted.by` in which a job counts."""
    test = test_of(wanted, now_s)
    found = [case for case in cases if test(case) and (not wanted.by or wanted.of in groups_of(case))]
    return sorted(found, key=place_of, reverse=True)


def place_of(case: Case) -> tuple[int, str]:
    """Where a job stands in a list."""
    return case.closed_at_s or case.rung_at_s or 0, case.job_id


def test_of(wanted: Wanted, now_s: int) -> Callable[[Case], bool]:
    """Whether a job is in the list."""
    if wanted.name in BY_WINDOW:
        test = BY_WINDOW[wanted.name][1]
        return lambda case: not case.why_out and test(flags_of(case, wanted.days, now_s))
    kind, _, of = wanted.name.partition("-")
    tests: dict[str, Callable[[Case], bool]] = {
        "planned": is_planned,
        "after_nothing": lambda case: case.before is not None and case.before.why_out not in ("", "waiting_part"),
        "out": lambda case: case.why_out == of,
        "apart": lambda case: not case.why_out and case.apart_why == of,
        "proof": lambda case: proof_of(case) == of,
        "unread": lambda case: is_ours(case) and any(f"{part}-{why}".startswith(of) for part, why in case.unread),
        "changed": lambda case: is_ours(case) and of in case.actions,
    }
    return tests[kind]


def is_known(wanted: Wanted, bys: Iterable[str]) -> bool:
    """Whether there is such a list."""
    kind, _, of = wanted.name.partition("-")
    known = {"out": OUT_WORDS, "apart": APART_WORDS, "proof": PROOF_WORDS}
    by_kind = of in known[kind] if kind in known else kind in ("unread", "changed") and bool(of)
    named = wanted.name in BY_WINDOW or wanted.name in ("planned", "after_nothing") or by_kind
    return named and wanted.days in WINDOWS_DAYS and wanted.by in ("", *bys)
