"""What one person found unsafe: nobody lifts it who had not heard of it, and not for them unread. On both engines."""

from __future__ import annotations

from tests.trade.making import answered, event
from webapp.trade.record import fold_job

ANN = {"person_id": "ann", "device_id": "d1"}
BO = {"person_id": "bo", "device_id": "d2"}


def wall(minute):
    return f"2026-11-26T06:{minute:02}:00.000Z"


class Visit:
    """One job that two people are at; each entry a minute after the one before it."""

    def __init__(self, both, procedure):
        self.both, self.procedure, self.events = both, procedure, []
        self.say("job_opened", {"procedure_hash": procedure["hash"]}).say("arrived", {})

    def say(self, kind, body, who=ANN, names=(), **envelope):
        number = len(self.events) + 1
        of = [f"e{one:03}" for one in names]
        self.events.append(event(number, kind, body, replaces=of, **{"at_wall": wall(number), **who, **envelope}))
        return self

    def answer(self, check, outcome, who=ANN, names=(), **envelope):
        return self.say(
            "check_answered", {"check": check, "outcome": outcome, "could_not": None}, who, names, **envelope
        )

    def co(self, ppm, who=ANN, names=()):
        return self.say("reading_taken", {"check": "co_room", "quantity": "co_room_ppm", "value": ppm}, who, names)

    def ask(self, name, **more):
        return self.both(name, {"procedure_hash": self.procedure["hash"], "events": self.events, **more})["ok"]

    def advice(self, who=None):
        return self.ask("step", person_id=None if who is None else who["person_id"])["advice"]

    def state(self, who=None):
        gate = self.advice(who)["gate"]
        return gate["state"], gate["next_check"]

    def offered(self):
        return {one["state"] for one in self.ask("close_states") if one["offered"]}

    def smelled(self):
        """Ann stops as the third entry; bo arrives as the fourth."""
        return self.answer("smell_of_gas", "smell").say("arrived", {}, BO)


def test_an_all_clear_of_one_who_had_not_heard_of_the_stop_lifts_it_for_nobody(both, shipped):
    visit = Visit(both, shipped).smelled().answer("smell_of_gas", "no_smell", BO)
    for who in (None, ANN, BO):
        assert visit.state(who) == ("stopped", "smell_of_gas")
    assert visit.offered() == {"left_off"}
    assert visit.ask("found_unsafe")[0]["check"] == "smell_of_gas"  # and not for another visit to the address


def test_one_who_had_heard_of_it_goes_on_and_whoever_stopped_does_not_unread(both, shipped):
    visit = Visit(both, shipped).smelled().answer("smell_of_gas", "no_smell", BO, names=(3,))
    assert visit.state(BO)[0] == "open"
    assert visit.advice(BO)["lifted"] == []
    assert visit.state(ANN) == ("stopped", "smell_of_gas")
    advice = visit.advice(ANN)
    assert advice["unsafe"] == ["Smell of gas: Smell of gas"]
    assert "No smell of gas" in advice["may_fire"]["missing"]
    (line,) = advice["lifted"]
    assert (line["found_words"], line["now_words"]) == ("Smell of gas", "No smell")
    assert (line["found_by"]["at_wall"], line["now_by"]["at_wall"]) == (wall(3), wall(5))
    assert line["now_by"]["person_id"] == "bo"


def test_a_stop_stays_for_whoever_raised_it_while_another_has_only_arrived(both, shipped):
    visit = Visit(both, shipped).smelled()
    assert visit.state(BO) == ("open", "smell_of_gas")  # asked anew, with the stop said above it
    assert visit.state(ANN) == ("stopped", "smell_of_gas")
    assert [one["now_by"] for one in visit.advice(ANN)["lifted"]] == [None]
    visit.say("arrived", {})
    assert visit.state(ANN) == ("open", "smell_of_gas")  # their own coming back asks them anew


def test_whoever_has_read_it_goes_on_and_stays_so(both, shipped):
    visit = Visit(both, shipped).smelled().answer("smell_of_gas", "no_smell", BO, names=(3,))
    visit.say("note", {"words": "Read: no smell"}, ANN, names=(5,))
    assert visit.state(ANN)[0] == "open"
    assert visit.advice(ANN)["lifted"] == []
    visit.answer("smell_of_gas", "no_smell", BO, names=(3,))
    assert visit.advice(ANN)["lifted"] == []
    visit.answer("smell_of_gas", "smell")
    assert visit.state(ANN) == visit.state(BO) == ("stopped", "smell_of_gas")


