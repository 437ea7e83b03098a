"""A job in the making, whose proof and end the rules are asked about, on both engines."""

from __future__ import annotations

from datetime import datetime, timedelta

from tests.trade.making import answered, event
from webapp.trade.bodies import CLOSE_STATES


class Job:
    """A job whose events are added one by one."""

    def __init__(self, both, procedure):
        self.both, self.procedure = both, procedure
        self.events = [event(1, "job_opened", {"procedure_hash": procedure["hash"]})]

    def add(self, kind, body, **envelope):
        self.events.append(event(len(self.events) + 1, kind, body, **envelope))
        return self

    def answer(self, check, outcome, **envelope):
        self.events.append(answered(len(self.events) + 1, check, outcome, **envelope))
        return self

    def read(self, quantity, value, state=None):
        return self.add("reading_taken", {"check": None, "quantity": quantity, "value": value, "state": state})

    def figure(self, quantity, value):
        return self.add("sheet_number", {"quantity": quantity, "value": value, "where": "part_label"})

    def looked_at(self):
        """All that must stand before a burner runs and that nobody has answered yet, answered as it should be."""
        said = {one["body"].get("check") for one in self.events}
        for need in self.procedure["may_fire"]:
            if need["check"] not in said and not need.get("if_answered"):
                self.answer(need["check"], need["outcomes"][0])
        return self

    def repaired(self, cause, action="other"):
        return self.looked_at().add("cause_named", {"cause": cause}).add("repair_made", {"action": action})

    def ask(self, name, **more):
        return self.both(name, {"procedure_hash": self.procedure["hash"], "events": self.events, **more})["ok"]

    def due(self, **more):
        return self.ask("proof_due", **more)

    def whole_run(self):
        """A hot run that has all that its proof asks for."""
        due = self.due()
        asked = {"minutes": due["minutes"], "restarts": due["restarts"], "looks_done": due["looks"]}
        return {**asked, "fans_on": True, "co_room_ppm": 0}

    def holds(self, **run):
        return self.ask("proof_holds", run={**self.whole_run(), **run})

    def prove(self, *, passed=True, at_wall=None, **run):
        body = {"passed": passed, **self.whole_run(), **run}
        return self.add("proof_run", body, schema=2, at_wall=at_wall or self._run_is_over())

    def _run_is_over(self):
        """A run takes its minutes; what else is noted takes none."""
        began = datetime.fromisoformat(self.events[0]["at_wall"])
        return (began + timedelta(minutes=30 * len(self.events))).isoformat().replace("+00:00", "Z")

    def offered(self):
        states = self.ask("close_states")
        assert [one["state"] for one in states] == list(CLOSE_STATES)
        assert all(one["why_words"] for one in states)
        return {one["state"] for one in states if one["offered"]}

    def why(self, state):
        return next(one["why_words"] for one in self.ask("close_states") if one["state"] == state)

    def sag(self):
        """Water in the sag of a vent, and the repair."""
        return self.read("suction_in_wc", 0.30, "cold").figure("make_point_in_wc", 0.36).repaired("water_in_sag")
