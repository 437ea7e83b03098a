"""Addresses, and which of them are one. Routes of the `office` blueprint."""

from __future__ import annotations

from flask import flash, redirect, render_template, request, session, url_for
from flask.typing import ResponseReturnValue

from webapp.extensions import get_session
from webapp.office import address_desk, doubt_desk
from webapp.office.address_desk import AddressDesk
from webapp.office.blueprint import office_bp
from webapp.office.paging import read_place
from webapp.office.without_address import list_without_address
from webapp.people.guard import current_person
from webapp.sites import finding
from webapp.sites import service as sites
from webapp.sites.one_door import pair_of


@office_bp.get("/addresses")
def list_addresses() -> ResponseReturnValue:
    """Addresses, latest first, or those that have the typed words."""
    typed = request.args.get("q", "").strip()
    page = finding.list_addresses(get_session(), typed, request.args.get("before"))
    return render_template("office/addresses.html", page=page, typed=typed, first_page="before" not in request.args)


@office_bp.get("/addresses/in-doubt")
def list_in_doubt() -> ResponseReturnValue:
    """Entries that may be one address, each pair with its reasons."""
    page = doubt_desk.list_in_doubt(get_session(), request.args.get("before"), session.get("put_off", []))
    first_page = "before" not in request.args
    calls = list_without_address(get_session()) if first_page else []
    return render_template("office/in_doubt.html", page=page, first_page=first_page, calls=calls)


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


@office_bp.get("/addresses/<uuid:site_id>/correct")
def show_correction(site_id: object) -> ResponseReturnValue:
    """The address as it stands, to be corrected."""
    return _correction(AddressDesk.opened(get_session(), str(site_id)))


@office_bp.post("/addresses/<uuid:site_id>/correct")
def correct_address(site_id: object) -> ResponseReturnValue:
    """It was heard or typed wrong."""
    desk = AddressDesk.opened(get_session(), str(site_id), sent=True)
    body = desk.body()
    if body is None:
        return _correction(desk), 422
    address_desk.correct_address(get_session(), current_person(), str(site_id), body)
    flash("Kept. Phones hear of it as soon as they have signal.", "good")
    if doubt_desk.may_be_known(get_session(), str(site_id)):
        flash("Something like it is known. Is it the same address?", "caution")
        return redirect(url_for("office.show_same_as", site_id=site_id), 303)
    return redirect(url_for("office.show_address", site_id=site_id), 303)


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


def _correction(desk: AddressDesk) -> str:
    return render_template("office/address_correct.html", desk=desk, form=desk.form)


def _back_from_doubt(site_id: str) -> str:
    """Where the button was."""
    from_list = request.form.get("from") == "list"
    return url_for("office.list_in_doubt") if from_list else url_for("office.show_same_as", site_id=site_id)
