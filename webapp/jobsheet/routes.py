"""The customer's sheet: a page, and the same as a PDF."""

from __future__ import annotations

from flask import Blueprint, Response, current_app, render_template
from flask.typing import ResponseReturnValue

from webapp.extensions import get_session
from webapp.jobsheet.service import read_sheet
from webapp.jobsheet.signature import svg_path

jobsheet_bp = Blueprint("jobsheet", __name__, template_folder="templates")
jobsheet_bp.add_app_template_filter(svg_path, "svg_path")


@jobsheet_bp.get("/jobs/<uuid:job_id>/sheet")
def show_sheet(job_id: object) -> ResponseReturnValue:
    """The sheet as a page that prints."""
    return render_template("jobsheet/sheet.html", sheet=read_sheet(get_session(), str(job_id)))


@jobsheet_bp.get("/jobs/<uuid:job_id>/sheet.pdf")
def show_pdf(job_id: object) -> ResponseReturnValue:
    """The sheet as a file to keep or send."""
    from webapp.jobsheet.pdf import draw_pdf  # noqa: PLC0415  (fpdf2: neither the build nor any other page waits for it)

    sheet = read_sheet(get_session(), str(job_id))
    answer = Response(draw_pdf(sheet, current_app.config["UNDERCROFT_DATA"]), mimetype="application/pdf")
    answer.headers["Content-Disposition"] = f'inline; filename="{sheet.file_name}"'
    return answer
