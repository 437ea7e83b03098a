"""What can be chosen in the office's forms."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.office import queries
from webapp.people.licences import licence_warning
from webapp.sites.procedure_words import OF_ANY_KIND

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


NOT_KNOWN = "not_known"
"""In the place of a kind of heater: the caller does not know it, and nobody has seen it."""
NOT_KNOWN_WORDS = "Kind of heater not known yet"


def complaint_choices(session: Session, *, or_not_known: bool = False) -> Choices | dict[str, Choices]:
    """Complaints of the current procedures, as `procedure/complaint`; by kind of heater where there are several.

    `or_not_known`: also for a heater whose kind nobody knows, what every kind may be called about.
    """
    complaints = {
        version: [(str(one["id"]), str(one["words"])) for one in version.body["complaints"]] + list(OF_ANY_KIND.items())
        for version in queries.get_current_procedures(session)
    }
    by_kind = {
        str(version.body["kind_words"]): [(f"{version.name}/{id_}", words) for id_, words in told]
        for version, told in complaints.items()
    }
    first: Choices = [("", "Choose what comes nearest")]
    if len(by_kind) == 1:
        return first + next(iter(by_kind.values()))
    ids = [{id_ for id_, _words in told} for told in complaints.values()]
    told_of_all = [one for one in next(iter(complaints.values()), []) if all(one[0] in of_kind for of_kind in ids)]
    not_known = {NOT_KNOWN_WORDS: [(f"{NOT_KNOWN}/{id_}", words) for id_, words in told_of_all]} if or_not_known else {}
    return {"": first, **not_known, **by_kind}
