"""One job, and what the office does about it. Routes of the `office` blueprint."""

from __future__ import annotations

from flask import flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from webapp.extensions import get_session
from webapp.office import heaters_off, moving
from webapp.office.blueprint import office_bp
from webapp.office.call_desk import CallDesk
from webapp.office.job_desk import JobDesk
from webapp.people.guard import current_person

CALL_CORRECTED = {
    False: ("Corrected. The phone hears of it as soon as it has signal.", "good"),
    True: ("Noted beside what somebody else heard: what alarms stays until they correct it.", "caution"),
}
"""By whether somebody else's words on the call stand too."""
CANCELLED = {
    False: "Cancelled. Nobody was to go yet: no phone has it.",
    True: "Cancelled. The phone hears of it as soon as it has signal: ring, if somebody is on the way.",
}
"""By whether somebody was to go."""


@office_bp.get("/jobs/<uuid:job_id>")
def show_job(job_id: object) -> ResponseReturnValue:
    """One job, whole."""
    return _job_page(JobDesk.opened(get_session(), str(job_id)))


@office_bp.post("/jobs/<uuid:job_id>/move")
def move(job_id: object) -> ResponseReturnValue:
    """Another technician goes."""
    desk = JobDesk.opened(get_session(), str(job_id), "move")
    if not desk.move.validate_on_submit():
        return _job_page(desk), 422
    technician_id = desk.move.technician_id.data
    how = moving.Sending(technician_id, desk.move.why.data or "", if_nobody_goes=bool(desk.move.if_nobody_goes.data))
    moving.move_job(get_session(), current_person(), str(job_id), how)
    flash(desk.sent_words(technician_id), "good")
    to_list = request.form.get("back") == "list"
    return redirect(url_for("office.list_jobs") if to_list else url_for("office.show_job", job_id=job_id), 303)


@office_bp.post("/jobs/<uuid:job_id>/correct")
def correct(job_id: object) -> ResponseReturnValue:
    """Something was heard or typed wrong."""
    desk = JobDesk.opened(get_session(), str(job_id), "correct")
    if not desk.valid_correction():
        return _job_page(desk), 422
    why = str(desk.correct.why.data)
    moving.correct_job(get_session(), current_person(), str(job_id), changed=desk.changed(), why=why)
    flash(f"Corrected. {desk.hears}".strip(), "good")
    return redirect(url_for("office.show_job", job_id=job_id), 303)


@office_bp.get("/jobs/<uuid:job_id>/call")
def show_call(job_id: object) -> ResponseReturnValue:
    """What the caller said, to be corrected."""
    desk = CallDesk.opened(get_session(), current_person(), str(job_id))
    return render_template("office/call.html", desk=desk, form=desk.form)


@office_bp.post("/jobs/<uuid:job_id>/call")
def correct_call(job_id: object) -> ResponseReturnValue:
    """Something of the call was heard or typed wrong."""
    desk = CallDesk.opened(get_session(), current_person(), str(job_id), sent=True)
    body = desk.body()
    if body is None:
        return render_template("office/call.html", desk=desk, form=desk.form), 422
    beside = moving.correct_call(get_session(), current_person(), str(job_id), body, desk.why_words(body))
    flash(*CALL_CORRECTED[beside])
    return redirect(url_for("office.show_job", job_id=job_id), 303)


@office_bp.post("/jobs/<uuid:job_id>/heard")
def heard(job_id: object) -> ResponseReturnValue:
    """Somebody who is below was rung, and is out."""
    desk = JobDesk.opened(get_session(), str(job_id), "heard")
    if not desk.heard.validate_on_submit():
        return _job_page(desk), 422
    who_id, words = str(desk.heard.person_id.data), desk.heard.heard_words.data or ""
    moving.hear_from(get_session(), current_person(), str(job_id), who_id=who_id, words=words)
    flash("Noted: heard, and out.", "good")
    return redirect(url_for("office.show_job", job_id=job_id), 303)


@office_bp.post("/jobs/<uuid:job_id>/note")
def note(job_id: object) -> ResponseReturnValue:
    """Something was heard or done about it: they rang again, nobody answered."""
    desk = JobDesk.opened(get_session(), str(job_id), "note")
    if not desk.note.validate_on_submit():
        return _job_page(desk), 422
    moving.note(get_session(), current_person(), str(job_id), str(desk.note.note_words.data))
    flash(f"Noted: it is on the job's timeline. {desk.hears}".strip(), "good")
    return redirect(url_for("office.show_job", job_id=job_id), 303)


@office_bp.post("/jobs/<uuid:job_id>/cancel")
def cancel(job_id: object) -> ResponseReturnValue:
    """Nobody goes."""
    desk = JobDesk.opened(get_session(), str(job_id), "cancel")
    if not desk.cancel.validate_on_submit():
        return _job_page(desk), 422
    moving.cancel_job(get_session(), current_person(), str(job_id), why=desk.cancel.why.data)
    flash(CANCELLED[bool(desk.hears)], "caution")
    return redirect(url_for("office.show_job", job_id=job_id), 303)


@office_bp.post("/jobs/<uuid:job_id>/settle")
def settle(job_id: object) -> ResponseReturnValue:
    """It was closed for a part, or handed over, and nobody has to go again."""
    desk = JobDesk.opened(get_session(), str(job_id), "settle")
    if not desk.valid_settling():
        return _job_page(desk), 422
    moving.settle_job(get_session(), current_person(), str(job_id), why=desk.settle.why.data)
    flash("Settled: it is off the list of what is to do.", "good")
    return redirect(url_for("office.show_job", job_id=job_id), 303)


@office_bp.post("/jobs/<uuid:job_id>/put-back")
def put_back(job_id: object) -> ResponseReturnValue:
    """Somebody says that a heater that was left off is in service again."""
    desk = JobDesk.opened(get_session(), str(job_id), "put_back")
    if desk.standing and not desk.valid_put_back(get_session()):
        return _job_page(desk), 422
    ids, heard = desk.put_back.left_off_ids.data or [], desk.put_back.heard()
    if not heaters_off.put_back(get_session(), current_person(), str(job_id), left_off_ids=ids, heard=heard):
        flash(f"Noted as said only: the heater stays left off. {heard.why_not}", "caution")
        return redirect(url_for("office.show_job", job_id=job_id), 303)
    flash("Noted: back in service.", "good")
    return redirect(url_for("office.list_heaters_off"), 303)


@office_bp.post("/jobs/<uuid:job_id>/office-told")
def office_told(job_id: object) -> ResponseReturnValue:
    """Somebody rings about a heater that they left off."""
    desk = JobDesk.opened(get_session(), str(job_id), "told")
    if not desk.told.validate_on_submit():
        return _job_page(desk), 422
    who, words = str(desk.told.who_words.data), desk.told.told_words.data or ""
    heaters_off.hear_of_it(get_session(), current_person(), str(job_id), who=who, words=words, at=desk.told.told())
    flash("Noted: the office was told by voice.", "good")
    return redirect(url_for("office.show_job", job_id=job_id), 303)


def _job_page(desk: JobDesk) -> str:
    return render_template("office/job.html", desk=desk, page=desk.page)
