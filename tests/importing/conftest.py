"""Everything that asks the store runs on SQLite and on a real PostgreSQL."""

from __future__ import annotations

import pytest

from tests.office.conftest import desk, story

__all__ = ["desk", "story"]


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    found: str = request.param
    return found
