"""What was found unsafe and only looked at again does not vanish; a wrong tap is told as one. On both engines."""

from __future__ import annotations

import pytest

from tests.trade.making import answered, event
from webapp.procedures import compiled
from webapp.trade.history import history_entry
from webapp.trade.looked_again import looked_again, otherwise_now
from webapp.trade.record import fold_job
from webapp.trade.standing import findings_of
from webapp.trade.unsafe_taken_back import unsafe_taken_back

GATE = {"smell_of_gas": "no_smell", "symptoms": "nobody"}


def wall(minute):
    return f"2026-11-26T06:{minute:02}:00.000Z"


def co(number, ppm, outcome, minute, replaces=(), *, corrects=None):
    """A figure and its answer, as a phone sends them in one batch; `replaces`: the numbers of what they name."""
    of = [f"e{one:03}" for one in replaces]
    more = {} if corrects is None else {"corrects": corrects}
    return [
        event(
            number,
            "reading_taken",
            {"check": "co_room", "quantity": "co_room_ppm", "value": ppm, **more},
            schema=1 if corrects is None else 2,
            replaces=of[:1],
            at_wall=wall(minute),
        ),
        event(
            number + 1,
            "check_answered",
            {"check": "co_room", "outcome": outcome, "could_not": None, **more},
            schema=1 if corrects is None else 3,
            replaces=of[1:],
            at_wall=wall(minute),
        ),
    ]


def ppm_of(record):
    return [one["value"] for one in record["readings"]]


def outcomes_of(record, check):
    return [entry["outcome"] for one in record["checks"] if one["check"] == check for entry in one["entries"]]


def test_a_second_look_at_co_stands_beside_the_first_whoever_sent_it(both):
    for replaces in ((), (1, 2)):  # a phone that knows the difference names nothing; an older one always named both
        record = both("fold_job", {"events": co(1, 90, "leave", 16) + co(3, 2, "acceptable", 24, replaces)})["ok"]
        assert ppm_of(record) == [90, 2]
        assert outcomes_of(record, "co_room") == ["leave", "acceptable"]
        assert record["checks"][0]["now_outcome"] == "acceptable"
        assert record["corrected"] == []


def test_an_older_phones_new_word_within_two_minutes_is_a_correction_and_is_told(both):
    record = both("fold_job", {"events": co(1, 90, "leave", 16) + co(3, 9, "acceptable", 17, (1, 2))})["ok"]
    assert ppm_of(record) == [9]
    assert [(one["value"], one["to_value"], one["outcome"], one["to_outcome"]) for one in record["corrected"]] == [
        (90, 9, None, None),
        (None, None, "leave", "acceptable"),
    ]


def test_a_correction_that_says_so_is_one_however_late(both):
    late = co(1, 90, "leave", 16) + co(3, 9, "acceptable", 40, (1, 2), corrects=True)
    record = both("fold_job", {"events": late})["ok"]
    assert ppm_of(record) == [9]
    assert record["corrected"][0]["by"]["at_wall"] == wall(16)
    assert record["corrected"][0]["to_by"]["at_wall"] == wall(40)


def test_another_phone_or_a_clock_that_tells_nothing_makes_it_a_second_look(both):
    other = co(3, 9, "acceptable", 17, (1, 2))
    for one in other:
        one["device_id"] = "d2"
    torn = co(3, 9, "acceptable", 17, (1, 2))
    for one in torn:
        one["at_wall"] = "yesterday"
    for again in (other, torn):
        assert ppm_of(both("fold_job", {"events": co(1, 90, "leave", 16) + again})["ok"]) == [90, 9]


def test_a_figure_that_the_firms_own_rules_called_acceptable_may_be_typed_anew(both):
    record = both("fold_job", {"events": co(1, 12, "acceptable", 16) + co(3, 8, "acceptable", 30, (1, 2))})["ok"]
    assert ppm_of(record) == [8]


