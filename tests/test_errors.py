from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from flask.testing import FlaskClient

from webapp import errors, headers
from webapp.errors import ERROR_TABLE, ErrorCode, UndercroftError, look_up

DOCS = Path(__file__).parents[1] / "docs"


def test_every_named_error_has_its_row() -> None:
    named = {
        kind for kind in vars(errors).values()
        if isinstance(kind, type) and issubclass(kind, UndercroftError) and kind is not UndercroftError
    }  # fmt: skip
    assert named == set(ERROR_TABLE)


def test_every_code_is_in_the_docs() -> None:
    told = set(re.findall(r"`([a-z_]+)`", (DOCS / "sync.md").read_text() + (DOCS / "security.md").read_text()))
    assert {code.value for code in ErrorCode} - told == set()


def test_an_error_of_a_feature_is_answered_as_its_parent() -> None:
    class MyConflict(errors.Conflict):
        """One that only a feature knows."""

    assert look_up(MyConflict())[:2] == (409, ErrorCode.CONFLICT)
    assert look_up(UndercroftError())[0] == 500


@pytest.mark.parametrize(("path", "is_json"), [("/api/v1/nothing", True), ("/nothing", False)])
def test_the_api_is_answered_in_json_and_the_office_with_a_page(client: FlaskClient, path: str, is_json: bool) -> None:
    answer = client.get(path)
    assert answer.status_code == 404
    assert answer.is_json is is_json
    if is_json:
        assert set(answer.json) == {"code", "message", "details"}
    else:
        assert "<h1>Not found</h1>" in answer.text
        assert "not_found" not in answer.text, "a code is for programs"


def test_the_wrong_method_says_which_are_allowed(client: FlaskClient) -> None:
    answer = client.delete("/api/v1/openapi.json")
    assert (answer.status_code, answer.json["code"]) == (405, "bad_request")
    assert "GET" in answer.headers["Allow"]


@pytest.mark.parametrize("path", ["/api/v1/openapi.json", "/healthz"])
def test_a_fault_of_ours_is_500_never_404_and_tells_nothing_of_the_inside(
    app: Flask, path: str, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def broken(*_: Any) -> None:
        raise RuntimeError("the inside")

    app.testing = False
    app.config["PROPAGATE_EXCEPTIONS"] = False
    for endpoint in ("sync.openapi", "healthz"):
        app.view_functions[endpoint] = broken
    answer = app.test_client().get(path)
    assert answer.status_code == 500
    assert "the inside" not in answer.text
    assert "the inside" in caplog.text


def test_every_answer_carries_the_policy(client: FlaskClient) -> None:
    """The policy of the contract, written out: no inline script or style, no other origin, no frame."""
    policy = (
        "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; style-src 'self'; "
        "img-src 'self' blob: data:; connect-src 'self'; font-src 'self'; manifest-src 'self'; base-uri 'none'; "
        "form-action 'self'; frame-ancestors 'none'"
    )
    for path in ("/healthz", "/sign-in", "/nothing", "/api/v1/manifest", "/api/v1/openapi.json", "/look/tokens.css"):
        with client.get(path) as answer:
            assert answer.headers["Content-Security-Policy"] == policy, path
            for name in headers.SECURITY_HEADERS:
                assert answer.headers.get(name), (path, name)


def test_healthz_answers_in_json_from_the_store(client: FlaskClient) -> None:
    answer = client.get("/healthz")
    assert (answer.status_code, answer.json) == (200, {"ok": True, "service": "undercroft"})
