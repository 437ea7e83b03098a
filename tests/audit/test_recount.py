"""The parts changed without a convicting reading, counted a second time, from the bare events and by another way.

Two counts that were made apart and agree are worth more than one: the owner asks technicians about these figures.
"""

from __future__ import annotations

import random
from collections import Counter
from dataclasses import dataclass
from datetime import UTC, datetime
from typing import Any

import pytest

from tests.audit.recounting import JUDGES, live, seen_before
from tests.trade.making import event
from webapp.audit.cases import Case
from webapp.audit.figures import UnreadPart, count_out, count_rows, count_unread, count_windows, flags_of_all
from webapp.audit.lists import jobs_of
from webapp.audit.returns import link_returns
from webapp.invent.order import WalkOrder
from webapp.invent.service import shipped_procedures
from webapp.invent.story import Story
from webapp.sync.rows import outcome_row
from webapp.trade.conviction import changed_unread
from webapp.trade.record import fold_job

JOBS = 900
UNTIL = datetime(2026, 11, 25, tzinfo=UTC)
NOW_S = int(UNTIL.timestamp())
DRAWN = 400
WATCHED = (
    "new_switch", "new_blower", "new_control", "new_couple", "new_igniter", "new_probe", "new_limit", "new_tco",
)  # fmt: skip


# What each rule goes by, with the answers that there are; drawn evenly, every branch of the rules comes up.
ANSWERS = {
    "switch_pump": ("off_point", "on_point"), "suction_at_switch": ("enough", "marginal", "high", "short", "none"),
    "tap_type": ("suction", "pressure"), "watch_cycle": ("never_makes", "made_then_opened", "blower_silent", "runs"),
    "chain_volts": ("stops_at_switch", "to_the_end"), "blower_amps": ("off_plate", "as_plate"),
    "blower_wheel": ("rough_dirty_loose", "free"), "blower_volts": ("present", "absent"),
    "vent_parted": ("stays_low", "comes_up"), "sensing_tube": ("seated", "off_or_split"),
    "tap_and_switch": ("same", "lower"), "tube_drain": ("clear", "water"), "call_present": ("call", "no_call"),
    "outlet": ("good", "dead"), "igniter_volts": ("present", "absent"), "drop_out": ("too_slow", "drops_early", "fine"),
    "follows_dial": ("never_stops", "never_starts", "follows"), "couple_closed": ("high_but_drops", "enough", "low"),
    "pile_loaded": ("enough", "low"), "couple_open": ("enough", "low", "none"), "pile_open": ("enough", "low", "none"),
    "tco_continuity": ("closed", "not_fitted", "open", "poor"), "eco_continuity": ("closed", "open"),
    "couple_nut": ("tight_and_clean", "loose_or_dirty"), "igniter_ohms": ("open_or_off", "as_sheet"),
    "probe_ohms": ("off_table", "on_table"), "limit_continuity": ("open", "poor", "closed"),
}  # fmt: skip
GOES_BY = {
    "new_switch": ("switch_pump", "suction_at_switch", "tap_type", "watch_cycle", "chain_volts"),
    "new_blower": (
        "blower_amps", "blower_wheel", "blower_volts", "vent_parted", "sensing_tube", "tap_and_switch", "tube_drain",
        "watch_cycle",
    ),
    "new_control": (
        "call_present", "outlet", "chain_volts", "blower_volts", "igniter_volts", "drop_out", "follows_dial",
        "couple_closed", "pile_loaded", "tco_continuity", "eco_continuity", "couple_nut",
    ),
    "new_couple": ("couple_open", "couple_closed", "pile_open", "pile_loaded"),
    "new_igniter": ("igniter_ohms",), "new_probe": ("probe_ohms",), "new_limit": ("limit_continuity",),
    "new_tco": ("tco_continuity",),
}  # fmt: skip
FIGURES = {
    "suction_in_wc": (0.0, 0.30, 0.37, -0.60), "couple_open_mv": (8.0, 20.0, 30.0), "couple_closed_mv": (5.0, 18.0),
    "pile_open_mv": (0.0, 380.0, 700.0), "pile_loaded_mv": (150.0,),
}  # fmt: skip


