"""The stream of visits, written: one at a time, in the order of booking, nothing kept."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta, tzinfo
from typing import Any

from webapp.invent.chance import stream
from webapp.invent.company import Procedure, make_company
from webapp.invent.drawings import SUBJECTS, draw
from webapp.invent.plan import Planner, Visit, length_in_days
from webapp.invent.stage import LastWords, Picture, Stage, Written, make_picture
from webapp.invent.visits import VisitWriter
from webapp.invent.walking import Order

PICTURES_EACH = 5


class Story:
    """A company, its first morning, and all that happened until `until`."""

    def __init__(
        self,
        *,
        seed: int,
        jobs: int,
        until: datetime,
        procedures: dict[str, Procedure],
        order: Order,
        first: LastWords,
        zone: tzinfo = UTC,
    ) -> None:
        self.jobs = jobs
        self.company = make_company(seed, jobs, procedures, until - timedelta(days=548))
        self._last_rang_day, last_booked_day = length_in_days(self.company, jobs)
        days = last_booked_day + 1 / 24
        begins = until.astimezone(zone).replace(tzinfo=None) - timedelta(days=days)
        midnight = begins.replace(hour=0, minute=0, second=0, microsecond=0, tzinfo=zone)
        self.founded = midnight.astimezone(UTC)
        stage = Stage(self.company, self.founded, until, order, first, _draw_pictures(seed, jobs), zone)
        self.until = stage.at(days)
        self.stage = replace(stage, until=self.until)

    def visits(self) -> Iterator[tuple[Visit, Written]]:
        """Each visit as planned, and as written."""
        for member in self.company.members:
            member.dev_seq = 0
        writer = VisitWriter(self.stage)
        for visit in Planner(self.company, self.jobs).visits():
            yield visit, writer.write(visit)

    def truth_of(self, visit: Visit, written: Written) -> dict[str, Any]:
        """What really was, for the side file: later statistics are tested against it and never read it."""
        technician = self.company.of_role("technician")[visit.technician]
        due_back = visit.closed_day + visit.return_day if visit.return_day is not None else None
        return {
            "number": visit.number,
            "job_id": written.job_id,
            "site_id": written.site_id,
            "procedure": visit.procedure,
            "why": visit.why,
            "before": visit.before,
            "episode": visit.episode,
            "technician_id": technician.person_id,
            "skill": technician.skill,
            "cause": visit.cause,
            "named": visit.named,
            "right": visit.right,
            "ending": visit.ending,
            "state": written.state,
            "rate_per_day": visit.rate_per_day,
            "return_day": visit.return_day,
            "watched_days": max(0.0, self._last_rang_day - visit.closed_day),
            "came_back": due_back is not None and due_back <= self._last_rang_day,
        }


def _draw_pictures(seed: int, jobs: int) -> list[Picture]:
    rng = stream(seed, "pictures")
    subjects = [subject for _ in range(min(PICTURES_EACH, max(1, jobs // 10))) for subject in SUBJECTS]
    return [make_picture(draw(rng, subject), subject) for subject in subjects]