def test_what_is_not_unsafe_is_corrected_as_ever(both):
    events = [answered(1, "terminal", "clear"), answered(2, "terminal", "nest_or_debris", replaces=["e001"])]
    events[1]["at_wall"] = wall(59)
    record = both("fold_job", {"events": events})["ok"]
    assert outcomes_of(record, "terminal") == ["nest_or_debris"]
    assert record["corrected"] == []


def test_taking_back_a_second_look_lets_the_first_stand_alone(both):
    events = [*co(1, 90, "leave", 16), *co(3, 2, "acceptable", 24, (1, 2))]
    events.append(event(5, "withdrawn", {}, replaces=["e003", "e004"]))
    record = both("fold_job", {"events": events})["ok"]
    assert ppm_of(record) == [90]
    assert record["checks"][0]["now_outcome"] == "leave"


def test_any_order_gives_the_same_record():
    events = co(1, 90, "leave", 16) + co(3, 2, "acceptable", 24, (1, 2)) + co(5, 3, "acceptable", 25, (3, 4))
    assert fold_job(events) == fold_job(events[::-1])


def again(job, check, outcome, **more):
    """Looked at again: it names nothing."""
    return job.answer(check, outcome, **more)


def test_not_seen_today_is_shut_where_co_was_only_measured_again(job_of_each):
    job = job_of_each.looked_at()
    assert "not_seen_today" in job.offered()
    job.add("reading_taken", {"check": "co_room", "quantity": "co_room_ppm", "value": 90}).answer("co_room", "leave")
    job.add("reading_taken", {"check": "co_room", "quantity": "co_room_ppm", "value": 2}).answer(
        "co_room", "acceptable"
    )
    shut = "CO in the room was 90 ppm on this visit and nobody noted what put it right."
    assert "not_seen_today" not in job.offered()
    assert job.why("not_seen_today").startswith(shut)
    for state in ("waiting_part", "declined", "handed_over", "replaced"):
        assert shut in job.why(state)
        assert state in job.offered()
    job.prove()  # it ran hot, and made none
    assert "not_seen_today" in job.offered()


def test_a_figure_that_nobody_answered_is_no_less_seen(job_of_each):
    job = job_of_each.looked_at()
    job.add("reading_taken", {"check": "co_room", "quantity": "co_room_ppm", "value": 90})
    job.add("reading_taken", {"check": "co_room", "quantity": "co_room_ppm", "value": 2}).answer(
        "co_room", "acceptable"
    )
    assert "90 ppm" in job.why("not_seen_today")


def test_a_smell_that_went_and_a_nest_that_is_clear_are_not_put_right_by_a_look(job_of_each):
    job = job_of_each.looked_at()
    check, bad, good = (
        ("terminal", "nest_or_debris", "clear")
        if job.procedure["name"] == "power_vent"
        else ("intake_screen", "plugged", "clean")
    )
    for one, found, after in (("smell_of_gas", "smell", "no_smell"), (check, bad, good)):
        again(job.answer(one, found), one, after)
    assert "Smell of gas was found on this visit and nobody noted" in job.why("not_seen_today")
    assert job.why("not_seen_today").count("nobody noted what put it right") == 2
    assert "not_seen_today" not in job.offered()
    job.add("repair_made", {"action": "other", "words": "union tightened"})
    assert "nobody noted" not in job.why("waiting_part")


def test_gas_that_could_not_be_shut_and_then_could_is_told(job_of_each):
    job = job_of_each.looked_at()
    if "gas_off" in [check["id"] for check in job.procedure["checks"]]:
        again(job.answer("gas_off", "cannot_shut"), "gas_off", "off_and_tagged")
        assert "Gas" in job.why("not_seen_today")
        assert "Cannot be shut" in job.why("not_seen_today")


def test_a_wrong_tap_called_so_shuts_nothing(job_of_each):
    job = job_of_each.looked_at()
    job.answer("smell_of_gas", "smell")
    job.answer("smell_of_gas", "no_smell", schema=3, replaces=[job.events[-1]["id"]])
    job.events[-1]["body"]["corrects"] = True
    job.events[-1]["at_wall"] = wall(59)
    assert "not_seen_today" in job.offered()


