from __future__ import annotations

import pytest
from flask import Flask
from flask.testing import FlaskClient

from webapp.body_limits import LARGEST_BYTES


@pytest.mark.parametrize("path", ["/sign-in", "/sign-out", "/api/v1/enrol"])
def test_who_is_not_signed_in_may_send_little(client: FlaskClient, path: str) -> None:
    assert client.post(path, data=b" " * 600_000, content_type="multipart/form-data; boundary=x").status_code == 413


def test_a_file_of_a_stranger_is_refused_before_it_is_read(client: FlaskClient) -> None:
    answer = client.post("/queues/file", data={"queue_file": (__file__, "queue.json")})
    assert (answer.status_code, "Not saved: sign in again" in answer.text) == (401, True)


def test_every_row_is_for_a_route_that_exists(app: Flask) -> None:
    assert set(LARGEST_BYTES) <= set(app.view_functions)
