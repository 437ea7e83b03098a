"""The company's settings and its model sheets, at the office."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from webapp.errors import BadForm, Conflict
from webapp.extensions import get_session
from webapp.people.guard import current_person
from webapp.sheets import confirming, desk, service
from webapp.sheets.forms import ButtonForm, CompanyForm, ReadForm, own_name
from webapp.sheets.ladders import ladder_words, shown_ladders
from webapp.sheets.own_words import PLACES, SAY_IDS, OwnWords, keep_own_words, read_own_words
from webapp.sheets.paper_form import PaperForm
from webapp.sheets.procedure_paper import PLACE_WORDS, VENT_COLUMNS
from webapp.sheets.settings import read_settings
from webapp.sheets.time_zone import init_time_zone, zone_names
from webapp.sheets.typed_on_site import list_typed, read_place

sheets_bp = Blueprint("sheets", __name__, template_folder="templates")
init_time_zone(sheets_bp)
sheets_bp.context_processor(lambda: {"vent_columns": VENT_COLUMNS, "place_words": PLACE_WORDS})


@sheets_bp.get("/company")
def show_company() -> ResponseReturnValue:
    """What the company chose for all its phones."""
    own = {
        own_name(say, place): words
        for say, one in read_own_words(get_session()).items()
        for place, words in one._asdict().items()
    }
    return _company_page(CompanyForm(data=read_settings(get_session())._asdict() | own))


@sheets_bp.post("/company")
def save_company() -> ResponseReturnValue:
    """The owner chooses."""
    form = CompanyForm()
    if not form.validate_on_submit():
        return _company_page(form), 422
    service.change_settings(
        get_session(),
        current_person(),
        co_ladder=form.co_ladder.data or None,
        office_phone=form.office_phone.data,
        company_name=form.company_name.data,
        time_zone=form.time_zone.data,
    )
    own = {say: OwnWords(*[form[own_name(say, place)].data for place in PLACES]) for say in SAY_IDS}
    keep_own_words(get_session(), current_person(), own)
    flash("Saved. Each phone has it after its next sync.", "good")
    return redirect(url_for("sheets.show_company"), 303)


@sheets_bp.get("/models")
def list_sheets() -> ResponseReturnValue:
    """Every model that a sheet is kept for."""
    session = get_session()
    return render_template("sheets/list.html", rows=desk.list_sheets(session), papers=desk.list_papers(session))


@sheets_bp.get("/models/new/<procedure_name>")
def show_new(procedure_name: str) -> ResponseReturnValue:
    """An empty sheet."""
    return _sheet_form(PaperForm.opened(desk.paper_for_new(get_session(), procedure_name)))


@sheets_bp.post("/models/new/<procedure_name>")
def add_sheet(procedure_name: str) -> ResponseReturnValue:
    """Keep a sheet for a model that has none."""
    form = PaperForm.sent(desk.paper_for_new(get_session(), procedure_name), request.form)
    draft = _draft(form)
    if draft is None:
        return _sheet_form(form), 200 if form.wants_rows else 422
    try:
        added = service.add_sheet(get_session(), current_person(), draft)
    except (BadForm, Conflict) as refusal:
        return _refused(form, refusal)
    flash("Kept. Each phone has it after its next sync.", "good")
    return redirect(url_for("sheets.show_sheet", model_sheet_id=added.model_sheet_id), 303)


@sheets_bp.get("/models/<uuid:model_sheet_id>")
def show_sheet(model_sheet_id: object) -> ResponseReturnValue:
    """One sheet, with who typed what when."""
    page = desk.show_sheet(get_session(), str(model_sheet_id))
    return render_template("sheets/sheet.html", page=page, form=ButtonForm())


@sheets_bp.get("/models/<uuid:model_sheet_id>/change")
def show_change(model_sheet_id: object) -> ResponseReturnValue:
    """The sheet as it stands, to be changed."""
    version = desk.get_sheet(get_session(), str(model_sheet_id))
    paper = desk.get_paper(get_session(), version.procedure_name)
    form = PaperForm.opened(paper, version.maker_words, version.model_words, version.body)
    return _sheet_form(form, str(model_sheet_id), version.id)


@sheets_bp.post("/models/<uuid:model_sheet_id>/change")
def change_sheet(model_sheet_id: object) -> ResponseReturnValue:
    """A newer version; the older ones stay."""
    sheet_id, based_on = str(model_sheet_id), request.form.get("based_on", "")
    version = desk.get_sheet(get_session(), sheet_id)
    form = PaperForm.sent(desk.get_paper(get_session(), version.procedure_name), request.form)
    draft = _draft(form)
    if draft is None:
        return _sheet_form(form, sheet_id, based_on), 200 if form.wants_rows else 422
    try:
        service.change_sheet(get_session(), current_person(), sheet_id, draft, based_on=based_on)
    except (BadForm, Conflict) as refusal:
        return _refused(form, refusal, sheet_id, based_on)
    flash("Saved. Each phone has it after its next sync.", "good")
    return redirect(url_for("sheets.show_sheet", model_sheet_id=sheet_id), 303)


@sheets_bp.post("/models/<uuid:model_sheet_id>/withdraw")
def withdraw(model_sheet_id: object) -> ResponseReturnValue:
    """The phones are not to use it any more."""
    service.set_withdrawn(get_session(), current_person(), str(model_sheet_id), withdrawn=True)
    flash("Withdrawn: phones forget it at their next sync. What was read with it stays.", "caution")
    return redirect(url_for("sheets.show_sheet", model_sheet_id=model_sheet_id), 303)


@sheets_bp.post("/models/<uuid:model_sheet_id>/bring-back")
def bring_back(model_sheet_id: object) -> ResponseReturnValue:
    """The phones are to use it again."""
    try:
        service.set_withdrawn(get_session(), current_person(), str(model_sheet_id), withdrawn=False)
    except (BadForm, Conflict) as refusal:
        flash(refusal.message or "It cannot be brought back.", "bad")
    else:
        flash("It is back. Each phone has it after its next sync.", "good")
    return redirect(url_for("sheets.show_sheet", model_sheet_id=model_sheet_id), 303)


@sheets_bp.get("/models/typed-on-site")
def list_typed_on_site() -> ResponseReturnValue:
    """Makers' figures that wait for the office's eye, each beside its photo."""
    return _typed_page()


@sheets_bp.post("/models/typed-on-site/<uuid:event_id>/read")
def read_typed(event_id: object) -> ResponseReturnValue:
    """The office has read the photo."""
    form = ReadForm()
    if not form.validate_on_submit():
        return _typed_page(form, str(event_id)), 422
    read = {"agrees": form.agrees, "read_value": form.number, "words": form.words.data}
    try:
        confirming.confirm_figure(get_session(), current_person(), str(event_id), **read)
    except BadForm as refusal:
        form.words.errors = [refusal.message]
        return _typed_page(form, str(event_id)), 422
    flash("Noted. What the technician typed stays beside it.", "good")
    return redirect(url_for("sheets.list_typed_on_site", **_here()), 303)


@sheets_bp.post("/models/typed-on-site/<uuid:event_id>/take-over")
def take_over(event_id: object) -> ResponseReturnValue:
    """A figure that was read goes on its model's sheet."""
    try:
        sheet = confirming.take_over(get_session(), current_person(), str(event_id))
    except (BadForm, Conflict) as refusal:
        flash(refusal.message or "Not taken over.", "bad")
        return redirect(url_for("sheets.list_typed_on_site"), 303)
    flash("It is on the sheet. Each phone has it after its next sync.", "good")
    return redirect(url_for("sheets.show_sheet", model_sheet_id=sheet.model_sheet_id), 303)


