"""The phone's screens over a core that the test turns: one server, one browser, a fresh page for each test."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page

from tests.screens.hand import Hand
from tests.screens.stage_server import stage_server

PHONE = {"width": 390, "height": 844}
OpenStage = Callable[..., Hand]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="module")
def stage_address() -> Iterator[str]:
    with stage_server() as address:
        yield address


@pytest.fixture
def open_stage(browser: Browser, stage_address: str) -> Iterator[OpenStage]:
    """Open a page of the stage; afterwards its console must have stayed empty."""
    pages: list[Page] = []
    complaints: list[str] = []

    def opened(
        *, size: dict[str, int] = PHONE, look: str = "dark", text_percent: int = 100, reduced: bool = False
    ) -> Hand:
        context = browser.new_context(
            viewport=size, has_touch=True, is_mobile=True, reduced_motion="reduce" if reduced else "no-preference"
        )
        page = context.new_page()
        page.on("pageerror", lambda error: complaints.append(str(error)))
        page.on("console", lambda line: complaints.append(line.text) if line.type == "error" else None)
        page.add_init_script(f"localStorage.setItem('undercroft-look', '{look}')")
        page.goto(stage_address)
        page.wait_for_selector("html[data-mounted]")
        if text_percent != 100:
            page.evaluate(f"document.documentElement.style.setProperty('font-size', '{106.25 * text_percent / 100}%')")
        pages.append(page)
        return Hand(page)

    yield opened
    for page in pages:
        page.context.close()
    assert [words for words in complaints if "404" not in words] == []


@pytest.fixture
def hand(open_stage: OpenStage) -> Hand:
    return open_stage()
