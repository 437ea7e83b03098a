"""Sheets of models and settings of the company: all SQL about them."""

from __future__ import annotations

from sqlalchemy import Select, select
from sqlalchemy.orm import Session

from webapp.models import CompanySetting, ModelSheetVersion, ProcedureVersion


def get_settings(session: Session) -> dict[str, CompanySetting]:
    """All settings that were ever chosen, by name."""
    return {row.name: row for row in session.scalars(select(CompanySetting))}


def current_procedure_names() -> Select[str]:
    """The kinds of heaters that there are checks for."""
    return select(ProcedureVersion.name).where(ProcedureVersion.is_current)


def select_sheets_in_use() -> Select[ModelSheetVersion]:
    """The current version of each sheet that is not withdrawn and whose procedure exists, by name."""
    return (
        select(ModelSheetVersion)
        .where(
            ModelSheetVersion.is_current,
            ~ModelSheetVersion.withdrawn,
            ModelSheetVersion.procedure_name.in_(current_procedure_names()),
        )
        .order_by(ModelSheetVersion.model_key, ModelSheetVersion.model_sheet_id)
    )
