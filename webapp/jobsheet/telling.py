"""A job's record as a sheet that a householder understands. What was left off stands first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.jobsheet.advice import ADVICE, DEFER
from webapp.jobsheet.moments import full_day, full_moment, moment_with_zone, noted
from webapp.jobsheet.sheet import Bullets, Facts, Section, Sheet, Table, Text
from webapp.jobsheet.telling_found import found_section, looked_at_section, numbers_section
from webapp.jobsheet.telling_work import (
    agreed_section,
    done_section,
    ended_section,
    last_run_section,
    left_off_section,
    pictures_section,
)
from webapp.jobsheet.word_list import words_used
from webapp.sites.clock import local
from webapp.sites.event_words import heater_words

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import datetime

    from webapp.jobsheet.queries import Licence
    from webapp.sheets.settings import Settings
    from webapp.sites.told_job import ToldJob
    from webapp.trade.record_types import Record

NUMBER_LENGTH = 8


def tell(told: ToldJob, licences: Mapping[str, Licence], settings: Settings) -> Sheet:
    """Make the sheet."""
    names = {person_id: licence.name for person_id, licence in licences.items()}
    begun = told.record["state"] not in ("booked", "cancelled")
    sections = [
        left_off_section(told, names),
        _visit_section(told, licences, settings.office_phone),
        ended_section(told),
        found_section(told) if begun else None,
        agreed_section(told),
        done_section(told) if begun else None,
        last_run_section(told),
        numbers_section(told),
        looked_at_section(told),
        pictures_section(told),
    ]
    shown = [section for section in sections if section]
    shown.append(Section("For your safety", [Bullets(ADVICE), Text(DEFER, "soft")]))
    if used := words_used("\n".join(_texts(shown))):
        shown.append(Section("Words on this sheet", [Facts(used, small=True)]))
    number = told.job.id.replace("-", "")[-NUMBER_LENGTH:]
    return Sheet(
        job_id=told.job.id,
        number=number,
        day=f"{local(_visit_moment(told)):%Y-%m-%d}",
        recorded_until=told.last_received_at,
        sections=shown,
        company=settings.company_name or "",
        footing=f"Sheet {number}. It tells what was recorded by {moment_with_zone(told.last_received_at)}.",
    )


def _visit_moment(told: ToldJob) -> datetime:
    """When somebody was there: arrived, else began, else when it was booked."""
    record = told.record
    for one in (record["arrived"], record["opened"]):
        moment = noted(one["by"]) if one else None
        if moment:
            return moment
    return told.moment


def _visit_section(told: ToldJob, licences: Mapping[str, Licence], office_phone: str | None) -> Section:
    site, booked = told.site, told.record["booked"]
    town = ", ".join(part for part in (site.town, site.postcode) if part)
    rows = [
        ("Address", ", ".join(part for part in (site.street, town) if part) or "not given"),
        ("Customer", site.customer_name),
        ("Date of the visit", _day_words(told)),
        ("Heater", _heater(told)),
        ("You called about", told.words.complaint(booked["complaint"]) if booked else ""),
        ("In your words", f"“{booked['complaint_words']}”" if booked and booked["complaint_words"] else ""),
        *[("Technician", words) for words in _technicians(told.record, licences)],
        ("To reach us", office_phone or ""),
    ]
    return Section("Your visit", [Facts([(name, value) for name, value in rows if value])])


def _day_words(told: ToldJob) -> str:
    record = told.record
    if not (record["arrived"] or record["opened"]):
        return f"booked on {full_day(told.moment)}"
    began = full_moment(_visit_moment(told))
    closed = noted(record["closed"]["by"]) if record["closed"] else None
    if closed is None:
        return began
    same_day = local(closed).date() == local(_visit_moment(told)).date()
    return f"{began} to {local(closed):%H:%M}" if same_day else f"{began}, finished {full_moment(closed)}"


def _heater(told: ToldJob) -> str:
    here = [heater_words(dict(one)) for one in told.record["appliances"]]
    if here:
        return "; ".join(dict.fromkeys(here))
    if len(told.heaters) == 1:
        return told.heaters[0]
    return "which heater is not recorded" if told.heaters else ""


def _technicians(record: Record, licences: Mapping[str, Licence]) -> Iterator[str]:
    """Everybody who noted something at the heater; before that, whoever was sent."""
    there = [record["opened"], *record["arrivals"], record["closed"], *record["repairs"], *record["proofs"]]
    people = list(dict.fromkeys(one["by"]["person_id"] for one in there if one))
    technicians = [person for person in people if person in licences and licences[person].technician]
    for person in technicians or [record["technician_id"] or ""]:
        if person in licences:
            yield licences[person].words


def _texts(sections: list[Section]) -> Iterator[str]:
    for section in sections:
        for block in section.blocks:
            if isinstance(block, Text):
                yield block.words
            elif isinstance(block, Bullets):
                yield from block.lines
            elif isinstance(block, Facts):
                yield from (f"{name}\n{value}" for name, value in block.rows)
            elif isinstance(block, Table):
                yield from ("\n".join(row) for row in (block.head, *block.rows))
