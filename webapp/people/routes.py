"""Sign-in, and the page where phones are let in and closed."""

from __future__ import annotations

from urllib.parse import urlsplit

from flask import Blueprint, abort, current_app, flash, g, redirect, render_template, request, session, url_for
from flask.typing import ResponseReturnValue

from webapp.errors import SignInFailed, TooManyTries, look_up
from webapp.extensions import get_session
from webapp.models import Device, Role
from webapp.people import phones, service
from webapp.people.forms import ButtonForm, SignInForm

people_bp = Blueprint("people", __name__, template_folder="templates")

SHELL_ADDRESS = "/phone/"


@people_bp.get("/sign-in")
def show_sign_in() -> ResponseReturnValue:
    """The office's door."""
    if g.person is not None:
        return redirect(_landing(g.person.role, request.args.get("next", "")))
    return render_template("people/sign_in.html", form=SignInForm(next=request.args.get("next", "")), problem=None)


@people_bp.post("/sign-in")
def sign_in() -> ResponseReturnValue:
    """Check the password and open a session."""
    form = SignInForm()
    if not form.validate_on_submit():
        return render_template("people/sign_in.html", form=form, problem=None), 422
    try:
        device = service.sign_in(
            get_session(), login=form.login.data, password=form.password.data, address=request.remote_addr or ""
        )
    except (SignInFailed, TooManyTries) as refusal:
        status, _, words = look_up(refusal)
        return render_template("people/sign_in.html", form=form, problem=words), status
    role = _remember(device)
    return redirect(_landing(role, form.next.data or ""), 303)


@people_bp.post("/sign-out")
def sign_out() -> ResponseReturnValue:
    """Close the session, here and on the server."""
    service.sign_out(get_session(), session.get("device_id", ""))
    session.clear()
    return redirect(url_for("people.show_sign_in"), 303)


@people_bp.get("/people")
def list_people() -> ResponseReturnValue:
    """Everybody, their phones, and what a phone has not handed in."""
    return render_template("people/people.html", people=phones.list_people(get_session()), form=ButtonForm())


@people_bp.post("/people/<uuid:person_id>/enrol-code")
def make_enrol_code(person_id: object) -> ResponseReturnValue:
    """A short code, shown once."""
    minutes = current_app.config["UNDERCROFT_ENROL_MINUTES"]
    code = service.make_enrol_code(get_session(), str(person_id), minutes=minutes)
    person = service.get_person(get_session(), str(person_id))
    return render_template("people/enrol_code.html", code=code, person=person, minutes=minutes)


@people_bp.post("/people/phones/<uuid:device_id>/close")
def close_phone(device_id: object) -> ResponseReturnValue:
    """Lost, stolen or left the company."""
    device = service.revoke_device(get_session(), str(device_id), by=g.person)
    flash(
        f"Closed: {device.words or 'the phone'}. It pulls nothing more; what it still holds will be kept apart.", "good"
    )
    return redirect(url_for("people.list_people"), 303)


def _remember(device: Device) -> str:
    """A fresh cookie for a fresh session: nothing of an earlier one stays."""
    session.clear()
    session["person_id"], session["device_id"] = device.person_id, device.id
    session.permanent = True
    person = service.get_person(get_session(), device.person_id)
    return person.role if person else abort(401)


def _landing(role: str, wanted: str) -> str:
    """Where a sign-in leads: only ever to a page of ours."""
    parts = urlsplit(wanted)
    if wanted.startswith("/") and not wanted.startswith(("//", "/\\")) and not parts.netloc:
        return wanted
    return SHELL_ADDRESS if role == Role.TECHNICIAN else "/"
