"""Both procedures walked to their end once for every outcome that a check can have, all others as they should be."""

from __future__ import annotations

import pytest

from tests.trade.making import answered, event
from webapp.procedures import compiled, list_procedures
from webapp.trade.closing import RUNNING, close_states, unsafe_words
from webapp.trade.record import fold_job
from webapp.trade.walk import advise

LONGEST = 90
"""Questions of one walk, those asked again after power, fire and parting among them."""


def walked(procedure, check_id, outcome):
    """Every advice with what was asked for it, until nothing is."""
    checks = {check["id"]: check for check in procedure["checks"]}
    events = [event(1, "job_opened", {"procedure_hash": procedure["hash"]}), event(2, "arrived", {})]
    for _ in range(LONGEST):
        record = fold_job(events)
        advice = advise(procedure, record)
        gate = advice["gate"]
        open_check = gate["next_check"] if gate["state"] == "open" else (advice["next"] or {}).get("check")
        yield record, advice, checks.get(open_check)
        if open_check is None:
            return
        said = outcome if open_check == check_id else checks[open_check]["outcomes"][0]["id"]
        number = len(events) + 1
        is_code = checks[open_check]["from_event"] is not None
        events.append(event(number, "code_read", {"shown": said}) if is_code else answered(number, open_check, said))
    pytest.fail(f"{check_id} {outcome}: the walk has no end")


CASES = [
    (name, check["id"], outcome["id"])
    for name in list_procedures()
    for check in compiled(name)["checks"]
    for outcome in check["outcomes"][0 if check is compiled(name)["checks"][0] else 1 :]  # all normal once
]


@pytest.mark.parametrize(("name", "check_id", "outcome"), CASES)
def test_no_walk_fires_what_may_not_be_fired_and_each_ends_with_true_words(name, check_id, outcome):
    procedure = compiled(name)
    for record, advice, asked in walked(procedure, check_id, outcome):
        if asked and asked["fires"]:
            others = [words for words in advice["unsafe"] if not words.startswith(asked["title"] + ":")]
            assert not others, (asked["id"], others)
            assert advice["gate"]["state"] == "passed"
            assert advice["may_fire"]["ok"] or advice["unsafe"]
        if asked is None and advice["gate"]["state"] == "passed":
            conclude = advice["conclude"]
            likely = [one for one in advice["ranking"] if one["state"] == "likely"]
            assert likely or not conclude["held"] or "may not run yet" in conclude["why_words"]
            assert not (likely and conclude["held"])
        if asked is None and unsafe_words(procedure, record):
            assert not {one["state"] for one in close_states(procedure, record) if one["offered"]} & set(RUNNING)