def drawn_job(rng: random.Random, part: str) -> list[dict[str, Any]]:
    """A job with few or many of the answers and figures that this part's rule goes by, some of them too late."""
    said: list[tuple[str, dict[str, Any]]] = [
        ("check_answered", {"check": check, "outcome": rng.choice(ANSWERS[check])})
        for check in GOES_BY[part]
        if rng.random() < 0.6
    ]
    said += [
        ("reading_taken", {"quantity": quantity, "value": rng.choice(values)})
        for quantity, values in FIGURES.items()
        if rng.random() < 0.3
    ]
    if rng.random() < 0.6:
        said.append(("sheet_number", {"quantity": "make_point_in_wc", "value": 0.36, "where": "part_label"}))
    rng.shuffle(said)
    said.insert(len(said) - rng.choice((0, 0, 0, len(said) // 2)), ("repair_made", {"action": part}))
    events = [event(number, kind, body) for number, (kind, body) in enumerate(said, start=1)]
    if len(events) > 1 and rng.random() < 0.3:
        events.append(event(len(events) + 1, "withdrawn", {}, replaces=[events[0]["id"]]))
    return events


@pytest.mark.parametrize("part", WATCHED)
def test_each_rule_says_of_any_evidence_what_the_table_here_says(part: str) -> None:
    rng, found = random.Random(part), Counter[str]()
    for _ in range(DRAWN):
        events = drawn_job(rng, part)
        stands = live(events)
        changed = [one for one in stands if one["kind"] == "repair_made"]
        again = [why for one in changed[:1] if (why := JUDGES[part](seen_before(stands, one["lamport"])))]
        assert [one["why"] for one in changed_unread(fold_job(events))] == again, events
        found[again[0] if again else "convicted"] += 1
    assert found.keys() >= {"convicted", "not_read", "read_otherwise"}


@dataclass
class Company:
    """An invented company, as the owner's page counts it and as it is counted here."""

    cases: list[Case]
    parts: dict[str, UnreadPart]
    changed: dict[str, set[str]]
    """By part: the jobs in which it was changed."""
    unread: dict[tuple[str, str], set[str]]
    """By part and reason: the jobs."""


@pytest.fixture(scope="module")
def company() -> Company:
    order = WalkOrder()
    story = Story(
        seed=5, jobs=JOBS, until=UNTIL, procedures=shipped_procedures(), order=order.next_check, first=order.first_cause
    )
    cases, changed, unread = [], {}, {}
    for _visit, written in story.visits():
        events = [event for batch in written.batches for event in batch.events if event["job_id"]]
        cases.append(Case(*outcome_row(fold_job(events), site_id=written.site_id, job_id=written.job_id).values()))
        stands = live(events)
        if not any(event["kind"] == "job_closed" for event in stands):
            continue
        judged: set[str] = set()
        for one in stands:
            part = one["body"].get("action")
            if one["kind"] != "repair_made" or part not in WATCHED or part in judged:
                continue
            judged.add(part)
            changed.setdefault(part, set()).add(written.job_id)
            if why := JUDGES[part](seen_before(stands, one["lamport"])):
                unread.setdefault((part, why), set()).add(written.job_id)
    link_returns(cases)
    parts = {part.repair: part for part in count_unread(cases, lambda action: action)}
    return Company(cases, parts, changed, unread)


@pytest.mark.parametrize("part", WATCHED)
def test_each_part_is_counted_as_the_recount_counts_it(company: Company, part: str) -> None:
    told = company.parts[part]
    again = {why: len(jobs) for (repair, why), jobs in company.unread.items() if repair == part}
    assert told.changed.count == len(company.changed[part])
    assert {reason.wanted.name.rpartition("-")[2]: reason.count for reason in told.reasons} == again
    assert told.unread.count == sum(again.values())


@pytest.mark.parametrize("part", WATCHED)
def test_each_number_opens_the_very_jobs_of_the_recount(company: Company, part: str) -> None:
    told = company.parts[part]

    def opened(figure: Any) -> set[str]:
        return {case.job_id for case in jobs_of(figure.wanted, company.cases, 0, lambda _case: [])}

    assert opened(told.changed) == company.changed[part]
    for reason in told.reasons:
        assert opened(reason) == company.unread[part, reason.wanted.name.rpartition("-")[2]]
    assert opened(told.unread) == set().union(*(opened(reason) for reason in told.reasons))


def test_the_company_is_large_enough_to_tell_the_two_counts_apart(company: Company) -> None:
    """Every part was changed, and of switches, blowers and controls there are both kinds."""
    assert set(company.changed) == set(WATCHED)
    found = Counter(
        {part: sum(len(jobs) for (one, _), jobs in company.unread.items() if one == part) for part in WATCHED}
    )
    for part in ("new_switch", "new_blower", "new_control"):
        assert 0 < found[part] < len(company.changed[part]), part


def test_the_numbers_of_the_page_add_up(company: Company) -> None:
    """Every job is a repair that could hold, or is out for one reason; each repair held, came back, or is open."""
    cases = company.cases
    counted = [case for case in cases if not case.why_out]
    assert len(cases) == len(counted) + sum(figure.count for figure in count_out(cases))
    flags = flags_of_all(counted, NOW_S)
    for window in count_windows(Counter(flags)):
        told = window.counts
        assert told["over"] == told["back"] + told["held"] + told["quiet"]
        assert len(counted) == told["over"] + told["open"]
        assert told["open_back"] <= told["open"]
        assert told["back"] <= told["called"] <= told["over"]
        assert told["back"] > 0
    for row in count_rows(counted, flags, lambda case: [case.hot_run]):
        for window in row.windows:
            assert window.counts["over"] == window.counts["back"] + window.counts["held"] + window.counts["quiet"]
    by_run = count_rows(counted, flags, lambda case: [case.hot_run])
    assert sum(row.windows[0].counts["over"] + row.windows[0].counts["open"] for row in by_run) == len(counted)
