"""A hot run noted sooner than its minutes can have passed: said beside it, by the clock of the phone that noted it."""

from __future__ import annotations

import pytest

from webapp.trade.run_time import too_soon_words, why_it_counts


def at(minute, second=0):
    return f"2026-11-25T08:{minute:02}:{second:02}.000Z"


def repaired(job, wall, **envelope):
    job.events[0]["at_wall"] = at(0)
    return job.add("repair_made", {"action": "other"}, at_wall=wall, **envelope)


def soon(job, wall, minutes=10, **envelope):
    body = {"passed": True, "minutes": minutes, "restarts": 3, "looks_done": []}
    job.add("proof_run", body, at_wall=wall, **envelope)
    return job.both("fold_job", {"events": job.events})["ok"]["proofs"][-1]["too_soon"]


@pytest.mark.parametrize(
    ("noted", "minutes", "found"),
    [
        (at(30, 20), 10, 1 / 3),
        (at(32), 10, 2.0),
        (at(38, 59), 10, 8 + 59 / 60),
        (at(39), 10, None),  # who counts ten may note them after nine
        (at(45), 10, None),
        (at(45), 15, None),
        (at(43), 15, 13.0),
    ],
)
def test_ten_minutes_do_not_lie_between_a_repair_and_a_run_noted_seconds_after_it(noted, minutes, found, job):
    said = soon(repaired(job, at(30)), noted, minutes)
    if found is None:
        assert said is None
    else:
        assert said["since"] == "repair"
        assert said["minutes"] == pytest.approx(found)


def test_without_a_repair_it_goes_by_when_the_visit_began(job):
    job.events[0]["at_wall"] = at(0)
    assert soon(job.add("arrived", {}, at_wall=at(1)), at(4)) == {"since": "arrival", "minutes": 3.0}


def test_who_comes_again_begins_anew_and_the_last_unsafe_word_counts_not_one_of_after_the_run(job):
    job.events[0]["at_wall"] = at(0)
    smell = {"check": "smell_of_gas", "outcome": "smell", "could_not": None}
    job.add("arrived", {}, at_wall=at(1)).add("check_answered", smell, at_wall=at(2))
    job.add("arrived", {}, at_wall=at(30)).add("check_answered", smell, at_wall=at(31))
    assert soon(job, at(33)) == {"since": "unsafe", "minutes": 2.0}
    job.add("check_answered", smell, at_wall=at(50))
    record = job.both("fold_job", {"events": job.events})["ok"]
    assert record["proofs"][-1]["too_soon"] == {"since": "unsafe", "minutes": 2.0}
    job.events[-3]["body"] = smell | {"outcome": "no_smell"}
    record = job.both("fold_job", {"events": job.events})["ok"]
    assert record["proofs"][-1]["too_soon"] == {"since": "arrival", "minutes": 3.0}


def test_a_second_run_does_not_begin_before_the_first_has_ended(job):
    assert soon(repaired(job, at(10)), at(25)) is None
    assert soon(job, at(27)) == {"since": "run", "minutes": 2.0}


def test_of_several_the_nearest_is_named(job):
    job.add("arrived", {}, at_wall=at(2))
    assert soon(repaired(job, at(5)), at(6))["since"] == "repair"


@pytest.mark.parametrize(
    ("repair", "run", "found"),
    [
        ({}, {"clock_offset": 900_000}, 2.0),  # it learned of the server's clock meanwhile: its own did not change
        ({}, {"device_id": "d2"}, None),  # two phones, neither known
        ({"clock_offset": 0}, {"device_id": "d2"}, None),
        ({}, {"device_id": "d2", "clock_offset": 0}, None),
        ({"clock_offset": 0}, {"device_id": "d2", "clock_offset": 3 * 60_000}, 5.0),
        ({"clock_offset": 0}, {"device_id": "d2", "clock_offset": 30 * 60_000}, None),
        ({}, {"at_wall": "yesterday"}, None),
        ({}, {"at_wall": at(1)}, None),  # the clock went back: it tells nothing
    ],
)
def test_a_clock_that_is_not_known_or_went_back_says_nothing(repair, run, found, job):
    job.events[0]["at_wall"] = "2026-11-25T07:00:00.000Z"
    job.add("repair_made", {"action": "other"}, at_wall=at(30), **repair)
    said = soon(job, **{"wall": run.pop("at_wall", at(32)), **run})
    assert (said and said["minutes"]) == found


@pytest.mark.parametrize(
    ("kind", "body", "since"),
    [
        ("left_off", {"what_words": "heater", "why_words": "CO", "told_words": "owner"}, "left_off"),
        ("check_answered", {"check": "terminal", "outcome": "nest_or_debris", "could_not": None}, "unsafe"),
    ],
)
def test_nor_does_it_begin_before_it_was_left_off_or_something_unsafe_was_seen(kind, body, since, job):
    """Also where the same person has answered it again since."""
    job.events[0]["at_wall"] = at(0)
    job.add(kind, body, at_wall=at(30))
    clear = {"check": "terminal", "outcome": "clear", "could_not": None}
    job.add("check_answered", clear, at_wall=at(31), replaces=[job.events[-1]["id"]] if since == "unsafe" else [])
    assert soon(job, at(32)) == {"since": since, "minutes": 2.0}
    assert soon(job, at(45)) is None


def test_it_decides_nothing(job):
    job.sag()
    job.prove(quantity="suction_in_wc", after_value=0.5, at_wall=job.events[0]["at_wall"])
    assert job.ask("step")["record"]["proofs"][-1]["too_soon"] == {"since": "repair", "minutes": 0.0}
    assert "proven" in job.offered()


def test_but_closing_by_it_as_proven_asks_for_a_word(job):
    job.sag()
    asks = {one["state"]: one["asks_words"] for one in job.ask("close_states")}
    assert set(asks.values()) == {None}
    job.prove(quantity="suction_in_wc", after_value=0.5, at_wall=job.events[0]["at_wall"])
    asked = {one["state"]: one["asks_words"] for one in job.ask("close_states") if one["asks_words"]}
    minutes = int(job.ask("step")["record"]["proofs"][-1]["minutes"])
    assert asked == {
        "proven": f"{minutes} minutes cannot have passed since the repair was noted: say why it still counts."
    }


def test_the_word_is_the_first_of_the_close():
    assert why_it_counts("Why the run counts: both typed in the van") == "both typed in the van"
    assert [why_it_counts(words) for words in (None, "ok", "It held. Why the run counts: x")] == [None, None, None]


@pytest.mark.parametrize(
    ("found", "words"),
    [
        ({"since": "repair", "minutes": 2.7}, "Noted 2 min after the repair: 10 minutes cannot have passed."),
        ({"since": "run", "minutes": 1.0}, "Noted 1 min after the run before it: 10 minutes cannot have passed."),
        (
            {"since": "arrival", "minutes": 0.3},
            "Noted less than a minute after the visit began: 10 minutes cannot have passed.",
        ),
    ],
)
def test_it_is_said_in_minutes(found, words):
    assert too_soon_words(found, 10.0) == words
