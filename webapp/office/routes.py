"""The dispatcher's pages: the lists. The other pages' routes are beside this module, named for what they do."""

from __future__ import annotations

from flask import current_app, redirect, render_template, request, send_file, url_for
from flask.typing import ResponseReturnValue

from webapp.extensions import get_session
from webapp.office import address_routes, booking_routes, heaters_off, job_list, job_routes, queue_routes
from webapp.office.blueprint import office_bp
from webapp.office.job_list import EMPTY_WORDS, FILTERS, ORDER_WORDS
from webapp.office.overdue import read_overdue
from webapp.sync.photos import path_of_stored

__all__ = ["address_routes", "booking_routes", "job_routes", "office_bp", "queue_routes"]


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


@office_bp.get("/heaters-off")
def list_heaters_off() -> ResponseReturnValue:
    """Heaters left off and tagged, and who put the others back."""
    return render_template("office/heaters_off.html", register=heaters_off.read_register(get_session()))


@office_bp.get("/photos/<sha256>")
def show_photo(sha256: str) -> ResponseReturnValue:
    """The bytes of a photo that has arrived."""
    path = path_of_stored(get_session(), current_app.config["UNDERCROFT_DATA"], sha256)
    answer = send_file(path, mimetype="image/jpeg", etag=sha256)
    answer.headers["Cache-Control"] = "private, max-age=31536000, immutable"
    return answer
