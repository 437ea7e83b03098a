"""Sheets of models and settings of the company: all SQL about them."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import datetime
from typing import Any, cast

from sqlalchemy import CursorResult, Row, Select, and_, func, or_, select, update
from sqlalchemy.orm import Session

from webapp.models import (
    CompanySetting,
    EventRow,
    Job,
    ModelSheetVersion,
    Person,
    Photo,
    PhotoUse,
    ProcedureVersion,
    Site,
)
from webapp.models.event import MODEL_FACTS

FACT_KINDS = ("appliance_described", "sheet_number", "sheet_confirmed", "withdrawn")
"""What was typed of heaters and their makers' figures, and what takes such an entry back."""


def get_settings(session: Session) -> dict[str, CompanySetting]:
    """All settings that were ever chosen, by name."""
    return {row.name: row for row in session.scalars(select(CompanySetting))}


def current_procedure_names() -> Select[str]:
    """The kinds of heaters that there are checks for."""
    return select(ProcedureVersion.name).where(ProcedureVersion.is_current)


def current_procedures(session: Session) -> dict[str, Any]:
    """The current procedures by name."""
    found = session.scalars(select(ProcedureVersion).where(ProcedureVersion.is_current).order_by(ProcedureVersion.name))
    return {version.name: version.body for version in found}


def select_current_sheets() -> Select[ModelSheetVersion]:
    """The current version of each sheet, withdrawn or not, by name."""
    return (
        select(ModelSheetVersion)
        .where(ModelSheetVersion.is_current)
        .order_by(ModelSheetVersion.model_key, ModelSheetVersion.model_sheet_id)
    )


def select_sheets_in_use() -> Select[ModelSheetVersion]:
    """The current version of each sheet that is not withdrawn and whose procedure exists, by name."""
    return select_current_sheets().where(
        ~ModelSheetVersion.withdrawn, ModelSheetVersion.procedure_name.in_(current_procedure_names())
    )


def get_sheet(session: Session, model_sheet_id: str) -> ModelSheetVersion | None:
    """The current version of one sheet."""
    return session.scalar(select_current_sheets().where(ModelSheetVersion.model_sheet_id == model_sheet_id))


def get_sheet_of_model(session: Session, key: str, *, but: str | None = None) -> ModelSheetVersion | None:
    """A sheet of this model that is not withdrawn, other than `but`."""
    found = select_current_sheets().where(ModelSheetVersion.model_key == key, ~ModelSheetVersion.withdrawn)
    return session.scalar(found.where(ModelSheetVersion.model_sheet_id != (but or "")).limit(1))


def versions_of(session: Session, model_sheet_id: str) -> Sequence[ModelSheetVersion]:
    """Every version of one sheet, the newest first."""
    newest = (ModelSheetVersion.saved_at.desc(), ModelSheetVersion.id.desc())
    return session.scalars(
        select(ModelSheetVersion).where(ModelSheetVersion.model_sheet_id == model_sheet_id).order_by(*newest)
    ).all()


def count_sheets_in_use(session: Session) -> int:
    """How many come down to the phones, or would if their procedure were there."""
    in_use = (ModelSheetVersion.is_current, ~ModelSheetVersion.withdrawn)
    return session.scalar(select(func.count()).select_from(ModelSheetVersion).where(*in_use)) or 0


def put_aside(session: Session, version_id: str) -> bool:
    """Make place for a newer version; of two who do so at once, one is told no."""
    done = session.execute(
        update(ModelSheetVersion)
        .where(ModelSheetVersion.id == version_id, ModelSheetVersion.is_current)
        .values(is_current=False)
        .execution_options(synchronize_session=False)
    )
    return cast("CursorResult[Any]", done).rowcount == 1


def names_of(session: Session, person_ids: Sequence[str]) -> dict[str, str]:
    """Names of people by id."""
    found = session.execute(select(Person.id, Person.name).where(Person.id.in_(set(person_ids))))
    return {row.id: row.name for row in found}


def select_facts(kind: str, before: tuple[datetime, str] | None = None) -> Select[EventRow]:
    """What was typed of models, one kind of event, the newest first; from a place on."""
    newest = (EventRow.received_at.desc(), EventRow.id.desc())
    # The text of the index's own condition: SQLite finds the index by it.
    found = select(EventRow).where(MODEL_FACTS, EventRow.kind == kind).order_by(*newest)
    if before is None:
        return found
    at, event_id = before
    older = or_(EventRow.received_at < at, and_(EventRow.received_at == at, EventRow.id < event_id))
    return found.where(EventRow.received_at <= at, older)


def get_event(session: Session, event_id: str) -> EventRow | None:
    """One event."""
    return session.get(EventRow, event_id)


def facts_of_sites(session: Session, site_ids: Collection[str]) -> Sequence[EventRow]:
    """What was said of the heaters of these addresses, in no promised order."""
    return session.scalars(select(EventRow).where(EventRow.site_id.in_(site_ids), EventRow.kind.in_(FACT_KINDS))).all()


def places_of(session: Session, site_ids: Collection[str]) -> dict[str, str]:
    """Street and town by site."""
    found = session.execute(select(Site.id, Site.street, Site.town).where(Site.id.in_(site_ids)))
    return {row.id: ", ".join(filter(None, (row.street, row.town))) for row in found}


def select_photos(
    *, site_ids: Collection[str] = (), job_ids: Collection[str] = ()
) -> Select[EventRow, datetime | None]:
    """Photos of these addresses or jobs, the newest first, and since when their bytes are here."""
    return (
        select(EventRow, Photo.stored_at)
        .join(PhotoUse, PhotoUse.event_id == EventRow.id)
        .join(Photo, Photo.sha256 == PhotoUse.sha256)
        .where(or_(PhotoUse.site_id.in_(site_ids), PhotoUse.job_id.in_(job_ids)))
        .order_by(EventRow.received_at.desc(), EventRow.id.desc())
    )


def records_of(session: Session, job_ids: Collection[str]) -> dict[str, Any]:
    """The folded record of each job."""
    found: Sequence[Row[Any]] = session.execute(select(Job.id, Job.record).where(Job.id.in_(job_ids))).all()
    return {row.id: row.record for row in found}
