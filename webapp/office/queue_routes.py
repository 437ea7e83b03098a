"""What was kept apart of phones' queues, and reading one in. Routes of the `office` blueprint."""

from __future__ import annotations

from flask import current_app, flash, redirect, render_template, session, url_for
from flask.typing import ResponseReturnValue

from webapp.extensions import get_session
from webapp.office import kept_apart, queue_file
from webapp.office.blueprint import office_bp
from webapp.office.forms import LetInForm, QueueFileForm
from webapp.office.queue_file import ReadIn


@office_bp.get("/queues")
def show_queues() -> ResponseReturnValue:
    """What was kept apart, and where a phone's saved queue is read in."""
    return _queues()


@office_bp.post("/queues/file")
def read_queue_file() -> ResponseReturnValue:
    """Read a saved queue in and list what became of each entry."""
    form = QueueFileForm()
    if not form.validate_on_submit() or form.queue is None:
        return _queues(file_form=form), 422
    device_id, data = session.get("device_id", ""), current_app.config["UNDERCROFT_DATA"]
    result = queue_file.read_in(get_session(), device_id, data, form.queue, trusted=form.trusted.data)
    return _queues(result=result)


@office_bp.post("/queues/held")
def let_in_held() -> ResponseReturnValue:
    """Let in what was marked, on the office's word."""
    form = LetInForm()
    if not form.validate_on_submit():
        return _queues(held_form=form), 422
    count = kept_apart.let_in(get_session(), session.get("device_id", ""), form.held_ids.data)
    flash(f"{count} {'entry is' if count == 1 else 'entries are'} in the logbook now.", "good")
    return redirect(url_for("office.show_queues"), 303)


def _queues(
    *, file_form: QueueFileForm | None = None, held_form: LetInForm | None = None, result: ReadIn | None = None
) -> str:
    return render_template(
        "office/queues.html",
        file_form=file_form or QueueFileForm(formdata=None),
        held_form=held_form or LetInForm(formdata=None),
        kept=kept_apart.list_kept_apart(get_session()),
        result=result,
        statuses=queue_file.STATUS_WORDS,
    )
