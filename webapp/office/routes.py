"""The dispatcher's pages."""

from __future__ import annotations

from flask import Blueprint, current_app, flash, redirect, render_template, request, send_file, session, url_for
from flask.typing import ResponseReturnValue

from webapp.extensions import get_session
from webapp.office import doubt_desk, heaters_off, job_list, kept_apart, moving, queue_file
from webapp.office.booking import JUST_BOOKED, Outcome, book_job
from webapp.office.booking_desk import ADDRESS_TOLD_BY, BookingDesk, matches_of
from webapp.office.call_desk import CallDesk
from webapp.office.forms import LetInForm, QueueFileForm
from webapp.office.job_desk import JobDesk
from webapp.office.job_list import EMPTY_WORDS, FILTERS, ORDER_WORDS
from webapp.office.mentions import mentions_of
from webapp.office.overdue import read_overdue
from webapp.office.paging import read_place
from webapp.office.queue_file import ReadIn
from webapp.office.showing import init_showing
from webapp.people.guard import current_person
from webapp.sites import service as sites
from webapp.sites.one_door import pair_of
from webapp.sync.photos import path_of_stored

office_bp = Blueprint("office", __name__, template_folder="templates")
init_showing(office_bp)

BOOKED_WORDS = {
    Outcome.BOOKED: ("Booked. It goes to the phone as soon as that has signal.", "good"),
    Outcome.BOOKED_FOR_NOBODY: ("Booked. Nobody is going yet: send somebody here, or from the list.", "caution"),
    Outcome.SENT_AGAIN: ("It was booked already, once, with the same words.", "good"),
    Outcome.STANDS_AS_FIRST_SENT: (
        "This form was sent before. The job stands as it was first sent; what you changed since was not kept.",
        "caution",
    ),
}
CALL_CORRECTED = {
    False: ("Corrected. The phone hears of it as soon as it has signal.", "good"),
    True: ("Noted beside what somebody else heard: what alarms stays until they correct it.", "caution"),
}
"""By whether somebody else's words on the call stand too."""


@office_bp.get("/")
def home() -> ResponseReturnValue:
    """The office starts at its jobs."""
    return redirect(url_for("office.list_jobs"))


@office_bp.get("/jobs")
def list_jobs() -> ResponseReturnValue:
    """Jobs by state; what wants the office most on top."""
    chosen = job_list.filter_named(request.args.get("show"))
    page = job_list.list_jobs(get_session(), chosen, request.args)
    return render_template("office/jobs.html", page=page, filters=FILTERS, order=ORDER_WORDS, empty=EMPTY_WORDS)


@office_bp.get("/jobs/overdue")
def show_overdue() -> ResponseReturnValue:
    """Who is overdue below now: a piece of every page, asked for again and again."""
    return render_template("office/_overdue.html", overdue=read_overdue(get_session()))


@office_bp.get("/jobs/book")
def show_booking() -> ResponseReturnValue:
    """The call's page, empty or with a known address filled in."""
    desk = BookingDesk.opened(get_session(), request.args.get("site"))
    return render_template("office/book.html", desk=desk, form=desk.form)


@office_bp.post("/jobs/book")
def book() -> ResponseReturnValue:
    """Book, or only look for the address: nothing typed is lost either way."""
    desk = BookingDesk.sent(get_session())
    booking = desk.booking()
    if booking is None:
        return render_template("office/book.html", desk=desk, form=desk.form), 422 if desk.form.errors else 200
    outcome = book_job(get_session(), current_person(), booking)
    flash(*BOOKED_WORDS[outcome])
    if outcome in JUST_BOOKED and booking.is_doubtful:
        flash("It stands as a new address for now. Something like it is known: decide under “A known address?”.", "")
    return redirect(url_for("office.show_job", job_id=booking.job_id), 303)


@office_bp.get("/jobs/book/matches")
def show_matches() -> ResponseReturnValue:
    """Known addresses like the one being typed, with what already happened there: a piece of the call's page."""
    typed = {name: request.args.get(name, "") for name in ADDRESS_TOLD_BY}
    chosen = request.args.get("site_id", "")
    matches = matches_of(get_session(), typed, chosen)
    return render_template("office/_matches.html", matches=matches, chosen=chosen, typed=typed)


@office_bp.post("/jobs/book/mentions")
def show_mentions() -> ResponseReturnValue:
    """What the words typed so far mention and nobody has asked: a piece of the call's page."""
    return render_template("office/_mentions.html", mentions=mentions_of(request.form))


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
    flash("Corrected. The phone hears of it as soon as it has signal.", "good")
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
    beside = moving.correct_call(get_session(), current_person(), str(job_id), body)
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


@office_bp.post("/jobs/<uuid:job_id>/cancel")
def cancel(job_id: object) -> ResponseReturnValue:
    """Nobody goes."""
    desk = JobDesk.opened(get_session(), str(job_id), "cancel")
    if not desk.cancel.validate_on_submit():
        return _job_page(desk), 422
    moving.cancel_job(get_session(), current_person(), str(job_id), why=desk.cancel.why.data)
    flash("Cancelled. The phone hears of it as soon as it has signal: ring, if somebody is on the way.", "caution")
    return redirect(url_for("office.show_job", job_id=job_id), 303)


