"""One job as the owner's figures see it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from webapp.audit.complaints import family_of

if TYPE_CHECKING:
    from collections.abc import Collection

DAY_S = 86_400
COUNTED_STATES = ("proven", "not_proven")


@dataclass(slots=True, eq=False)
class Case:
    """The columns of `JobOutcome` with the address's group, and below them what is worked out (returns.py)."""

    job_id: str
    group_id: str
    state: str
    brought_in: bool
    appliance_id: str | None
    kind: str
    procedure_hash: str | None
    complaint: str
    rung_at_s: int | None
    closed_at_s: int | None
    close_state: str | None
    cause: str | None
    repairs: str
    changed_unread: str
    hot_run: str

    back: Case | None = None
    """The first return visit: same heater, same complaint, and this was the job just before."""
    before: Case | None = None
    """The job that this one is a return visit to."""
    apart: Case | None = None
    """The first later visit that is not counted against it: another complaint, or another heater."""
    apart_why: str = ""
    next_call: Case | None = None
    """The next call from that address, whatever it was about; a visit that was agreed on is none."""

    why_out: str = ""
    """Why this job is not counted as a repair that could hold or not; empty where it is."""

    def __post_init__(self) -> None:
        """Decide it once: it is asked of every job for every figure."""
        self.why_out = self._why_out()

    @property
    def family(self) -> str | None:
        """What was complained of."""
        return family_of(self.complaint)

    @property
    def actions(self) -> list[str]:
        """What was done, by id."""
        return self.repairs.split("\n") if self.repairs else []

    @property
    def unread(self) -> list[tuple[str, str]]:
        """Parts changed without a convicting reading: (repair, why)."""
        if not self.changed_unread:
            return []
        return [(line.partition(" ")[0], line.partition(" ")[2]) for line in self.changed_unread.split("\n")]

    @property
    def days_to_return(self) -> float | None:
        """From its close to the call of its return visit."""
        return days_between(self, self.back) if self.back else None

    @property
    def planned(self) -> bool:
        """A second visit that was agreed on: the job before it waited for a part."""
        return self.before is not None and self.before.close_state == "waiting_part"

    def _why_out(self) -> str:
        if self.state != "closed":
            return "cancelled" if self.state == "cancelled" else "not_closed"
        if self.brought_in:
            return "brought_in"
        if self.close_state not in COUNTED_STATES:
            return str(self.close_state)
        if not self.repairs:
            return "no_repair"
        return "" if self.closed_at_s is not None else "no_time"


def days_between(closed: Case, later: Case) -> float:
    """From the close of one job to the call for another."""
    return ((later.rung_at_s or 0) - (closed.closed_at_s or 0)) / DAY_S


def same_heater(one: Case, other: Case, known: Collection[str]) -> bool:
    """By the heater's own id where both jobs noted one; else the only one of those `known` at that address.

    The kind of heater that a job was booked under is a guess at the desk: it tells two heaters apart only where no
    heater is known there, or more than one.
    """
    if one.appliance_id and other.appliance_id:
        return one.appliance_id == other.appliance_id
    return len(known) == 1 or one.kind == other.kind or not one.kind or not other.kind
