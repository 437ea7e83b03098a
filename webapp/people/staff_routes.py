"""The owner's page of one person: role, licence, password, and the door. Routes of the `people` blueprint."""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import Blueprint, flash, redirect, render_template, url_for

from webapp.errors import BadForm
from webapp.extensions import get_session
from webapp.people import changes, licences, phones, service, staff
from webapp.people.forms import ButtonForm, LicenceForm, NewPersonForm, PasswordForm, RoleForm
from webapp.people.guard import current_person

if TYPE_CHECKING:
    from collections.abc import Callable

    from flask.typing import ResponseReturnValue
    from flask_wtf import FlaskForm

    from webapp.models import Person

staff_bp = Blueprint("staff", __name__, template_folder="templates", url_prefix="/people")


@staff_bp.get("/new")
def show_new() -> ResponseReturnValue:
    """Somebody joins."""
    return render_template("people/new.html", form=NewPersonForm())


@staff_bp.post("/new")
def add() -> ResponseReturnValue:
    """Add them."""
    form = NewPersonForm()
    if form.validate_on_submit():
        typed = {name: form[name].data for name in ("name", "login", "role")}
        try:
            added = service.create_person(
                get_session(), **typed, password=form.password.data or None, by=current_person()
            )
        except BadForm as refusal:
            form.login.errors = [refusal.message]
        else:
            flash(f"{added.name} is added. A phone is let in with a code.", "good")
            return redirect(url_for("staff.show_person", person_id=added.id), 303)
    return render_template("people/new.html", form=form), 422


@staff_bp.get("/<uuid:person_id>")
def show_person(person_id: object) -> ResponseReturnValue:
    """One person with all that may be changed."""
    return _page(str(person_id))


@staff_bp.post("/<uuid:person_id>/role")
def change_role(person_id: object) -> ResponseReturnValue:
    """They may do other things now."""
    form = RoleForm()
    return _done(
        str(person_id),
        form,
        "role",
        lambda: staff.change_role(get_session(), str(person_id), form.role.data, by=current_person()),
    )


@staff_bp.post("/<uuid:person_id>/licence")
def set_licence(person_id: object) -> ResponseReturnValue:
    """What stands on their licence."""
    form = LicenceForm()
    said = {"words": form.words.data, "expires_on": form.expires_on.data, "by": current_person()}
    return _done(
        str(person_id), form, "expires_on", lambda: licences.set_licence(get_session(), str(person_id), **said)
    )


@staff_bp.post("/<uuid:person_id>/password")
def reset_password(person_id: object) -> ResponseReturnValue:
    """A new password; whoever is signed in with the old one is signed out."""
    form, person = PasswordForm(), staff.find_person(get_session(), str(person_id))
    change = lambda: service.change_password(get_session(), person.login, form.password.data, by=current_person())  # noqa: E731
    return _done(str(person_id), form, "password", change)


@staff_bp.post("/<uuid:person_id>/deactivate")
def deactivate(person_id: object) -> ResponseReturnValue:
    """They left: every sign-in and phone of theirs closes."""
    return _done(
        str(person_id), ButtonForm(), "", lambda: staff.deactivate(get_session(), str(person_id), by=current_person())
    )


@staff_bp.post("/<uuid:person_id>/reactivate")
def reactivate(person_id: object) -> ResponseReturnValue:
    """They are back."""
    return _done(
        str(person_id), ButtonForm(), "", lambda: staff.reactivate(get_session(), str(person_id), by=current_person())
    )


def _done(person_id: str, form: FlaskForm, field: str, change: Callable[[], Person]) -> ResponseReturnValue:
    """Change it, or say at its field why not."""
    if not form.validate_on_submit():
        return _page(person_id, form), 422
    try:
        changed = change()
    except BadForm as refusal:
        if not field:
            flash(refusal.message or "Not done.", "bad")
            return redirect(url_for("staff.show_person", person_id=person_id), 303)
        form[field].errors = [refusal.message]
        return _page(person_id, form), 422
    flash(f"Saved: {changed.name}.", "good")
    return redirect(url_for("staff.show_person", person_id=person_id), 303)


def _page(person_id: str, sent: FlaskForm | None = None) -> str:
    person = staff.find_person(get_session(), person_id)
    line = phones.line_of(get_session(), person)
    fresh: tuple[FlaskForm, ...] = (
        RoleForm(formdata=None, role=person.role),
        LicenceForm(formdata=None, words=person.licence_words or "", expires_on=person.licence_expires_on or ""),
        PasswordForm(formdata=None),
    )
    role, licence, password = (sent if isinstance(sent, type(form)) else form for form in fresh)
    told = {"warning": licences.licence_warning(person), "sent": sent, "button": ButtonForm(formdata=None)}
    told["changes"] = changes.list_changes(get_session(), person_id)
    return render_template("people/person.html", line=line, role=role, licence=licence, password=password, **told)
