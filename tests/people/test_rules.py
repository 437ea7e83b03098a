"""Every route has its rule in people/rules.py, and does what the rule says to everybody who may knock."""

from __future__ import annotations

from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.routing import Rule as Route

from tests.people.conftest import PASSWORD
from tests.sync.conftest import enrol
from webapp import create_app
from webapp.extensions import Database
from webapp.models import Device, Person
from webapp.models.ids import new_id
from webapp.people import rules
from webapp.people.rules import RULES, Rule, rule_of
from webapp.people.service import revoke_device, sign_in

CALLERS = ("anonymous", "technician", "dispatcher", "owner", "phone", "closed_phone")

# What each rule lets in, written out by hand: not read from the code under test.
LETS_IN: dict[str, set[str]] = {
    "anyone": set(CALLERS),
    "signed_in": {"technician", "dispatcher", "owner"},
    "staff": {"dispatcher", "owner"},
    "owner": {"owner"},
    "phone": {"phone"},
    "phone_even_closed": {"phone", "closed_phone"},
}

# The rules that would hurt most if they changed by accident, also by hand.
MUST_BE = {
    "sync.manifest": "phone", "sync.stream": "phone", "sync.get_photo": "phone", "sync.put_photo": "phone",
    "sync.procedure": "phone", "sync.push_events": "phone_even_closed", "sync.enrol": "anyone",
    "people.list_people": "staff", "people.make_enrol_code": "staff", "people.close_phone": "staff",
}  # fmt: skip


def routes(app: Flask) -> list[tuple[Route, str]]:
    """All of them, with the sign-out at the end: after it the caller is somebody else."""
    found = [
        (route, method)
        for route in app.url_map.iter_rules()
        for method in sorted((route.methods or set()) - {"HEAD", "OPTIONS"})
    ]
    return sorted(found, key=lambda pair: pair[0].endpoint == "people.sign_out")


def address_of(app: Flask, route: Route) -> str:
    """Any address of the route: ids that do not exist, so that whoever is let in gets 404 at most."""
    are_ids = {name for name in route.arguments if "id" in name or f"<uuid:{name}>" in route.rule}
    values = {name: new_id() if name in are_ids else "x" for name in route.arguments}
    with app.test_request_context():
        from flask import url_for  # noqa: PLC0415

        return url_for(route.endpoint, **values)


@pytest.fixture
def knock(app: Flask, database: Database, session: Any, people: dict[str, Person]) -> Any:
    app.config["WTF_CSRF_ENABLED"] = False  # the forms' own check comes after the rule and would hide it
    phone = enrol(app.test_client(), session, people["technician"])
    closed = enrol(app.test_client(), session, people["technician"])
    with database.session() as writing:
        revoke_device(writing, closed.device_id)
        devices: dict[str, Device] = {
            role: sign_in(writing, login=role, password=PASSWORD, address="test") for role in people
        }

    def knocked(caller: str, method: str, address: str) -> Any:
        client: FlaskClient = app.test_client()
        headers = {"phone": phone.headers, "closed_phone": closed.headers}.get(caller, {})
        if caller in devices:
            with client.session_transaction() as cookie:
                cookie["person_id"], cookie["device_id"] = devices[caller].person_id, devices[caller].id
        with client.open(address, method=method, headers=headers) as answer:
            answer.get_data()
            return answer

    return knocked


def test_every_route_has_a_rule(app: Flask) -> None:
    assert [route.endpoint for route, _ in routes(app) if rule_of(route.endpoint) is None] == []


def test_every_rule_is_for_something_that_exists(app: Flask) -> None:
    there = {name for route, _ in routes(app) for name in (route.endpoint, route.endpoint.rpartition(".")[0])}
    assert set(RULES) - there == set()


def test_the_rules_that_must_not_change_are_as_they_were() -> None:
    assert {endpoint: rule_of(endpoint) for endpoint in MUST_BE} == MUST_BE


@pytest.mark.parametrize("caller", CALLERS)
def test_every_route_does_what_its_rule_says(app: Flask, knock: Any, caller: str) -> None:
    wrong = []
    for route, method in routes(app):
        rule = rule_of(route.endpoint)
        assert rule is not None
        answer = knock(caller, method, address_of(app, route))
        turned_away = answer.status_code in {401, 403} or (answer.location or "").startswith("/sign-in?")
        if route.endpoint == "people.sign_in":
            turned_away = False  # an empty sign-in is a 422 of its own
        if turned_away is (caller in LETS_IN[rule]):
            wrong.append((route.endpoint, method, answer.status_code))
    assert wrong == []


def test_a_route_without_a_rule_is_closed_to_everybody(
    database_url: str,
    tmp_path: Any,
    people: dict[str, Person],
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    app = create_app({"DATABASE_URL": database_url, "UNDERCROFT_DATA": tmp_path, "SECRET_KEY": "test"})
    app.add_url_rule("/forgotten", "forgotten", lambda: "open")
    assert app.test_client().get("/forgotten").status_code == 403
    monkeypatch.setitem(rules.RULES, "forgotten", Rule.ANYONE)
    assert app.test_client().get("/forgotten").text == "open"
    app.extensions["database"].dispose()
