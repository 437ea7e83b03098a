"""Serves the look's files under /look/: nothing else is here."""

from __future__ import annotations

from flask import Blueprint

look_bp = Blueprint("look", __name__, static_folder="static", static_url_path="/look", template_folder="templates")
"""Registered once by create_app; its templates are the office's frame."""