def test_after_a_smell_the_wait_for_gas_to_clear_is_asked_though_a_pilot_burns(pilot_job):
    job = pilot_job.looked_at()
    job.answer("as_found", "burning")
    missing = "Waited for gas to clear"
    assert missing not in job.ask("step")["advice"]["may_fire"]["missing"]
    again(job.answer("smell_of_gas", "smell"), "smell_of_gas", "no_smell")
    job.answer("as_found", "burning")
    assert missing in job.ask("step")["advice"]["may_fire"]["missing"]
    job.answer("gas_cleared", "waited")
    assert missing not in job.ask("step")["advice"]["may_fire"]["missing"]


def test_a_pilot_that_did_not_hold_when_it_was_lit_has_the_wait_asked_anew(pilot_job):
    job = pilot_job.looked_at().answer("as_found", "out_knob_on").answer("gas_cleared", "waited")
    lit = next(one for one in job.procedure["checks"] if one["id"] == "relight_watch")
    (stays,) = lit["flame_stays"]
    for outcome in [one["id"] for one in lit["outcomes"]]:
        job.answer("relight_watch", outcome)
        asked = "Waited for gas to clear" in job.ask("step")["advice"]["may_fire"]["missing"]
        assert asked is (outcome not in stays["outcomes"]), outcome
        job.answer("gas_cleared", "waited")


def test_a_flame_seen_after_the_gas_was_off_is_no_pilot_that_was_lit_and_watched_since(pilot_job):
    job = pilot_job.looked_at().answer("as_found", "burning").answer("relight_watch", "runs")
    missing = "Waited for gas to clear"
    assert missing not in job.answer("pilot_flame", "wraps_tip").ask("step")["advice"]["may_fire"]["missing"]
    job.answer("gas_off", "off_and_tagged").answer("gas_cleared", "waited").answer("pilot_flame", "wraps_tip")
    assert missing in job.ask("step")["advice"]["may_fire"]["missing"]


NEST, CLEAR = ("terminal", "nest_or_debris"), ("terminal", "clear")
REPAIR = {"action": "other", "words": "terminal cleared"}
RUN = {"passed": True, "minutes": 12, "restarts": 2, "looks_done": [], "co_room_ppm": 2}


def told(*acts):
    """What was only looked at again, by figures (ppm), answers (check, outcome) and runs; `BO` before one of his."""
    events, by = [], {}
    for act in acts:
        number = len(events) + 1
        if act is BO:
            by = BO
            continue
        if isinstance(act, dict):
            made = event(number, "repair_made" if act is REPAIR else "proof_run", act, **by)
        elif isinstance(act, tuple):
            made = answered(number, *act, **by)
        else:
            made = event(number, "reading_taken", {"check": "co_room", "quantity": "co_room_ppm", "value": act}, **by)
        events, by = [*events, made], {}
    record = fold_job(events)
    return [one["found_words"] for one in looked_again(PROCEDURE, record, findings_of(PROCEDURE, record))]


def stays_told(*events):
    """All that was found, with what is noted since."""
    record = fold_job(list(events))
    found = otherwise_now(PROCEDURE, record, findings_of(PROCEDURE, record))
    return [(one["found_words"], one["is_open"], one["since_words"]) for one in found]


PROCEDURE = compiled("power_vent")
BO = {"person_id": "bo", "device_id": "d2"}
OK, LEAVE = ("co_room", "acceptable"), ("co_room", "leave")


