"""One Playwright and one Chromium for all tests that need them: a process can hold no second Playwright."""

from collections.abc import Iterator

import pytest
from playwright.sync_api import Playwright, sync_playwright

from e2e.setup_browser import chromium_path


@pytest.fixture(scope="session")
def chromium_program() -> str:
    """The path of the browser's program."""
    return chromium_path()


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """The one Playwright."""
    with sync_playwright() as running:
        yield running
