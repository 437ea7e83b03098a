"""What the office does with the company's settings and model sheets. Versions are added; none is changed."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any, NamedTuple

from sqlalchemy.orm import Session

from webapp.errors import BadForm, Conflict, NotFound
from webapp.models import CompanySetting, ModelSheetVersion, Person, canonical_json
from webapp.models.ids import new_id
from webapp.sheets import queries
from webapp.sheets.model_key import model_key
from webapp.sheets.schemas import LONGEST_BODY_BYTES, MOST_SHEETS, SheetBody
from webapp.sheets.settings import CO_LADDER, COMPANY_NAME, OFFICE_PHONE, TIME_ZONE

TOO_MANY = f"{MOST_SHEETS} sheets are in use, as many as every phone keeps. Withdraw one that nobody meets any more."
SAVED_MEANWHILE = "Somebody saved this sheet while it was open here. Nothing of yours is saved yet."


class SheetDraft(NamedTuple):
    """A sheet as it was typed, in good shape."""

    procedure_name: str
    maker_words: str
    model_words: str
    body: dict[str, Any]


class KeptTwice(Conflict):
    """Another sheet of the same maker and model is in use; `details` names it."""


def change_settings(
    session: Session,
    person: Person,
    *,
    co_ladder: str | None,
    office_phone: str,
    company_name: str | None = None,
    time_zone: str | None = None,
    now: datetime | None = None,
) -> None:
    """Keep what the owner chose; what stays as it was, or is None, keeps its date and its name."""
    stored = queries.get_settings(session)
    chosen = {CO_LADDER: co_ladder, OFFICE_PHONE: office_phone, COMPANY_NAME: company_name, TIME_ZONE: time_zone}
    for name, value in chosen.items():
        old = stored[name].value if name in stored else None
        if value is None or value == (old or ""):
            continue
        row = CompanySetting(name=name, value=value, person_id=person.id, changed_at=now or datetime.now(UTC))
        session.merge(row)
    session.commit()


def add_sheet(session: Session, person: Person, draft: SheetDraft, now: datetime | None = None) -> ModelSheetVersion:
    """A sheet for a model that has none yet."""
    _refuse_twin(session, draft, None)
    if queries.count_sheets_in_use(session) >= MOST_SHEETS:
        raise BadForm(TOO_MANY)
    added = _append(session, person, draft, new_id(), now)
    session.commit()
    return added


def change_sheet(
    session: Session,
    person: Person,
    model_sheet_id: str,
    draft: SheetDraft,
    *,
    based_on: str,
    now: datetime | None = None,
) -> ModelSheetVersion:
    """A newer version of the one that was open; raises Conflict where that is not the newest any more."""
    current = queries.get_sheet(session, model_sheet_id)
    if current is None:
        raise NotFound
    if not current.withdrawn:
        _refuse_twin(session, draft, model_sheet_id)
    if current.id != based_on or not queries.put_aside(session, based_on):
        raise Conflict(SAVED_MEANWHILE)
    changed = _append(session, person, draft, model_sheet_id, now, withdrawn=current.withdrawn)
    session.commit()
    return changed


def set_withdrawn(
    session: Session, person: Person, model_sheet_id: str, *, withdrawn: bool, now: datetime | None = None
) -> ModelSheetVersion:
    """Take a sheet from the phones, or bring it back; what was read with it stays as it was."""
    current = queries.get_sheet(session, model_sheet_id)
    if current is None:
        raise NotFound
    if current.withdrawn == withdrawn:
        return current
    draft = SheetDraft(current.procedure_name, current.maker_words, current.model_words, current.body)
    if not withdrawn:
        _refuse_twin(session, draft, model_sheet_id)
        if queries.count_sheets_in_use(session) >= MOST_SHEETS:
            raise BadForm(TOO_MANY)
    if not queries.put_aside(session, current.id):
        raise Conflict(SAVED_MEANWHILE)
    changed = _append(session, person, draft, model_sheet_id, now, withdrawn=withdrawn)
    session.commit()
    return changed


def _refuse_twin(session: Session, draft: SheetDraft, model_sheet_id: str | None) -> None:
    twin = queries.get_sheet_of_model(session, model_key(draft.maker_words, draft.model_words), but=model_sheet_id)
    if twin is not None:
        words = f"A sheet of {twin.maker_words} {twin.model_words} is kept already. Change that one."
        raise KeptTwice(words, model_sheet_id=twin.model_sheet_id)


def _append(
    session: Session,
    person: Person,
    draft: SheetDraft,
    model_sheet_id: str,
    now: datetime | None,
    *,
    withdrawn: bool = False,
) -> ModelSheetVersion:
    if SheetBody().validate(draft.body):
        raise BadForm("This sheet has a shape that the phones could not read.")
    if len(canonical_json(draft.body).encode()) > LONGEST_BODY_BYTES:
        raise BadForm(f"This sheet is longer than a phone keeps: {LONGEST_BODY_BYTES:,} bytes at most.")
    version = ModelSheetVersion(
        id=new_id(),
        model_sheet_id=model_sheet_id,
        procedure_name=draft.procedure_name,
        maker_words=draft.maker_words,
        model_words=draft.model_words,
        model_key=model_key(draft.maker_words, draft.model_words),
        body=draft.body,
        saved_at=now or datetime.now(UTC),
        person_id=person.id,
        is_current=True,
        withdrawn=withdrawn,
    )
    session.add(version)
    return version
