"""Turns a planned visit into the events that people's devices would have written, in the batches that they would have
sent.
"""

from __future__ import annotations

import random
from array import array
from datetime import datetime

from webapp.invent.chance import pick, stream
from webapp.invent.onsite import OnSite
from webapp.invent.people import person_name
from webapp.invent.plan import Visit
from webapp.invent.scribe import Scribe, wall
from webapp.invent.stage import Stage, Written, job_id_of, site_id_of
from webapp.invent.town import address
from webapp.invent.words import COMPLAINTS, PART_CAME, PUT_BACK, RETURNED

DAYS_OFF = 6
DESK_AND_TECHNICIAN = 2
"""Where a second person looked too, it still stands off."""


class VisitWriter:
    """Writes one visit after another; remembers only when each address called first."""

    def __init__(self, stage: Stage) -> None:
        self._stage = stage
        self._first_day = array("d")  # of each address, when it called first: nine bytes an address are all we keep
        self._described = bytearray()  # of each address, whether its heater was noted

    def write(self, visit: Visit) -> Written:
        """The batches of one visit: the office's, the technician's, perhaps a second person's."""
        stage = self._stage
        rng = stream(stage.company.seed, "visit", visit.number)
        first_time = visit.address == len(self._first_day)  # addresses are numbered as they call
        if first_time:
            self._first_day.append(visit.booked_day)
            self._described.append(0)
        site_id = site_id_of(stage.company, visit.address, self._at(self._first_day[visit.address]))
        job_id = job_id_of(stage, visit)
        scribe = Scribe(rng, site_id, job_id)
        self._book(scribe, rng, visit, first_time=first_time)
        written = Written(site_id, job_id, "booked", scribe.batches)
        if self._at(visit.opened_day) < stage.until:
            OnSite(stage, scribe, rng, visit, written).run(describe=not self._described[visit.address])
            self._described[visit.address] = 1
        if visit.ending == "left_off" and written.state == "closed" and len(scribe.batches) == DESK_AND_TECHNICIAN:
            self._put_back(scribe, visit)
        return written

    def _put_back(self, scribe: Scribe, visit: Visit) -> None:
        """A few days later somebody rings the office: the heater that was left off is in service again."""
        at = self._at(visit.closed_day + DAYS_OFF)
        if at < self._stage.until:
            scribe.begin(self._stage.company.of_role("dispatcher")[0], at)
            left_off = [one["id"] for batch in scribe.batches for one in batch.events if one["kind"] == "left_off"]
            scribe.write(at, "put_back", {**PUT_BACK, "left_off_ids": left_off}, schema=3)

    def _at(self, day: float) -> datetime:
        return self._stage.at(day)

    def _book(self, scribe: Scribe, rng: random.Random, visit: Visit, *, first_time: bool) -> None:
        company = self._stage.company
        dispatcher = pick(rng, company.of_role("dispatcher"))
        technician = company.of_role("technician")[visit.technician]
        at = self._at(visit.booked_day)
        place = address(company.seed, visit.address)
        scribe.begin(dispatcher, at)
        if first_time:
            body = {"street": place.street, "town": place.town, "postcode": place.postcode, "phone": place.phone}
            body["customer_name"] = person_name(stream(company.seed, "customer", visit.address))
            if place.access_words:
                body["access_words"] = place.access_words
            scribe.write(at, "address_given", body, of_job=False)
        complaint = pick(
            stream(company.seed, "complaint", visit.episode), company.procedures[visit.procedure]["complaints"]
        )
        words = COMPLAINTS.get(complaint["id"], (complaint["words"],))
        booked = {
            "complaint": complaint["id"],
            "complaint_words": pick(rng, {"new": words, "return": RETURNED, "part_came": (PART_CAME,)}[visit.why]),
            "technician_id": technician.person_id,
            "procedure_name": visit.procedure,
            "phone": place.phone,
            "due_wall": wall(self._at(visit.opened_day).replace(minute=0, second=0, microsecond=0)),
        }
        scribe.write(at, "job_booked", booked)