def test_an_own_new_look_needs_no_reading(both, shipped):
    visit = Visit(both, shipped).smelled().answer("smell_of_gas", "no_smell", BO, names=(3,))
    visit.answer("smell_of_gas", "no_smell")
    assert visit.advice(ANN)["lifted"] == []
    assert visit.state(ANN)[0] == "open"


def test_a_figure_that_stopped_one_and_was_left_unanswered_is_told_with_its_number(both, shipped):
    visit = Visit(both, shipped).co(90).say("arrived", {}, BO).co(2, BO)
    unheard = [*visit.events]
    visit.answer("co_room", "acceptable", BO, names=(3,))
    (line,) = visit.advice(ANN)["lifted"]
    assert (line["found_words"], line["now_words"]) == ("Leave now, 90 ppm", "Acceptable, 2 ppm")
    assert visit.state(ANN) == ("stopped", "co_room")
    visit.events = unheard
    visit.answer("co_room", "acceptable", BO)
    assert visit.state(BO) == ("stopped", "co_room")


def test_what_does_not_stop_is_told_after_a_repair_and_a_look_of_another(both, power_vent):
    visit = Visit(both, power_vent).answer("terminal", "nest_or_debris")
    visit.say("repair_made", {"action": "other"}, BO).answer("terminal", "clear", BO, names=(3,))
    (line,) = visit.advice(ANN)["lifted"]
    assert (line["stop_words"], line["repaired"]) == (None, True)
    assert visit.advice(ANN)["unsafe"] == ["Terminal and screen: Nest or debris"]
    assert visit.state(ANN) == ("open", "smell_of_gas")  # it stops nobody
    assert visit.advice(BO)["unsafe"] == []


def test_what_was_looked_at_before_it_was_found_unsafe_lifts_nothing_though_it_is_folded_after_it(both, power_vent):
    visit = Visit(both, power_vent).answer("terminal", "nest_or_debris", at_wall=wall(36))
    visit.say("repair_made", {"action": "other"}, BO, at_wall=wall(30)).answer(
        "terminal", "clear", BO, at_wall=wall(31)
    )
    assert visit.advice()["unsafe"] == ["Terminal and screen: Nest or debris"]
    assert visit.offered() == {"left_off"}
    visit.answer("terminal", "clear", BO, at_wall=wall(37))
    assert visit.advice()["unsafe"] == []


def test_a_stop_that_another_lifted_is_no_end_as_if_nothing_had_been_seen(both, shipped):
    visit = Visit(both, shipped).smelled()
    for need in shipped["may_fire"]:
        visit.answer(need["check"], need["outcomes"][0], BO, names=(3,))
    assert "not_seen_today" not in visit.offered()
    why = {one["state"]: one["why_words"] for one in visit.ask("close_states")}
    assert why["not_seen_today"].startswith("Smell of gas was found on this visit and nobody noted what put it right.")
    (line,) = visit.ask("history_entry")["looked_again"]
    assert (line["found_words"], line["now_words"]) == ("Smell of gas", "No smell")


def test_who_comes_after_anothers_smell_waits_for_gas_to_clear_though_a_pilot_burns(both, standing_pilot):
    visit = Visit(both, standing_pilot).smelled().answer("smell_of_gas", "no_smell", BO, names=(3,))
    visit.answer("as_found", "burning", BO)
    assert "Waited for gas to clear" in visit.advice(BO)["may_fire"]["missing"]
    visit.answer("gas_cleared", "waited", BO)
    assert "Waited for gas to clear" not in visit.advice(BO)["may_fire"]["missing"]
    visit.say("arrived", {}, ANN).answer("as_found", "burning")
    assert "Waited for gas to clear" not in visit.advice(BO)["may_fire"]["missing"]  # it was waited for once


def test_the_record_is_one_for_both_and_keeps_who_had_heard_of_what():
    events = [
        answered(1, "smell_of_gas", "smell"),
        answered(2, "smell_of_gas", "no_smell", **BO, replaces=["e001", "e777"]),
        answered(3, "smell_of_gas", "smell", replaces=["e001"]),  # one's own: it takes its place
    ]
    record = fold_job(events)
    assert record == fold_job(events[::-1] * 2)
    assert [(one["event_id"], one["by"]["event_id"]) for one in record["heard"]] == [("e001", "e002")]
