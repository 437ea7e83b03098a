"""The call's page, and the pieces of it that are asked for while somebody types. Routes of the `office` blueprint."""

from __future__ import annotations

from flask import flash, redirect, render_template, request, url_for
from flask.typing import ResponseReturnValue

from webapp.extensions import get_session
from webapp.office.blueprint import office_bp
from webapp.office.booking import JUST_BOOKED, Outcome, book_job
from webapp.office.booking_desk import ADDRESS_TOLD_BY, BookingDesk, matches_of
from webapp.office.mentions import mentions_of
from webapp.people.guard import current_person

BOOKED_WORDS = {
    Outcome.BOOKED: ("Booked. It goes to the phone as soon as that has signal.", "good"),
    Outcome.BOOKED_FOR_NOBODY: ("Booked. Nobody is going yet: send somebody here, or from the list.", "caution"),
    Outcome.KEPT_WITHOUT_ADDRESS: (
        "Kept, without an address. Ring back and type it: it waits under Addresses in doubt, and nobody can be sent.",
        "caution",
    ),
    Outcome.SENT_AGAIN: ("It was booked already, once, with the same words.", "good"),
    Outcome.STANDS_AS_FIRST_SENT: (
        "This form was sent before. The job stands as it was first sent; what you changed since was not kept.",
        "caution",
    ),
}


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
    if outcome in JUST_BOOKED and booking.known_here:
        flash(booking.known_here, "caution")
    if outcome in JUST_BOOKED and booking.is_doubtful and booking.address["street"]:
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
