from __future__ import annotations

import re
from typing import Any

import pytest
from argon2 import PasswordHasher
from flask.testing import FlaskClient

from webapp.extensions import Database
from webapp.models import Person
from webapp.people import passwords
from webapp.people.service import create_person

PASSWORD = "correct horse battery"


@pytest.fixture(autouse=True)
def cheap_hashes(monkeypatch: pytest.MonkeyPatch) -> None:
    """argon2 is slow on purpose; only its own test needs that."""
    monkeypatch.setattr(passwords, "_hasher", PasswordHasher(time_cost=1, memory_cost=8, parallelism=1))
    passwords._nobodys_hash.cache_clear()


class Desk:
    """A browser at the office: takes the form's token from the page, as a browser would."""

    def __init__(self, client: FlaskClient) -> None:
        self.client = client

    def token(self, page: str) -> str:
        answer = self.client.get(page)
        found = re.search(r'name="csrf_token"[^>]*value="([^"]+)"', answer.text)
        assert found, answer.text
        return found[1]

    def post(self, path: str, page: str, **typed: str) -> Any:
        return self.client.post(path, data={"csrf_token": self.token(page)} | typed)

    def sign_in(self, login: str, password: str = PASSWORD, **typed: str) -> Any:
        return self.post("/sign-in", "/sign-in", login=login, password=password, **typed)


@pytest.fixture
def desk(client: FlaskClient) -> Desk:
    return Desk(client)


@pytest.fixture
def people(database: Database) -> dict[str, Person]:
    """One of each role; the login is the role's name."""
    with database.session() as session:
        return {
            role: create_person(session, name=f"{role.title()} Quill", login=role, role=role, password=PASSWORD)
            for role in ("technician", "dispatcher", "owner")
        }
