"""What another visit found unsafe stops this one, holds its fire and keeps it open until somebody looks again."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.trade.job_in_the_making import Job
from webapp.procedures import compiled, list_procedures
from webapp.trade.closing import RUNNING
from webapp.trade.moments import moment_ms
from webapp.trade.unmarked import is_safe

CAUSE = "joint_leak_at_blower"
EARLY, FOUND_AT, LATER = "2026-11-25T13:40:00Z", "2026-11-25T14:10:00Z", "2026-11-25T14:30:00.500Z"
UNSAFE = [
    (name, check["id"], outcome["id"])
    for name in list_procedures()
    for check in compiled(name)["checks"]
    for outcome in check["outcomes"]
    if outcome.get("unsafe") or outcome["stop_words"]
]


@pytest.fixture
def visits(request, both, power_vent, standing_pilot):
    """`visits(name)`: two jobs at one address with the same list of checks."""
    known = {"power_vent": power_vent, "standing_pilot": standing_pilot}
    return lambda name: (Job(both, known[name]), Job(both, known[name]))


@pytest.fixture
def two(visits):
    return visits("power_vent")


def by_bo(at_wall=FOUND_AT, **more):
    return {"person_id": "bo", "device_id": "d2", "job_id": "job", "at_wall": at_wall, **more}


def co(job, ppm, **envelope):
    body = {"check": "co_room", "quantity": "co_room_ppm", "value": ppm, "place": "room"}
    return job.add("reading_taken", body, **envelope)


def found_by(theirs):
    return theirs.ask("found_unsafe")


def advice(ours, found):
    return ours.ask("step", found=found)["advice"]


def offers(ours, found):
    return {one["state"]: one["why_words"] for one in ours.ask("close_states", found=found) if one["offered"]}


def looked_over(job, at_wall=EARLY):
    """The gate, and all that must stand before fire, seen as it should be."""
    asked = [(check, None) for check in job.procedure["gate"]] + [
        (need["check"], need["outcomes"][0]) for need in job.procedure["may_fire"]
    ]
    known = {check["id"]: check for check in job.procedure["checks"]}
    for check, outcome in asked:
        if check == "control_code":
            job.add("code_read", {"shown": "steady"}, at_wall=at_wall)
        else:
            safe = [one["id"] for one in known[check]["outcomes"] if is_safe(known[check], one)]
            job.answer(check, outcome or safe[0], at_wall=at_wall)
    return waited(job, at_wall)


def waited(job, at_wall=EARLY):
    """Gas shut off after the wait asks for another one."""
    if "gas_cleared" in [need["check"] for need in job.procedure["may_fire"]]:
        job.answer("gas_cleared", "waited", at_wall=at_wall)
    return job


def safe_answer(job, check):
    [known] = [one for one in job.procedure["checks"] if one["id"] == check]
    return next(one["id"] for one in known["outcomes"] if is_safe(known, one) and one["verdict"] == "good")


def test_it_is_told_with_the_number_who_found_it_and_when(two):
    theirs, _ = two
    co(theirs, 90, **by_bo("2026-11-25T14:09:00Z")).answer("co_room", "leave", **by_bo(clock_offset=-2000))
    [line] = found_by(theirs)
    assert line["words"] == "CO in the room: Leave now, 90 ppm"
    assert (line["person_id"], line["wall"], line["check"]) == ("bo", FOUND_AT, "co_room")
    assert line["at_ms"] == int(datetime(2026, 11, 25, 14, 9, 58, tzinfo=UTC).timestamp()) * 1000
    assert line["stop_words"].startswith("Everybody out now.")
    assert not line["repaired"]


def test_a_figure_that_nobody_answered_and_one_beside_a_hot_run_are_told_too(visits):
    typed, run = visits("standing_pilot")
    assert [one["words"] for one in found_by(co(typed, 90, **by_bo()))] == ["CO in the room: Leave now, 90 ppm"]
    run.add("proof_run", {"passed": True, "minutes": 12, "restarts": 2, "looks_done": [], "co_room_ppm": 47.25})
    assert [one["words"] for one in found_by(run)] == ["CO in the room: Wait outside, 47.25 ppm"]


@pytest.mark.parametrize(("ppm", "written"), [(70, "70"), (128.13, "128.13"), (90.3, "90.3"), (100.006, "100.01")])
def test_a_number_is_written_alike_by_both_engines_without_needless_zeros(ppm, written, two):
    theirs, _ = two
    assert [one["words"] for one in found_by(co(theirs, ppm))] == [f"CO in the room: Leave now, {written} ppm"]


def test_the_number_is_the_one_that_whoever_answered_had_read_by_then(two):
    theirs, _ = two
    co(theirs, 90, **by_bo())
    co(theirs, 3).answer("co_room", "leave", **by_bo())
    co(theirs, 2, **by_bo(LATER))
    assert [one["words"] for one in found_by(theirs)] == ["CO in the room: Leave now, 90 ppm"]


def test_without_its_list_of_checks_it_is_told_by_what_is_unsafe_by_its_id(two):
    theirs, _ = two
    theirs.answer("terminal", "nest_or_debris", **by_bo()).answer("joints", "sound", **by_bo())
    told = theirs.both("found_unsafe", {"events": theirs.events})["ok"]
    assert [one["words"] for one in told] == ["terminal: nest or debris"]


@pytest.mark.parametrize(("name", "check", "outcome"), UNSAFE)
def test_whatever_is_unsafe_or_stops_there_holds_this_visit_until_it_looks_again(name, check, outcome, visits):
    theirs, ours = visits(name)
    theirs.answer(check, outcome, **by_bo())
    found = found_by(theirs)
    assert [one["check"] for one in found] == [check]
    waited(looked_over(ours).answer(check, safe_answer(ours, check), at_wall=EARLY))
    assert set(RUNNING) & set(offers(ours, []))
    told = advice(ours, found)
    assert [(one["look"], one["other_heater"]) for one in told["elsewhere"]] == [(check, False)]
    assert not set(offers(ours, found)) - {"left_off", "handed_over"}
    assert not told["may_fire"]["ok"]
    assert not {one["id"] for one in ours.procedure["checks"] if one["fires"]} & set(told["available"]) - {check}
    assert found[0]["words"] in told["put_back"]["missing"]
    if found[0]["stop_words"]:
        assert told["gate"] == {"state": "stopped", "next_check": check, "stop_words": found[0]["stop_words"]}
    elif check in ours.procedure["gate"]:
        assert told["gate"]["next_check"] == check
    ours.add("repair_made", {"action": "other"}, at_wall=LATER)
    assert [one["check"] for one in advice(ours, found)["elsewhere"]] == [check]  # a repair is no look
    co(ours, 2, at_wall=LATER).answer(check, safe_answer(ours, check), at_wall=LATER)
    told = advice(ours, found)
    assert told["elsewhere"] == []
    assert told == advice(ours, [])
    assert ours.ask("close_states", found=found) == ours.ask("close_states")


def test_a_look_before_it_was_found_or_one_that_could_not_be_done_answers_nothing(two):
    theirs, ours = two
    theirs.answer("terminal", "nest_or_debris", **by_bo())
    looked_over(ours)
    ours.add("check_answered", {"check": "terminal", "outcome": None, "could_not": "no_access"}, at_wall=LATER)
    assert len(advice(ours, found_by(theirs))["elsewhere"]) == 1
    assert not set(RUNNING) & set(offers(ours, found_by(theirs)))


def test_two_clocks_are_compared_by_the_servers(two):
    theirs, ours = two
    found = found_by(theirs.answer("terminal", "nest_or_debris", **by_bo()))
    behind = {"at_wall": "2026-11-25T13:50:00Z", "clock_offset": 30 * 60_000}
    assert advice(ours.answer("terminal", "clear", **behind), found)["elsewhere"] == []


def test_co_is_answered_by_a_number_read_later_and_by_nothing_else(two):
    theirs, ours = two
    found = found_by(co(theirs, 90, **by_bo()).answer("co_room", "leave", **by_bo()))
    looked_over(ours)
    co(ours, 2, at_wall=EARLY)
    co(ours, 2, at_wall=FOUND_AT)  # no later than it was found
    co(ours, 2, at_wall="yesterday").answer("co_room", "acceptable", at_wall="yesterday")
    ours.answer("co_room", "acceptable", at_wall=LATER)
    told = advice(ours, found)
    assert [one["check"] for one in told["elsewhere"]] == ["co_room"]
    assert told["gate"]["state"] == "stopped"
    co(ours, 3, at_wall=LATER)
    assert advice(ours, found)["elsewhere"] == []


def test_a_number_that_nobody_answered_is_no_look(two):
    theirs, ours = two
    found = found_by(theirs.answer("co_room", "raised", **by_bo()))
    assert [one["check"] for one in advice(co(looked_over(ours), 40, at_wall=LATER), found)["elsewhere"]] == ["co_room"]


def test_a_number_of_this_visit_that_is_raised_stands_for_itself(two):
    theirs, ours = two
    found = found_by(co(theirs, 90, **by_bo()).answer("co_room", "leave", **by_bo()))
    co(looked_over(ours), 40, at_wall=LATER).answer("co_room", "raised", at_wall=LATER)
    told = advice(ours, found)
    assert told["elsewhere"] == []
    assert told["unsafe"] == ["CO in the room: Raised"]


def test_this_visits_own_unsafe_answer_is_not_forgotten_beside_it(two):
    theirs, ours = two
    found = found_by(theirs.answer("symptoms", "somebody", **by_bo()).answer("co_room", "raised", **by_bo()))
    looked_over(ours).answer("smell_of_gas", "smell", at_wall=EARLY)
    assert advice(ours, found)["gate"]["next_check"] == "smell_of_gas"
    assert len(advice(ours, found)["unsafe"]) == 1


def test_this_visits_own_stop_stays_one_beside_a_milder_word_on_the_same_check(two):
    theirs, ours = two
    found = found_by(theirs.answer("co_room", "raised", **by_bo()))
    co(looked_over(ours), 200, at_wall=EARLY).answer("co_room", "leave", at_wall=EARLY)
    assert advice(ours, found)["gate"]["state"] == "stopped"


def test_what_stopped_it_beyond_the_gate_waits_until_this_visit_has_passed_its_own(two):
    theirs, ours = two
    found = found_by(theirs.answer("gas_off", "cannot_shut", **by_bo()))
    assert advice(ours, found)["gate"]["next_check"] == "smell_of_gas"
    assert advice(looked_over(ours), found)["gate"]["next_check"] == "gas_off"


def test_what_it_repaired_is_said_and_does_not_answer_it_and_its_own_new_look_does(two):
    theirs, _ = two
    theirs.answer("terminal", "nest_or_debris", **by_bo()).add("repair_made", {"action": "other"}, **by_bo(LATER))
    assert [one["repaired"] for one in found_by(theirs)] == [True]
    assert found_by(theirs.answer("terminal", "clear", **by_bo(LATER))) == []


def test_a_visit_that_is_closed_tells_nothing(two):
    theirs, _ = two
    theirs.answer("terminal", "nest_or_debris", **by_bo()).add("job_closed", {"state": "left_off"}, **by_bo(LATER))
    assert found_by(theirs) == []


def test_a_third_visits_later_look_answers_it_and_one_at_another_heater_does_not(visits):
    theirs, third = visits("power_vent")
    third.events[0]["job_id"] = "third"
    theirs.add("appliance_described", {"appliance_id": "upstairs", "kind": "power_vent"}, **by_bo())
    found = found_by(theirs.answer("terminal", "nest_or_debris", **by_bo()))
    assert third.ask("not_seen_since", found=found) == found
    third.answer("terminal", "clear", at_wall=LATER, job_id="third")
    assert third.ask("not_seen_since", found=found) == []
    third.add("appliance_described", {"appliance_id": "cellar", "kind": "power_vent"}, job_id="third")
    assert third.ask("not_seen_since", found=found) == found
    assert third.both("not_seen_since", {"events": third.events, "found": found})["ok"] == found


def test_two_people_of_one_visit_who_differ_are_not_set_against_each_other_by_clocks(two):
    theirs, _ = two
    theirs.answer("terminal", "nest_or_debris", **by_bo()).answer("terminal", "clear", at_wall=LATER)
    found = found_by(theirs)
    assert [one["check"] for one in found] == ["terminal"]
    assert theirs.ask("not_seen_since", found=found) == found


def test_of_another_heater_it_is_only_said_but_what_is_in_the_room_is_everybodys(two):
    theirs, ours = two
    theirs.add("appliance_described", {"appliance_id": "upstairs", "kind": "power_vent"}, **by_bo())
    theirs.answer("terminal", "nest_or_debris", **by_bo())
    ours = looked_over(ours).add("appliance_described", {"appliance_id": "cellar", "kind": "power_vent"})
    told = advice(ours, found_by(theirs))
    assert [one["other_heater"] for one in told["elsewhere"]] == [True]
    assert told["may_fire"]["ok"]
    assert "not_seen_today" in offers(ours, found_by(theirs))
    theirs.answer("smell_of_gas", "smell", **by_bo())
    told = advice(ours, found_by(theirs))
    assert [one["other_heater"] for one in told["elsewhere"]] == [False, True]
    assert told["gate"]["state"] == "stopped"


IN_THE_ROOM = ("smell_of_gas", "low_smell", "gas_cleared", "co_room", "symptoms", "scene", "vapour")


@pytest.mark.parametrize(("name", "check", "outcome"), [one for one in UNSAFE if one[1] in IN_THE_ROOM])
def test_whoever_came_for_another_heater_stands_in_the_same_room(name, check, outcome, visits):
    theirs, ours = visits(name)
    theirs.add("appliance_described", {"appliance_id": "upstairs", "kind": name}, **by_bo())
    looked_over(ours).add("appliance_described", {"appliance_id": "cellar", "kind": name})
    found = found_by(theirs.answer(check, outcome, **by_bo()))
    assert [(one["check"], one["other_heater"]) for one in advice(ours, found)["elsewhere"]] == [(check, False)]
    assert not set(RUNNING) & set(offers(ours, found))


def test_of_another_kind_of_heater_what_this_list_has_no_look_for_is_only_said(job, pilot_job):
    found = found_by(pilot_job.answer("vent_and_hood", "parted", **by_bo()).answer("low_smell", "smell", **by_bo()))
    told = advice(looked_over(job), found)
    assert [(one["check"], one["look"], one["other_heater"]) for one in told["elsewhere"]] == [
        ("low_smell", "smell_of_gas", False),
        ("vent_and_hood", None, True),
    ]
    assert told["gate"]["next_check"] == "smell_of_gas"
    told = advice(job.answer("smell_of_gas", "none", at_wall=LATER), found)
    assert [one["check"] for one in told["elsewhere"]] == ["vent_and_hood"]


def test_why_no_running_heater_is_offered_says_what_was_found_and_the_way_out(two):
    theirs, ours = two
    found = found_by(co(theirs, 40, **by_bo()).answer("co_room", "raised", **by_bo()))
    offered = {one["state"]: one["why_words"] for one in looked_over(ours).ask("close_states", found=found)}
    assert offered["not_seen_today"] == (
        "Found on another visit: CO in the room: Raised, 40 ppm. "
        "Look at it again first, CO with its number, or leave it off."
    )


@pytest.mark.parametrize("line", [{}, {"check": "terminal", "at_ms": None, "words": "x", "stop_words": None}])
def test_a_line_that_does_not_say_when_stands_and_breaks_nothing(line, two):
    _, ours = two
    whole = {"event_id": "x", "check": "terminal", "words": "Terminal: Iced", "stop_words": None, **line}
    looked_over(ours, LATER)
    assert len(advice(ours, [whole])["elsewhere"]) == 1


@given(st.datetimes(datetime(1900, 1, 1), datetime(2300, 1, 1)), st.integers(-(10**9), 10**9))  # noqa: DTZ001
def test_a_moment_is_pythons_own(at, offset):
    at = at.replace(microsecond=at.microsecond // 1000 * 1000, tzinfo=UTC)
    mark = {"at_wall": at.isoformat(timespec="milliseconds").replace("+00:00", "Z"), "clock_offset": offset}
    since = at - datetime(1970, 1, 1, tzinfo=UTC)
    assert moment_ms(mark) == since.days * 86_400_000 + since.seconds * 1000 + since.microseconds // 1000 + offset


@pytest.mark.parametrize("text", ["", "yesterday", "2026-11-25T14:10:00", "2026-11-25T14:1x:00Z"])
def test_what_is_no_time_is_no_moment(text):
    assert moment_ms({"at_wall": text, "clock_offset": None}) is None
