"""What comes first in a company that has no job yet: who goes, their phones, the rule set for CO, the addresses."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from webapp.office import queries
from webapp.sheets.settings import read_settings

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


@dataclass(frozen=True)
class Step:
    """One thing to do, the page where it is done, and whether it is."""

    words: str
    why: str
    endpoint: str
    done: bool


def read_first_steps(session: Session) -> list[Step]:
    """In the order in which they are wanted; none once there is a job."""
    if queries.has_jobs(session):
        return []
    return [
        Step(
            "Add who goes",
            "A call is booked for a technician, or for nobody yet.",
            "staff.show_new",
            done=bool(queries.get_technicians(session)),
        ),
        Step(
            "Make a code for each phone",
            "The technician types it once; from then on the phone gets its jobs.",
            "people.list_people",
            done=queries.has_phones(session),
        ),
        Step(
            "Choose the rule set for CO, and the number to ring",
            "Until then phones say that no rule set is chosen.",
            "sheets.show_company",
            done=bool(read_settings(session).co_ladder),
        ),
        Step(
            "Bring in the addresses that you know",
            "From a CSV file, with what was done there; it can be done later too.",
            "importing.show_import",
            done=queries.has_addresses(session),
        ),
        Step("Book the first call", "Everything else follows from it.", "office.show_booking", done=False),
    ]
