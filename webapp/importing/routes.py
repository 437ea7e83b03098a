"""The page where a file is read, shown and brought in."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from flask import Blueprint, current_app, render_template

from webapp.errors import BadForm
from webapp.extensions import get_database, get_session
from webapp.importing.columns import COLUMNS
from webapp.importing.forms import ConfirmForm, ImportForm
from webapp.importing.kept_files import drop_kept, keep_file, read_kept
from webapp.importing.service import bring_in, preview
from webapp.people.guard import current_person

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from webapp.importing.planning import Plan

importing_bp = Blueprint("importing", __name__, template_folder="templates", url_prefix="/addresses/import")


@importing_bp.get("")
def show_import() -> ResponseReturnValue:
    """Which columns there are, and the field for the file."""
    return _page()


@importing_bp.post("")
def dry_run() -> ResponseReturnValue:
    """What the file would bring in. It is kept aside for the confirmation; nothing else is saved."""
    form = ImportForm()
    if not form.validate_on_submit():
        return _page(form=form), 422
    content = form.csv_file.data.read()
    try:
        plan = _preview(content)
    except BadForm as error:
        form.csv_file.errors = [error.message]
        return _page(form=form), 422
    name = keep_file(current_app.config["UNDERCROFT_DATA"], current_person().id, content, datetime.now(UTC))
    return _page(plan=plan, kept_name=name)


@importing_bp.post("/confirm")
def confirm() -> ResponseReturnValue:
    """Bring the kept file in, matched anew: meanwhile somebody may have booked a job at one of its addresses."""
    data, person, name = (
        current_app.config["UNDERCROFT_DATA"],
        current_person(),
        str(ConfirmForm().kept_name.data or ""),
    )
    try:
        plan = _preview(read_kept(data, person.id, name, datetime.now(UTC)))
    except BadForm as error:
        return _page(gone=error.message), 422
    done = bring_in(get_session(), person, plan.units)
    drop_kept(data, person.id, name)
    return _page(plan=plan, done=done)


def _preview(content: bytes) -> Plan:
    # Only reads: a large file must not keep the store's lock from phones while it is matched.
    with get_database().reading_session() as reading:
        return preview(reading, content)


def _page(*, form: ImportForm | None = None, kept_name: str = "", **shown: Any) -> str:
    return render_template(
        "importing/import.html",
        form=form or ImportForm(formdata=None),
        confirm_form=ConfirmForm(formdata=None, kept_name=kept_name),
        columns=COLUMNS.values(),
        **shown,
    )
