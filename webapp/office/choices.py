"""What can be chosen in the office's forms."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.office import queries
from webapp.people.licences import licence_warning

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.models import Person

Choices = list[tuple[str, str]]


def technician_choices(session: Session) -> Choices:
    """Who can be sent; nobody is preselected. Whose licence has run out or soon will: said beside the name."""
    technicians = queries.get_technicians(session)
    return [("", "Choose a technician"), *[(person.id, _with_licence(person)) for person in technicians]]


NOBODY_YET = "nobody"


def booking_choices(session: Session) -> Choices:
    """The same, and that it is decided later: the call is over before anybody knows who is free."""
    first, *technicians = technician_choices(session)
    return [first, (NOBODY_YET, "Nobody yet: decide later"), *technicians]


def _with_licence(person: Person) -> str:
    warning = licence_warning(person)
    return f"{person.name}: {warning}" if warning else person.name


def complaint_choices(session: Session) -> Choices | dict[str, Choices]:
    """Complaints of the current procedures, as `procedure/complaint`; by kind of heater where there are several."""
    by_kind = {
        str(version.body["kind_words"]): [
            (f"{version.name}/{complaint['id']}", str(complaint["words"])) for complaint in version.body["complaints"]
        ]
        for version in queries.get_current_procedures(session)
    }
    first: Choices = [("", "Choose what comes nearest")]
    if len(by_kind) == 1:
        return first + next(iter(by_kind.values()))
    return {"": first, **by_kind}
