"""A job's record as a sheet that a householder understands. What was left off stands first."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.jobsheet.advice import ADVICE, DEFER
from webapp.jobsheet.moments import full_day, full_moment, moment_with_zone, noted, visit_began
from webapp.jobsheet.plain_checks import check_title
from webapp.jobsheet.replaced import heater_rows
from webapp.jobsheet.sheet import Bullets, Facts, Glossary, Section, Sheet, Text, texts_of
from webapp.jobsheet.technicians import technician_rows
from webapp.jobsheet.telling_again import again_section, not_shown_right
from webapp.jobsheet.telling_end import end_lines
from webapp.jobsheet.telling_found import found_section
from webapp.jobsheet.telling_looked import looked_at_section
from webapp.jobsheet.telling_numbers import numbers_section
from webapp.jobsheet.telling_off import (
    left_off_section,
    off_here_section,
    put_back_section,
    since_section,
    unsafe_section,
)
from webapp.jobsheet.telling_photos import pictures_section
from webapp.jobsheet.telling_run import last_run_section
from webapp.jobsheet.telling_work import agreed_section, done_section
from webapp.jobsheet.word_list import words_used
from webapp.sites.brought_in import is_brought_in
from webapp.sites.call_seen import calls_alarm
from webapp.sites.clock import local, parse_wall
from webapp.sites.logbook import complaint_of
from webapp.sites.not_looked import not_looked_words
from webapp.sites.procedure_words import as_title

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import datetime

    from webapp.people.licences import PersonThen
    from webapp.sheets.settings import Settings
    from webapp.sites.told_job import ToldJob

NUMBER_LENGTH = 8


def tell(told: ToldJob, people: Mapping[str, PersonThen], settings: Settings) -> Sheet:
    """Make the sheet."""
    names = {person_id: person.name for person_id, person in people.items()}
    begun = told.record["state"] not in ("booked", "cancelled") or bool(told.record["opened"] or told.record["arrived"])
    off = left_off_section(told, names)
    sections = [
        off if told.standing_off else None,
        off_here_section(told, names),
        since_section(told),
        unsafe_section(told),
        again_section(told),
        None if told.standing_off else off,
        put_back_section(told, names),
        _visit_section(told, people, settings.office_phone),
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
    if used := words_used("\n".join(texts_of(shown))):
        shown.append(Section("Words on this sheet", [Glossary(used)]))
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
    """When somebody was there, else when it was booked."""
    return visit_began(told.record) or told.moment


def _visit_section(told: ToldJob, people: Mapping[str, PersonThen], office_phone: str | None) -> Section:
    site, record = told.site, told.record
    town = ", ".join(part for part in (site.town, site.postcode) if part)
    rows = [
        ("Address", ", ".join(part for part in (site.street, town) if part) or "not given"),
        ("Customer", site.customer_name),
        *_days(told),
        *heater_rows(told),
        ("Called about", _called_about(told)),
        ("Alarm by the caller", calls_alarm(record["calls"])),
        *technician_rows(record, people),
        ("To reach us", office_phone or ""),
    ]
    facts = Facts([(name, value) for name, value in rows if value])
    missing = not_looked_words(told.words.procedure, record, lambda check: check_title(check, told.words), "the heater")
    said = [Text(missing, "strong")] if missing else []
    is_last_word = not told.counts_first and not not_shown_right(told)
    ended = end_lines(record, told.words.procedure, is_newest=is_last_word)
    return Section("Your visit", [*ended, *said, facts])


def _called_about(told: ToldJob) -> str:
    """`No hot water, in the caller's words: “cold since morning”`."""
    booked = told.record["booked"]
    own = f"in the caller's words: “{booked['complaint_words']}”" if booked and booked["complaint_words"] else ""
    return as_title(", ".join(part for part in (complaint_of(told.record, told.words), own) if part))


def _days(told: ToldJob) -> Iterator[tuple[str, str]]:
    """When somebody was there; before that, when it was booked and for when."""
    record = told.record
    if record["arrived"] or record["opened"]:
        yield "Date of the visit", _from_to(told)
        return
    yield "Day, by our old files" if is_brought_in(record) else "Booked on", full_day(told.moment)
    due = parse_wall(record["due_wall"])
    if due and record["state"] == "booked":
        yield "Appointment", full_moment(due)


def _from_to(told: ToldJob) -> str:
    began = full_moment(_visit_moment(told))
    closed = noted(told.record["closed"]["by"]) if told.record["closed"] else None
    if closed is None:
        return began
    if full_moment(closed) == began:
        return began
    same_day = local(closed).date() == local(_visit_moment(told)).date()
    return f"{began} to {local(closed):%H:%M}" if same_day else f"{began}, finished {full_moment(closed)}"
