"""Applies the rules before every request. Nothing else in the app decides who may call what."""

from __future__ import annotations

from typing import cast

from flask import Flask, g, redirect, request, session, url_for
from flask.typing import ResponseReturnValue

from webapp.errors import API_PREFIX, DeviceRevoked, Forbidden, SignedOut
from webapp.extensions import SAFE_METHODS, get_database
from webapp.models import Device, Person
from webapp.people import service
from webapp.people.rules import ROLES, Rule, rule_of

PHONE_RULES = {Rule.PHONE, Rule.PHONE_EVEN_CLOSED}


def init_guard(app: Flask) -> None:
    """Stand in front of every route of the app."""
    app.before_request(_guard)
    app.context_processor(_for_templates)


def current_person() -> Person:
    """Who is calling; only where the rule asks for somebody."""
    return cast("Person", g.person)


def current_device() -> Device:
    """The calling phone."""
    return cast("Device", g.device)


def _guard() -> ResponseReturnValue | None:
    g.person = None
    # Where there is no such page routing answers, with the menu of whoever is signed in.
    rule = Rule.ANYONE if request.endpoint is None else rule_of(request.endpoint)
    if rule is None:
        raise Forbidden
    if rule in PHONE_RULES:
        _let_phone_in(rule)
        return None
    return _let_person_in(rule)


def _let_phone_in(rule: Rule) -> None:
    # A session of its own: what follows must not wait for a lock because of a token, nor the reverse.
    with get_database().reading_session() as reading:
        g.device, g.person = service.phone_of_token(reading, _bearer_token())
    closed = g.device.revoked_at is not None or not g.person.active
    if closed and rule is Rule.PHONE:
        raise DeviceRevoked


def _let_person_in(rule: Rule) -> ResponseReturnValue | None:
    if "person_id" in session and not request.path.startswith(API_PREFIX):
        with get_database().reading_session() as reading:
            g.person = service.person_signed_in(reading, session["person_id"], session.get("device_id", ""))
    if rule is Rule.ANYONE:
        return None
    if g.person is None:
        if request.method in SAFE_METHODS:
            return redirect(url_for("people.show_sign_in", next=request.full_path.rstrip("?")))
        raise SignedOut
    if g.person.role not in ROLES[rule]:
        raise Forbidden
    return None


def _bearer_token() -> str:
    scheme, _, token = request.headers.get("Authorization", "").partition(" ")
    return token.strip() if scheme.lower() == "bearer" else ""


def _for_templates() -> dict[str, object]:
    return {"office_person": g.get("person"), "office_sign_out_url": url_for("people.sign_out")}