@pytest.mark.parametrize(
    ("acts", "found"),
    [
        ([NEST, CLEAR, RUN], ["Nest or debris"]),  # a run shows nothing of a nest
        ([90, 2, OK], ["90 ppm"]),  # answered once alone
        ([90, LEAVE, 2, OK, BO, 90, BO, LEAVE], []),  # it stands, by another
        ([90, LEAVE, 24, ("co_room", "raised"), 2, OK], ["Leave now, 90 ppm"]),
        ([50, 90, LEAVE, 2, OK], ["Leave now, 90 ppm"]),
        ([9, 2, OK], ["9 ppm"]),  # from where one rule set calls it raised
        ([8.99, 2, OK], []),
        ([12, OK, 2, OK], []),  # called safe by the firm's own
        ([12, 2, OK], ["12 ppm"]),  # the answer is of the next figure
        ([12, BO, 2, BO, OK, OK], []),  # another's figure ends nobody's
        ([12, BO, OK, 2, OK], ["12 ppm"]),  # nor does another's answer call it safe
        ([90, LEAVE, 2, OK, RUN], []),
        ([90, LEAVE, 2, OK, {**RUN, "passed": False}], ["Leave now, 90 ppm"]),
        ([90, LEAVE, 2, OK, {**RUN, "co_room_ppm": None}], ["Leave now, 90 ppm"]),
        ([90, LEAVE, RUN, OK], []),
        ([90, LEAVE, {**RUN, "co_room_ppm": 12}, OK], ["Leave now, 90 ppm"]),  # less, and still raised by two rule sets
        ([RUN, 90, LEAVE, 2, OK], ["Leave now, 90 ppm"]),
        ([90, LEAVE, 2, OK, REPAIR], ["Leave now, 90 ppm"]),  # a repair alone is no proof that it was that
        ([90, LEAVE, 2, OK, REPAIR, RUN], []),
        ([NEST, CLEAR, REPAIR], []),
    ],
)
def test_what_was_only_looked_at_again_and_what_ends_it(acts, found):
    assert told(*acts) == found


def test_what_was_put_right_stays_as_found_and_says_what_came_after_it():
    seen = [*co(1, 90, "leave", 1), *co(3, 2, "acceptable", 9)]
    repair, run = event(5, "repair_made", REPAIR), event(6, "proof_run", RUN)
    assert stays_told(*seen) == [("Leave now, 90 ppm", True, "nobody noted what put it right")]
    since = "no hot run after the repair has held with its number"
    assert stays_told(*seen, repair) == [("Leave now, 90 ppm", True, since)]
    assert stays_told(*seen, repair, run) == [("Leave now, 90 ppm", False, "a hot run held with its number after it")]
    nest = [answered(1, *NEST), answered(2, *CLEAR), event(3, "repair_made", REPAIR)]
    assert stays_told(*nest) == [("Nest or debris", False, "a repair was noted after it")]
    assert stays_told(nest[0], nest[2]) == []  # it stands as found


def test_the_last_word_is_what_it_is_now():
    record = fold_job([*co(1, 90, "leave", 1), *co(3, 12, "raised", 9), *co(5, 2, "acceptable", 20)])
    (line,) = looked_again(PROCEDURE, record, findings_of(PROCEDURE, record))
    assert (line["now_words"], line["now_by"]["event_id"]) == ("Acceptable, 2 ppm", "e006")


def test_what_was_noted_unsafe_and_taken_back_is_told_and_counts_for_nothing():
    seen = co(1, 90, "leave", 1)
    back = event(3, "withdrawn", {}, replaces=["e001", "e002"], at_wall=wall(2))
    record = fold_job([*seen, back, *co(4, 2, "acceptable", 3)])
    (line,) = unsafe_taken_back(record)
    assert (line["check"], line["value"], line["by"]["event_id"], line["to_by"]["at_wall"]) == (
        "co_room",
        90,
        "e001",
        wall(2),
    )
    told_next = history_entry(PROCEDURE, [*seen, back])["corrected"]
    assert [(one["was"], one["now"]) for one in told_next] == [("90 ppm", None)]
    nest = [answered(1, *NEST), event(2, "withdrawn", {}, replaces=["e001"])]
    assert [one["outcome"] for one in unsafe_taken_back(fold_job(nest))] == ["nest_or_debris"]
    assert unsafe_taken_back(fold_job([answered(1, *CLEAR), nest[1]])) == []
