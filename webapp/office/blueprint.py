"""The blueprint of the dispatcher's pages; their routes stand in the modules named for what they do."""

from __future__ import annotations

from flask import Blueprint

from webapp.office.showing import init_showing

office_bp = Blueprint("office", __name__, template_folder="templates")
init_showing(office_bp)
