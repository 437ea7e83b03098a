"""The invented company: who works there, with which phone, and which heaters they meet.

Everything is worked out from the seed, so a company of any size needs no memory for its addresses.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any, Literal

from webapp.invent.chance import stream, uuid7, whole
from webapp.invent.hazards import Hazard, make_hazard, skill_factor
from webapp.invent.makers import Model, make_models
from webapp.invent.people import login_of, person_names

JOBS_PER_TECHNICIAN = 900  # in eighteen months: two visits a working day
Role = Literal["technician", "dispatcher", "owner"]
Procedure = dict[str, Any]  # compiled: docs/procedures.md


@dataclass(slots=True)
class Member:
    """One person and the device that they write with, with that device's own counter."""

    person_id: str
    device_id: str
    name: str
    login: str
    role: Role
    clock_error_ms: int = 0  # what their device's clock is ahead of the server's
    skill: float = 1.0
    dev_seq: int = 0

    def next_seq(self) -> int:
        """The next number of this device: the server sees holes."""
        self.dev_seq += 1
        return self.dev_seq


@dataclass(slots=True)
class Company:
    """People, heaters, procedures and the hidden truth about what fails again."""

    seed: int
    members: list[Member]
    procedures: dict[str, Procedure]
    models: dict[str, list[Model]]
    hazards: dict[str, Hazard] = field(default_factory=dict)

    def of_role(self, role: Role) -> list[Member]:
        """The members of one role, in a fixed order."""
        return [member for member in self.members if member.role == role]


def _make_members(seed: int, technicians: int, founded: datetime) -> list[Member]:
    roles: list[Role] = ["owner"]
    roles += ["dispatcher"] * (1 + technicians // 20)
    roles += ["technician"] * technicians
    rng = stream(seed, "members")
    taken: set[str] = set()
    members = []
    for number, (role, name) in enumerate(zip(roles, person_names(rng, len(roles)), strict=True)):
        moment = founded + timedelta(seconds=number)
        members.append(Member(uuid7(rng, moment), uuid7(rng, moment), name, login_of(name, taken), role))
    for number, member in enumerate(member for member in members if member.role == "technician"):
        member.skill = skill_factor(seed, number)
        # one phone in ten has a clock that is hours wrong, as phones in the field do
        member.clock_error_ms = whole(rng, -9, 9) * 3_600_000 if number % 10 == 4 else whole(rng, -4000, 4000)
    return members


def make_company(seed: int, jobs: int, procedures: dict[str, Procedure], founded: datetime) -> Company:
    """A company big enough for so many jobs in eighteen months."""
    technicians = max(2, -(-jobs // JOBS_PER_TECHNICIAN))
    hazards = {name: make_hazard(seed, [c["id"] for c in body["causes"]]) for name, body in procedures.items()}
    return Company(
        seed=seed,
        members=_make_members(seed, technicians, founded),
        procedures=procedures,
        models=make_models(seed, sorted(procedures)),
        hazards=hazards,
    )
