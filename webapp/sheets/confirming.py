"""The office reads a photo: is the figure typed on site right? What it has read may go on the model's sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from webapp.errors import BadForm, Conflict, NotFound
from webapp.people.service import record_office_events
from webapp.sheets import queries, service
from webapp.sheets.paper_form import EMPTY_BODY
from webapp.sheets.photos_of_models import photos_of_jobs
from webapp.sheets.procedure_paper import COLUMN_OF_QUANTITY, VENT_COLUMNS
from webapp.sheets.typed_on_site import get_figure, sheet_of_heater

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.models import ModelSheetVersion, Person
    from webapp.people.service import Draft

NO_MODEL = (
    "Nobody has said which maker's and which model this heater is. It is said on the phone, or on a sheet by hand."
)
NO_PHOTO = "No photo of it is here yet: say what you read it from."


def confirm_figure(
    session: Session, person: Person, event_id: str, *, agrees: bool, read_value: float | None, words: str
) -> None:
    """One event of the office's own. What the technician typed stays as it was typed."""
    found = get_figure(session, event_id)
    if found is None:
        raise NotFound("This figure was taken back meanwhile.")
    row, facts = found
    if event_id in facts.confirmed:
        raise Conflict("Somebody has read this figure meanwhile.")
    photos = photos_of_jobs(session, [row.job_id] if row.job_id else [])
    if not words and not any(photo.stored for some in photos.values() for photo in some):
        raise BadForm(NO_PHOTO)
    body: dict[str, Any] = {"sheet_event_id": event_id, "quantity": row.body["quantity"], "agrees": agrees}
    if not agrees and read_value is not None:
        body["read_value"] = read_value
    if words:
        body["words"] = words
    draft: Draft = {"site_id": row.site_id, "job_id": row.job_id, "kind": "sheet_confirmed", "body": body}
    record_office_events(session, person, [draft])


def take_over(session: Session, person: Person, event_id: str) -> ModelSheetVersion:
    """Put a figure that the office has read on its model's sheet; begins the sheet where there is none."""
    found = get_figure(session, event_id)
    told = found[1].confirmed.get(event_id) if found else None
    if found is None or told is None:
        raise NotFound("The office has not read this figure yet.")
    row, facts = found
    value = row.body["value"] if told["agrees"] else told["read_value"]
    heater = facts.heater_at(row.job_id)
    if value is None or heater is None or not (heater["maker_words"] and heater["model_words"]):
        raise BadForm(NO_MODEL if value is not None else "The photo was not readable: there is no figure to keep.")
    sheet = sheet_of_heater(session, heater)
    body = _with_figure(sheet.body if sheet else EMPTY_BODY, row.body, float(value), _pipe(session, row.job_id))
    if sheet is None:
        draft = service.SheetDraft(heater["kind"], heater["maker_words"], heater["model_words"], body)
        return service.add_sheet(session, person, draft)
    draft = service.SheetDraft(sheet.procedure_name, sheet.maker_words, sheet.model_words, body)
    return service.change_sheet(session, person, sheet.model_sheet_id, draft, based_on=sheet.id)


def _with_figure(body: dict[str, Any], typed: dict[str, Any], value: float, pipe_in: float | None) -> dict[str, Any]:
    quantity = typed["quantity"]
    if column := COLUMN_OF_QUANTITY.get(quantity):
        others = [row for row in body["vent"] if row["nominal_in"] != pipe_in]
        row = next((row for row in body["vent"] if row["nominal_in"] == pipe_in), dict.fromkeys(VENT_COLUMNS))
        return body | {"vent": [*others, row | {"nominal_in": pipe_in, column: value}]}
    kept = [limit for limit in body["limits"] if limit["quantity"] != quantity]
    return body | {"limits": [*kept, {"quantity": quantity, "value": value, "where": typed["where"]}]}


def _pipe(session: Session, job_id: str | None) -> float | None:
    """The size of the pipe that this job's run was counted for: a vent table is read by it."""
    record = queries.records_of(session, [job_id] if job_id else []).get(job_id or "")
    surveys = record["vent_surveys"] if record else []
    return float(surveys[-1]["nominal_in"]) if surveys else None
