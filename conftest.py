"""What all tests share: one Playwright (a process can hold no second one), one browser, and how processes part them."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from typing import Any

import pytest
from playwright.sync_api import Browser, Playwright, sync_playwright

from e2e.phone import ARGS
from e2e.setup_browser import chromium_path

WHOLE_BROWSERS = "e2e/"
SCREENS = "tests/screens/"
IN_ONE_PROCESS = (WHOLE_BROWSERS, "tests/build/")


@pytest.fixture(scope="session")
def chromium_program() -> str:
    """The path of the browser's program."""
    return chromium_path()


@pytest.fixture(scope="session")
def playwright() -> Iterator[Playwright]:
    """The one Playwright."""
    with sync_playwright() as running:
        yield running


@pytest.fixture(scope="session")
def browser(playwright: Playwright, chromium_program: str) -> Iterator[Browser]:
    """The one browser of all tests that need no more than a window of it."""
    running = playwright.chromium.launch(executable_path=chromium_program, args=ARGS)
    yield running
    running.close()


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Begin with what takes longest; end with what both processes share evenly: the screens, long files first."""
    many = Counter(item.path for item in items if item.nodeid.startswith(SCREENS))
    items.sort(
        key=lambda item: (
            not item.nodeid.startswith(WHOLE_BROWSERS),
            item.nodeid.startswith(SCREENS),
            -many[item.path],
        )
    )


@pytest.hookimpl(optionalhook=True)
def pytest_xdist_make_scheduler(config: pytest.Config, log: Any) -> Any:
    """Part the tests by file; one process alone builds, and one starts whole browsers: they would slow each other."""
    from xdist.scheduler import LoadScopeScheduling  # noqa: PLC0415 (only where there are processes to part them for)

    class ByFile(LoadScopeScheduling):  # type: ignore[misc, unused-ignore]
        def _split_scope(self, nodeid: str) -> str:
            return next((one for one in IN_ONE_PROCESS if nodeid.startswith(one)), nodeid.partition("::")[0])

    config.option.loadscopereorder = False  # it would go by the number of tests, which says nothing of their length
    return ByFile(config, log)
