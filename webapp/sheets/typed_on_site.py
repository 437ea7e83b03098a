"""Makers' figures that technicians typed on site: those that wait for the office's eye, and those that it has read."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING, Any, NamedTuple

from webapp.sheets import queries
from webapp.sheets.model_key import model_key
from webapp.sheets.photos_of_models import PaperPhoto, photos_of_jobs
from webapp.sheets.procedure_paper import COLUMN_OF_QUANTITY, PLACE_WORDS, PaperFigure, figure_names, figure_of
from webapp.sheets.site_facts import SiteFacts, facts_of
from webapp.sites.clock import parse_wall
from webapp.sites.procedure_words import number_words

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy.orm import Session

    from webapp.models import EventRow, ModelSheetVersion

ON_A_PAGE = 20
LOOKED_THROUGH = 400
"""How many entries one page looks through at most; the rest stand behind its link."""
CONFIRMED_SHOWN = 20

Place = tuple[datetime, str]


class SheetState(NamedTuple):
    """How a confirmed figure stands to its model's sheet."""

    sheet: ModelSheetVersion | None
    has_it: bool


@dataclass(frozen=True)
class TypedFigure:
    """One figure with all that is needed to judge it."""

    event_id: str
    job_id: str | None
    name: str
    value: float
    said: str
    """The number with its unit."""
    unit: str
    where: str
    typed_at: datetime | None
    who: str
    place: str
    maker_words: str
    model_words: str
    photos: list[PaperPhoto] = field(default_factory=list)
    confirmed: dict[str, Any] | None = None
    sheet: SheetState | None = None

    @property
    def has_photo(self) -> bool:
        """A photo to read it on has arrived."""
        return any(photo.stored for photo in self.photos)

    @property
    def model(self) -> str:
        """What is known of the heater's name."""
        return " ".join(filter(None, (self.maker_words, self.model_words)))

    @property
    def read_value(self) -> float | None:
        """What stands after the office read it."""
        if self.confirmed is None or self.confirmed["agrees"]:
            return self.value
        read: float | None = self.confirmed["read_value"]
        return read

    @property
    def read_said(self) -> str:
        """The same with its unit."""
        return "" if self.read_value is None else f"{number_words(self.read_value)} {self.unit}".strip()


@dataclass(frozen=True)
class TypedPage:
    """`earlier`: where the next page begins."""

    waiting: list[TypedFigure]
    confirmed: list[TypedFigure]
    earlier: Place | None


def read_place(typed: Mapping[str, str]) -> Place | None:
    """Where the list goes on; an address that somebody made up begins at the newest."""
    moment, event_id = parse_wall(typed.get("from")), typed.get("after", "")
    return (moment, event_id) if moment and event_id else None


def list_typed(session: Session, before: Place | None) -> TypedPage:
    """What waits, the newest first; on the first page also what was confirmed last."""
    rows = list(session.scalars(queries.select_facts("sheet_number", before).limit(LOOKED_THROUGH)))
    facts = facts_of(session, {row.site_id for row in rows})
    waiting = [row for row in rows if _waits(row, facts[row.site_id])]
    shown = waiting[:ON_A_PAGE]
    cut = len(waiting) > ON_A_PAGE
    last = shown[-1] if cut else rows[-1] if len(rows) == LOOKED_THROUGH else None
    return TypedPage(
        _figures(session, shown, facts),
        [] if before else _list_confirmed(session),
        (last.received_at, last.id) if last else None,
    )


def get_figure(session: Session, event_id: str) -> tuple[EventRow, SiteFacts] | None:
    """A figure that stands, with what is known of its address."""
    row = queries.get_event(session, event_id)
    if row is None or row.kind != "sheet_number":
        return None
    facts = facts_of(session, [row.site_id])[row.site_id]
    return (row, facts) if event_id in facts.typed else None


def sheet_of_heater(session: Session, heater: dict[str, Any] | None) -> ModelSheetVersion | None:
    """The sheet that the technician chose, or that of the same maker and model."""
    if heater is None:
        return None
    chosen = queries.get_sheet(session, heater["model_sheet_id"]) if heater.get("model_sheet_id") else None
    if chosen is not None and not chosen.withdrawn:
        return chosen
    maker, model = heater["maker_words"] or "", heater["model_words"] or ""
    return queries.get_sheet_of_model(session, model_key(maker, model)) if maker and model else None


def _waits(row: EventRow, facts: SiteFacts) -> bool:
    return row.id in facts.typed and row.id not in facts.confirmed


def _list_confirmed(session: Session) -> list[TypedFigure]:
    told = list(session.scalars(queries.select_facts("sheet_confirmed").limit(CONFIRMED_SHOWN)))
    facts = facts_of(session, {row.site_id for row in told})
    ids = dict.fromkeys(str(row.body.get("sheet_event_id")) for row in told)
    rows = [row for one in ids if (row := queries.get_event(session, one)) is not None]
    return _figures(
        session, [row for row in rows if row.site_id in facts and row.id in facts[row.site_id].typed], facts
    )


def _figures(session: Session, rows: list[EventRow], facts: dict[str, SiteFacts]) -> list[TypedFigure]:
    photos = photos_of_jobs(session, {row.job_id for row in rows if row.job_id})
    names = queries.names_of(session, [row.person_id for row in rows])
    places = queries.places_of(session, {row.site_id for row in rows})
    asked = figure_names(queries.current_procedures(session).values()) if rows else {}
    figures = []
    for row in rows:
        figure = figure_of(asked, facts[row.site_id].typed[row.id]["quantity"])
        figures.append(_figure(session, row, facts[row.site_id], photos, names, places, figure))
    return figures


def _figure(
    session: Session,
    row: EventRow,
    facts: SiteFacts,
    photos: dict[str, list[PaperPhoto]],
    names: dict[str, str],
    places: dict[str, str],
    named: PaperFigure,
) -> TypedFigure:
    body, heater = facts.typed[row.id], facts.heater_at(row.job_id) or {}
    figure = TypedFigure(
        event_id=row.id,
        job_id=row.job_id,
        name=named.words,
        value=body["value"],
        said=f"{number_words(body['value'])} {named.unit}".strip(),
        unit=named.unit,
        where=PLACE_WORDS[body["where"]],
        typed_at=parse_wall(row.at_wall),
        who=names.get(row.person_id, "somebody"),
        place=places.get(row.site_id, ""),
        maker_words=heater.get("maker_words") or "",
        model_words=heater.get("model_words") or "",
        photos=sorted(photos.get(row.job_id or "", []), key=lambda photo: photo.about != body["where"]),
        confirmed=facts.confirmed.get(row.id),
        sheet=None,
    )
    if figure.confirmed is None:
        return figure
    sheet = sheet_of_heater(session, heater or None)
    state = SheetState(sheet, sheet is not None and sheet_says(sheet, body["quantity"], figure.read_value))
    return TypedFigure(**{**figure.__dict__, "sheet": state})


def sheet_says(sheet: ModelSheetVersion, quantity: str, value: float | None) -> bool:
    """Whether the sheet has this very figure already."""
    if column := COLUMN_OF_QUANTITY.get(quantity):
        return any(row[column] == value for row in sheet.body["vent"])
    return any(limit["quantity"] == quantity and limit["value"] == value for limit in sheet.body["limits"])
