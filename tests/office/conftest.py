"""A signed-in desk that uses the pages as a browser would: with the token of the form it was shown."""

from __future__ import annotations

import re
from html import unescape
from html.parser import HTMLParser
from typing import Any

import pytest
from flask.testing import FlaskClient
from sqlalchemy.orm import Session
from werkzeug.test import TestResponse

from tests.sites.stories import Story


class _Controls(HTMLParser):
    """Names and values that the page's forms would send as they stand."""

    def __init__(self) -> None:
        super().__init__()
        self.values: dict[str, str] = {}

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        name = given.get("name")
        unsent = given.get("type") in ("radio", "checkbox") and "checked" not in given
        if tag == "input" and name and not unsent:
            self.values[name] = given.get("value") or ""


class Desk:
    """The dispatcher's browser."""

    def __init__(self, client: FlaskClient, story: Story) -> None:
        self.client = client
        self.story = story
        with client.session_transaction() as cookie:
            cookie["person_id"], cookie["device_id"] = story.dispatcher.id, story.desk_device.id

    def read(self, path: str, status: int = 200) -> str:
        answer = self.client.get(path)
        assert answer.status_code == status, answer.text
        return text_of(answer)

    def send(self, shown_at: str, to: str | None = None, /, **typed: Any) -> TestResponse:
        """Fill in the form of a page and send it."""
        path = (to or shown_at).partition("?")[0]
        return self.client.post(path, data={**self.shown(shown_at), **typed}, content_type="multipart/form-data")

    def shown(self, path: str) -> dict[str, str]:
        """What the forms of a page would send as they stand; kept, they are those of a page that grew old."""
        controls = _Controls()
        controls.feed(self.client.get(path).text)
        return controls.values


def text_of(answer: TestResponse) -> str:
    """What a person reads: without tags, with single spaces."""
    body = answer.text.partition("<main")[2]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", body)).split())


@pytest.fixture
def story(session: Session) -> Story:
    return Story(session)


@pytest.fixture
def desk(client: FlaskClient, story: Story) -> Desk:
    return Desk(client, story)