@office_bp.post("/jobs/<uuid:job_id>/put-back")
def put_back(job_id: object) -> ResponseReturnValue:
    """A heater that was left off is in service again."""
    desk = JobDesk.opened(get_session(), str(job_id), "put_back")
    if desk.standing and not desk.put_back.validate_on_submit():
        return _job_page(desk), 422
    ids, words = desk.put_back.left_off_ids.data or [], str(desk.put_back.words.data)
    heaters_off.put_back(get_session(), current_person(), str(job_id), left_off_ids=ids, words=words)
    flash("Noted: back in service.", "good")
    return redirect(url_for("office.list_heaters_off"), 303)


@office_bp.post("/jobs/<uuid:job_id>/office-told")
def office_told(job_id: object) -> ResponseReturnValue:
    """Somebody rings about a heater that they left off."""
    desk = JobDesk.opened(get_session(), str(job_id), "told")
    if not desk.told.validate_on_submit():
        return _job_page(desk), 422
    who, words = str(desk.told.who_words.data), desk.told.told_words.data or ""
    heaters_off.hear_of_it(get_session(), current_person(), str(job_id), who=who, words=words)
    flash("Noted: the office was told by voice, now.", "good")
    return redirect(url_for("office.show_job", job_id=job_id), 303)


@office_bp.get("/heaters-off")
def list_heaters_off() -> ResponseReturnValue:
    """Heaters left off and tagged, and who put the others back."""
    return render_template("office/heaters_off.html", register=heaters_off.read_register(get_session()))


@office_bp.get("/addresses")
def list_addresses() -> ResponseReturnValue:
    """Addresses, latest first, or those that have the typed words."""
    typed = request.args.get("q", "").strip()
    page = sites.list_addresses(get_session(), typed, request.args.get("before"))
    return render_template("office/addresses.html", page=page, typed=typed, first_page="before" not in request.args)


@office_bp.get("/addresses/in-doubt")
def list_in_doubt() -> ResponseReturnValue:
    """Entries that may be one address, each pair with its reasons."""
    page = doubt_desk.list_in_doubt(get_session(), request.args.get("before"), session.get("put_off", []))
    return render_template("office/in_doubt.html", page=page, first_page="before" not in request.args)


@office_bp.get("/addresses/<uuid:site_id>/same-as")
def show_same_as(site_id: object) -> ResponseReturnValue:
    """Where this address is said to be another entry's."""
    typed = request.args.get("q", "").strip()
    page = doubt_desk.read_same_as(get_session(), str(site_id), typed)
    return render_template("office/same_as.html", page=page, typed=typed)


@office_bp.post("/addresses/<uuid:one>/same-as/<uuid:other>")
def say_same_as(one: object, other: object) -> ResponseReturnValue:
    """One address, two addresses, or later."""
    said = request.form.get("said", "")
    if said in doubt_desk.SAID:
        doubt_desk.say(get_session(), current_person(), str(one), str(other), said)
        flash("Noted: one address, one history." if said == "same" else "Noted: two addresses.", "good")
    else:
        session["put_off"] = doubt_desk.put_off(session.get("put_off", []), "+".join(pair_of(str(one), str(other))))
        flash("Put off: it stands at the end of the list.", "")
    return redirect(_back_from_doubt(str(one)), 303)


@office_bp.post("/addresses/<uuid:site_id>/unsay/<uuid:event_id>")
def unsay(site_id: object, event_id: object) -> ResponseReturnValue:
    """Take back what was said about two entries."""
    doubt_desk.take_back(get_session(), current_person(), str(event_id), str(site_id))
    flash("Taken back.", "good")
    return redirect(_back_from_doubt(str(site_id)), 303)


@office_bp.get("/addresses/<uuid:site_id>")
def show_address(site_id: object) -> ResponseReturnValue:
    """An address with its logbook."""
    place = read_place(request.args)
    history = sites.read_address(get_session(), str(site_id), place)
    return render_template("office/address.html", history=history, first_page=place is None)


@office_bp.get("/photos/<sha256>")
def show_photo(sha256: str) -> ResponseReturnValue:
    """The bytes of a photo that has arrived."""
    path = path_of_stored(get_session(), current_app.config["UNDERCROFT_DATA"], sha256)
    answer = send_file(path, mimetype="image/jpeg", etag=sha256)
    answer.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    return answer


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


def _back_from_doubt(site_id: str) -> str:
    """Where the button was."""
    from_list = request.form.get("from") == "list"
    return url_for("office.list_in_doubt") if from_list else url_for("office.show_same_as", site_id=site_id)


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


def _job_page(desk: JobDesk) -> str:
    return render_template("office/job.html", desk=desk, page=desk.page)