def _here() -> dict[str, Any]:
    """Which page of the list one is on."""
    return {name: request.args[name] for name in ("from", "after") if name in request.args}


def _typed_page(form: ReadForm | None = None, event_id: str = "") -> str:
    page = list_typed(get_session(), read_place(request.args))
    told = {
        "here": _here(),
        "sent": form,
        "sent_id": event_id,
        "empty": ReadForm(formdata=None),
        "button": ButtonForm(formdata=None),
    }
    return render_template("sheets/typed.html", page=page, **told)


def _company_page(form: CompanyForm) -> str:
    chosen = read_settings(get_session()).co_ladder
    told = {"chosen": chosen, "acting_words": ladder_words(chosen), "ladders": shown_ladders(), "zones": zone_names()}
    return render_template("sheets/company.html", form=form, **told)


def _draft(form: PaperForm) -> service.SheetDraft | None:
    """What was typed, as a sheet; nothing while something is unclear or to be looked at, or more rows are wanted."""
    body = None if form.wants_rows else form.read()
    if body is None or form.asks_first:
        return None
    return service.SheetDraft(form.paper.name, form.value("maker_words"), form.value("model_words"), body)


def _sheet_form(form: PaperForm, model_sheet_id: str | None = None, based_on: str = "") -> str:
    photos = desk.photos_beside(get_session(), model_sheet_id) if model_sheet_id else []
    told = {"model_sheet_id": model_sheet_id, "based_on": based_on, "photos": photos, "button": ButtonForm()}
    return render_template("sheets/change.html", form=form, **told)


def _refused(
    form: PaperForm, refusal: BadForm | Conflict, model_sheet_id: str | None = None, based_on: str = ""
) -> ResponseReturnValue:
    """Nothing typed is lost; the page says why it is not saved."""
    form.say("model_words" if isinstance(refusal, service.KeptTwice) else "sheet", refusal.message or "Not saved.")
    return _sheet_form(form, model_sheet_id, based_on), 422
