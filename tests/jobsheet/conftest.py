"""A company to tell stories about, a signed-in desk, and the fonts of the PDF."""

from __future__ import annotations

import pytest

from service_worker.build.look import PAPER_FONT_NAMES, write_office_fonts
from service_worker.build.node import ensure_node_modules
from service_worker.build.places import HERE
from tests.office.conftest import desk, story

__all__ = ["desk", "story"]


@pytest.fixture(scope="session", autouse=True)
def fonts_of_the_build() -> None:
    """The build copies them; where nothing was built yet this does the same."""
    if not all((HERE.fonts / name).exists() for name in PAPER_FONT_NAMES):
        ensure_node_modules(HERE)
        write_office_fonts(HERE)
