from __future__ import annotations

import re
from typing import Any

from flask import Flask
from flask.testing import FlaskClient
from openapi_spec_validator import OpenAPIV30SpecValidator

from webapp.sync.bodies import BODIES
from webapp.trade.bodies import SHAPES


def document(client: FlaskClient) -> dict[str, Any]:
    found: dict[str, Any] = client.get("/api/v1/openapi.json").json
    return found


def test_the_document_is_valid_openapi(client: FlaskClient) -> None:
    """Oracle: openapi-spec-validator, which holds the OpenAPI 3.0 JSON schema."""
    assert list(OpenAPIV30SpecValidator(document(client)).iter_errors()) == []


def test_the_document_has_every_route_of_the_api_and_no_other(app: Flask, client: FlaskClient) -> None:
    described = {(path, method) for path, methods in document(client)["paths"].items() for method in methods}
    served = set()
    for rule in app.url_map.iter_rules():
        if rule.endpoint.startswith("sync."):
            path = re.sub(r"<(?:\w+:)?(\w+)>", r"{\1}", rule.rule)
            served |= {(path, method.lower()) for method in (rule.methods or set()) - {"HEAD", "OPTIONS"}}
    assert described == served


def test_limits_of_our_own_fields_are_in_the_document(client: FlaskClient) -> None:
    shapes = document(client)["components"]["schemas"]
    event = shapes["EventIn"]["properties"]
    assert event["dev_seq"] == {"type": "integer", "minimum": 1, "maximum": 2**53 - 1}
    assert event["job_id"]["nullable"] is True
    assert event["id"]["pattern"].startswith("^[0-9a-f]{8}-")
    assert shapes["EventIn"]["additionalProperties"] is False
    assert shapes["CheckAnswered1"]["properties"]["could_not"]["enum"][0] == "no_access"


def test_every_kind_that_the_fold_reads_has_its_schema_and_the_reverse() -> None:
    joining = {("same_address", 1), ("not_same_address", 1), ("may_be_same_address", 1)}
    only_of_addresses = joining | {("address_given", 1), ("withdrawn", 1)}
    assert set(BODIES) | only_of_addresses == set(SHAPES) | only_of_addresses


def test_every_body_is_in_the_document(client: FlaskClient) -> None:
    shapes = document(client)["components"]["schemas"]
    assert {type(body).__name__ for body in BODIES.values()} <= set(shapes)
