"""What a file would bring in, line by line, beside what the store has. Reads only; the service writes."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from webapp.importing import queries
from webapp.importing.address_drafts import Remark, Unit, address_units
from webapp.importing.derived_ids import NO_DAY, derived_id
from webapp.importing.lines import Line, read_line
from webapp.importing.visit_drafts import Vocabulary, job_id_of, name_visit, visit_drafts
from webapp.sites.address_key import phone_key, words_key

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence
    from datetime import date

    from sqlalchemy.orm import Session

    from webapp.importing.csv_reading import Fault, Sheet
    from webapp.importing.lines import Door
    from webapp.models import Site


@dataclass
class Plan:
    """What would come in."""

    units: list[Unit] = field(default_factory=list)
    """Only what is new, in the order in which it is stored."""
    faults: list[Fault] = field(default_factory=list)
    remarks: list[Remark] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)
    lines_read: int = 0
    addresses_known: int = 0
    visits_known: int = 0

    def count(self, what: str) -> int:
        """How many units of one sort are new."""
        return sum(unit.what == what for unit in self.units)


def plan_import(session: Session, sheet: Sheet, today: date) -> Plan:
    """Match the lines with the store. Nothing is written."""
    read = [read_line(row, today) for row in sheet.rows]
    lines = [one for one in read if isinstance(one, Line)]
    faults = [*sheet.faults, *(fault for one in read if not isinstance(one, Line) for fault in one)]
    plan = Plan(faults=sorted(faults, key=lambda fault: fault.line), unread=sheet.unread, lines_read=len(lines))
    by_door: dict[Door, list[Line]] = {}
    for line in lines:
        by_door.setdefault(line.door, []).append(line)
    known = _known_sites(session, list(by_door))
    vocabulary = _vocabulary(session)
    plan.addresses_known = len(known)
    for door, there in by_door.items():
        site_id = known[door].id if door in known else _site_id_of(door)
        plan.units += address_units(site_id, known.get(door), there)
        plan.units += _visit_units(site_id, there, vocabulary, plan)
    plan.remarks += _phones_elsewhere(session, [there[0] for door, there in by_door.items() if door not in known])
    _leave_out_what_is_stored(session, plan)
    plan.remarks = sorted(
        [*plan.remarks, *(remark for unit in plan.units for remark in unit.remarks)], key=lambda remark: remark.line
    )
    return plan


def _site_id_of(door: Door) -> str:
    return derived_id(NO_DAY, "site", *door)


def _known_sites(session: Session, doors: Sequence[Door]) -> dict[Door, Site]:
    """By street and town as in booking; else the address that an earlier import made for this door, renamed since."""
    sites = queries.get_sites(session, [door[0] for door in doors], [_site_id_of(door) for door in doors])
    by_id = {site.id: site for site in sites}
    by_door: dict[Door, Site] = {}
    for site in sites:
        by_door.setdefault((site.street_key, words_key(site.town)), site)
    found = {door: by_door.get(door) or by_id.get(_site_id_of(door)) for door in doors}
    return {door: site for door, site in found.items() if site is not None}


def _vocabulary(session: Session) -> Vocabulary:
    people = queries.get_people(session)
    names = {person.name: person.name for person in people} | {person.login: person.name for person in people}
    return Vocabulary([version.body for version in queries.get_current_procedures(session)], names)


def _visit_units(site_id: str, lines: Iterable[Line], vocabulary: Vocabulary, plan: Plan) -> list[Unit]:
    first: dict[str, int] = {}
    units = []
    for line in lines:
        if line.visit is None:
            continue
        job_id = job_id_of(line.door, line.visit)
        if job_id in first:
            plan.remarks.append(Remark(line.line, f"The same visit as line {first[job_id]}: it counts once."))
            continue
        first[job_id] = line.line
        named = name_visit(line.visit, vocabulary)
        technician = vocabulary.technician(line.visit.technician)
        remarks = [
            Remark(line.line, f"No procedure here knows this {name}: it is kept in its own words.")
            for name in named.in_own_words
        ]
        units.append(Unit("visit", visit_drafts(site_id, job_id, line.visit, named, technician), remarks))
    return units


def _phones_elsewhere(session: Session, new: Sequence[Line]) -> list[Remark]:
    """The booking asks a person about an address with a known phone; here it is told, and comes in as a new one."""
    keys = {phone_key(line.address.get("phone", "")): line for line in new}
    keys.pop("", None)
    return [
        Remark(
            keys[site.phone_key].line,
            f"Its phone is also that of {site.street}, {site.town}. It comes in as another address: is it one?",
        )
        for site in queries.get_sites_with_phones(session, list(keys))
    ]


def _leave_out_what_is_stored(session: Session, plan: Plan) -> None:
    stored = queries.get_stored_ids(session, [unit.drafts[0]["id"] for unit in plan.units])
    kept = []
    for unit in plan.units:
        if unit.drafts[0]["id"] not in stored:
            kept.append(unit)
        elif unit.what == "visit":
            plan.visits_known += 1
    plan.units = kept
