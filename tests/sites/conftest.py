"""A company to tell stories about."""

from __future__ import annotations

import pytest
from sqlalchemy.orm import Session

from tests.sites.stories import Story


@pytest.fixture
def story(session: Session) -> Story:
    return Story(session)
