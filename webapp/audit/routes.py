"""The owner's pages: the figures, and the jobs that make each of them."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from flask import Blueprint, Response, render_template, request, url_for

from webapp.audit.asked import list_title, read_after, read_wanted
from webapp.audit.csv_file import BYTE_ORDER_MARK, csv_lines
from webapp.audit.lists import APART_WORDS
from webapp.audit.rates import FEWEST
from webapp.audit.service import all_lines, read_first_page, read_list
from webapp.extensions import get_session

if TYPE_CHECKING:
    from flask.typing import ResponseReturnValue

    from webapp.audit.lists import Wanted

audit_bp = Blueprint("audit", __name__, template_folder="templates", url_prefix="/held")


@audit_bp.context_processor
def _for_templates() -> dict[str, object]:
    return {"fewest": FEWEST, "apart_words": APART_WORDS}


@audit_bp.app_template_global("jobs_at")
def _jobs_at(wanted: Wanted, after: tuple[int, str] | None = None) -> str:
    place = {"from": str(after[0]), "after": after[1]} if after else {}
    return url_for("audit.list_jobs", **dict[str, Any](wanted.address() | place))


@audit_bp.app_template_filter("thousands")
def _thousands(count: int) -> str:
    return f"{count:,}"


@audit_bp.app_template_filter("days_words")
def _days_words(days: float) -> str:
    return "less than a day" if days < 1 else f"{int(days)} {'day' if int(days) == 1 else 'days'}"


@audit_bp.get("")
def show_first() -> ResponseReturnValue:
    """Five addresses and a question each; below them the figures."""
    return render_template("audit/first.html", page=read_first_page(get_session(), datetime.now(UTC)))


@audit_bp.get("/jobs")
def list_jobs() -> ResponseReturnValue:
    """The jobs that make one figure."""
    wanted = read_wanted(request.args)
    page = read_list(get_session(), wanted, read_after(request.args), datetime.now(UTC))
    return render_template("audit/jobs.html", page=page, title=list_title(wanted, page.of_words))


@audit_bp.get("/jobs.csv")
def save_jobs() -> ResponseReturnValue:
    """The same as a file."""
    lines = all_lines(get_session(), read_wanted(request.args), datetime.now(UTC))
    answer = Response(
        BYTE_ORDER_MARK + "".join(csv_lines(lines)), content_type="text/csv; charset=utf-8; header=present"
    )
    answer.headers["Content-Disposition"] = 'attachment; filename="jobs.csv"'
    return answer
