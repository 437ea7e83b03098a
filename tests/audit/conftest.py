"""An owner at the desk, and a way to tell a history by days."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy.orm import Session

from tests.factories import OfficeDeviceFactory, PersonFactory
from tests.office.conftest import text_of
from tests.sites.stories import PROCEDURE, Story
from webapp.models.ids import new_id
from webapp.sites.brought_in import NOBODYS_ID

LENGTH_DAYS = 300
"""Day 0 of every history is so many days ago."""


class History:
    """Visits told by the day on which they were called for and, a few minutes later, closed."""

    def __init__(self, story: Story) -> None:
        self.story = story
        self.began = datetime.now(UTC) - timedelta(days=LENGTH_DAYS)

    def on_day(self, day: float) -> None:
        self.story.at = self.began + timedelta(days=day)

    def call(
        self,
        site: str,
        day: float,
        *,
        complaint: str = "no_hot_water",
        technician: str | None = None,
        kind: str = "toy_vent",
    ) -> str:
        """Booked, and nobody there yet. `kind`: of heater, as the desk guessed it."""
        self.on_day(day)
        job = new_id()
        booked = {
            "complaint": complaint,
            "complaint_words": "cold since morning",
            "technician_id": technician or self.story.technician.id,
            "procedure_name": kind,
        }
        self.story.say(self.story.desk, "job_booked", booked, site_id=site, job_id=job)
        return job

    def visit(
        self,
        site: str,
        day: float,
        *more: tuple[str, dict[str, Any]],
        complaint: str = "no_hot_water",
        action: str | None = "seat_tube",
        cause: str = "tube_off",
        close: str = "proven",
        run: bool | None = True,
        heater: str | None = None,
        technician: str | None = None,
        kind: str = "toy_vent",
    ) -> str:
        """A whole visit on one day. `run`: whether the hot run held, None for none."""
        job = self.call(site, day, complaint=complaint, technician=technician, kind=kind)
        acts: list[tuple[str, dict[str, Any]]] = [("job_opened", {"procedure_hash": PROCEDURE["hash"]})]
        if heater:
            acts.append(("appliance_described", {"appliance_id": heater, "kind": "toy_vent"}))
        acts += [*more, ("cause_named", {"cause": cause})]
        if action:
            acts.append(("repair_made", {"action": action}))
        if run is not None:
            acts.append(("proof_run", {"passed": run, "minutes": 20, "restarts": 2, "looks_done": ["joints"]}))
        self.story.walk(site, job, *acts, ("job_closed", {"state": close}))
        return job

    def brought_in(self, site: str, day: float) -> str:
        """A visit from a file: no technician of ours."""
        return self.visit(site, day, technician=NOBODYS_ID, close="not_proven", run=None)


class OwnersDesk:
    """The owner's browser."""

    def __init__(self, client: FlaskClient) -> None:
        self.client = client
        person = PersonFactory(role="owner")
        with client.session_transaction() as cookie:
            cookie["person_id"], cookie["device_id"] = person.id, OfficeDeviceFactory(person_id=person.id).id

    def read(self, path: str = "/held", status: int = 200) -> str:
        answer = self.client.get(path)
        assert answer.status_code == status, answer.text
        return text_of(answer)


@pytest.fixture
def history(session: Session) -> History:
    return History(Story(session))


@pytest.fixture
def owner(client: FlaskClient, session: Session) -> OwnersDesk:
    return OwnersDesk(client)
