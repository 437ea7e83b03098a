"""What the pages of the model sheets show."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime
from typing import TYPE_CHECKING, Any

from webapp.errors import NotFound
from webapp.sheets import queries, sheet_lines
from webapp.sheets.photos_of_models import PaperPhoto, photos_of_model
from webapp.sheets.procedure_paper import ProcedurePaper, paper_of

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.models import ModelSheetVersion


@dataclass(frozen=True)
class SheetRow:
    """One sheet in the list."""

    version: ModelSheetVersion
    kind: str
    """The procedure's title; empty where this release has no such procedure."""
    typed_by: str
    twice: bool


@dataclass(frozen=True)
class PastVersion:
    """Who typed what when."""

    when: datetime
    who: str
    changes: list[str]


@dataclass(frozen=True)
class SheetPage:
    """One sheet with its history."""

    version: ModelSheetVersion
    paper: ProcedurePaper
    limits: list[sheet_lines.LimitLine]
    vent: list[list[str]]
    vent_doubts: list[str]
    codes: list[sheet_lines.CodeLine]
    history: list[PastVersion]
    is_served: bool
    """Whether there are checks for this kind of heater, so that phones are given the sheet."""
    twin: ModelSheetVersion | None


def list_sheets(session: Session) -> list[SheetRow]:
    """Every sheet, the withdrawn ones last."""
    versions = list(session.scalars(queries.select_current_sheets()))
    titles = {name: body["title"] for name, body in queries.current_procedures(session).items()}
    names = queries.names_of(session, [version.person_id for version in versions])
    in_use = [version.model_key for version in versions if not version.withdrawn]
    rows = [
        SheetRow(
            version,
            titles.get(version.procedure_name, ""),
            names.get(version.person_id, "somebody"),
            twice=not version.withdrawn and in_use.count(version.model_key) > 1,
        )
        for version in versions
    ]
    return sorted(rows, key=lambda row: row.version.withdrawn)


def list_papers(session: Session) -> list[ProcedurePaper]:
    """The kinds of heaters that a sheet can be for."""
    return [paper_of(body) for body in queries.current_procedures(session).values()]


def get_paper(session: Session, procedure_name: str) -> ProcedurePaper:
    """What the checks of one kind of heater ask of the paper; nothing where this release has none."""
    body = queries.current_procedures(session).get(procedure_name)
    return paper_of(body) if body else ProcedurePaper(procedure_name, "", [], has_vent=False, chain=[])


def paper_for_new(session: Session, procedure_name: str) -> ProcedurePaper:
    """The same, for a sheet that is to be begun: only kinds of heaters that there are checks for."""
    paper = get_paper(session, procedure_name)
    if not paper.title:
        raise NotFound
    return paper


def get_sheet(session: Session, model_sheet_id: str) -> ModelSheetVersion:
    """The current version."""
    version = queries.get_sheet(session, model_sheet_id)
    if version is None:
        raise NotFound
    return version


def photos_beside(session: Session, model_sheet_id: str) -> list[PaperPhoto]:
    """Plates, sheets and labels of this model, to type from."""
    return photos_of_model(session, get_sheet(session, model_sheet_id))


def show_sheet(session: Session, model_sheet_id: str) -> SheetPage:
    """One sheet, whole."""
    version = get_sheet(session, model_sheet_id)
    paper, body = get_paper(session, version.procedure_name), version.body
    return SheetPage(
        version,
        paper,
        sheet_lines.limit_lines(paper, body),
        sheet_lines.vent_lines(body),
        sheet_lines.vent_doubts(body),
        sheet_lines.code_lines(paper, body),
        _history(session, paper, model_sheet_id),
        is_served=bool(paper.title),
        twin=None if version.withdrawn else queries.get_sheet_of_model(session, version.model_key, but=model_sheet_id),
    )


def _history(session: Session, paper: ProcedurePaper, model_sheet_id: str) -> list[PastVersion]:
    versions = queries.versions_of(session, model_sheet_id)
    names = queries.names_of(session, [version.person_id for version in versions])
    olds: list[Any] = [*versions[1:], None]
    return [
        PastVersion(
            new.saved_at,
            names.get(new.person_id, "somebody"),
            ["first typed"] if old is None else sheet_lines.what_changed(paper, old, new) or ["saved as it was"],
        )
        for new, old in zip(versions, olds, strict=True)
    ]
