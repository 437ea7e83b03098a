"""Undercroft: a fault log for water heaters that works below ground."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from typing import Any

from flask import Flask, jsonify
from flask.typing import ResponseReturnValue
from sqlalchemy import select
from werkzeug.middleware.proxy_fix import ProxyFix

from webapp.audit.routes import audit_bp
from webapp.body_limits import init_body_limits
from webapp.config import complete_settings
from webapp.errors import init_errors
from webapp.extensions import csrf, get_session, init_database
from webapp.headers import init_headers
from webapp.importing.routes import importing_bp
from webapp.jobsheet.routes import jobsheet_bp
from webapp.look.routes import look_bp
from webapp.models import Meta
from webapp.office.routes import office_bp
from webapp.people.guard import init_guard
from webapp.people.routes import people_bp
from webapp.people.staff_routes import staff_bp
from webapp.plain_text import init_plain_text
from webapp.sheets.routes import sheets_bp
from webapp.shell.routes import shell_bp
from webapp.sync.routes import sync_bp


def create_app(config: Mapping[str, Any] | None = None) -> Flask:
    """Make the app. `config` overrides what the environment says (docs/deploy.md)."""
    app = Flask(__name__, static_folder=None)
    app.config.from_mapping(complete_settings(config))
    _configure_sessions(app)
    init_database(app)
    init_body_limits(app)
    init_guard(app)  # before the forms' check, which reads the body: not for whoever may not send one
    csrf.init_app(app)
    init_plain_text(app)
    init_headers(app)
    init_errors(app)
    app.add_url_rule("/healthz", "healthz", _healthz)
    csrf.exempt(sync_bp)  # it ignores cookies: there is nothing to forge
    for blueprint in (
        people_bp,
        staff_bp,
        sync_bp,
        office_bp,
        audit_bp,
        importing_bp,
        jobsheet_bp,
        sheets_bp,
        look_bp,
        shell_bp,
    ):
        app.register_blueprint(blueprint)
    return app


def _configure_sessions(app: Flask) -> None:
    app.config.update(
        SESSION_COOKIE_NAME="undercroft",
        SESSION_COOKIE_HTTPONLY=True,
        SESSION_COOKIE_SAMESITE="Lax",
        SESSION_COOKIE_SECURE=app.config["UNDERCROFT_COOKIE_SECURE"],
        PERMANENT_SESSION_LIFETIME=timedelta(hours=app.config["UNDERCROFT_SIGN_IN_HOURS"]),
        WTF_CSRF_TIME_LIMIT=None,  # as long as the session itself
    )
    proxies = app.config["UNDERCROFT_PROXIES"]
    if proxies:
        app.wsgi_app = ProxyFix(app.wsgi_app, x_for=proxies, x_proto=proxies, x_host=proxies)  # type: ignore[method-assign]


def _healthz() -> ResponseReturnValue:
    get_session().execute(select(Meta.epoch)).scalar_one()
    return jsonify(ok=True, service="undercroft")
