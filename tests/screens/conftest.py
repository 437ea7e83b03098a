"""The phone's screens over a core that the test turns: one server, one browser, a page loaded anew for each test."""

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from functools import cache
from pathlib import Path

import pytest
from playwright.sync_api import Browser, ConsoleMessage, Error, Page, ViewportSize

from tests.screens.hand import Hand
from tests.screens.stage_server import stage_server

PHONE: ViewportSize = {"width": 390, "height": 844}
OpenStage = Callable[..., Hand]


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def stage_of() -> Iterator[Callable[[str], str]]:
    """The address of the stage with a procedure: one for all tests, so that the browser keeps what it loaded."""
    with ExitStack() as stages:
        yield cache(lambda name: stages.enter_context(stage_server(procedure_name=name)))


@pytest.fixture
def stage_procedure() -> str:
    """Overridden where tests look at another heater."""
    return "power_vent"


@pytest.fixture
def stage_address(stage_of: Callable[[str], str], stage_procedure: str) -> str:
    return stage_of(stage_procedure)


class Windows:
    """Windows of a phone that stay open from test to test: to open one costs ten times as much as to load a page."""

    def __init__(self, browser: Browser) -> None:
        self._browser = browser
        self._free: list[Page] = []

    def take(self) -> Page:
        if self._free:
            return self._free.pop()
        return self._browser.new_context(viewport=PHONE, has_touch=True, is_mobile=True).new_page()

    def give_back(self, page: Page, address: str) -> None:
        page.goto(f"{address}empty")  # whatever still ran on it ends here, in its own test
        self._free.append(page)


@pytest.fixture(scope="session")
def windows(browser: Browser) -> Windows:
    return Windows(browser)


def begin_anew(page: Page, address: str, look: str) -> None:
    """Load the stage with nothing in its store but the look, which is written on an empty page of the same address."""
    if page.url != f"{address}empty":
        page.goto(f"{address}empty")
    page.evaluate(
        "(look) => { localStorage.clear(); sessionStorage.clear(); localStorage.setItem('undercroft-look', look); }",
        look,
    )
    page.goto(address)
    page.wait_for_selector("html[data-mounted]")


@pytest.fixture
def open_stage(windows: Windows, stage_address: str) -> Iterator[OpenStage]:
    """Open a page of the stage; afterwards its console must have stayed empty."""
    pages: list[Page] = []
    complaints: list[str] = []

    def on_error(error: Error) -> None:
        complaints.append(str(error))

    def on_line(line: ConsoleMessage) -> None:
        if line.type == "error":
            complaints.append(line.text)

    def opened(
        *, size: ViewportSize = PHONE, look: str = "dark", text_percent: int = 100, reduced: bool = False
    ) -> Hand:
        page = windows.take()
        pages.append(page)
        page.on("pageerror", on_error)
        page.on("console", on_line)
        page.set_viewport_size(size)
        page.emulate_media(reduced_motion="reduce" if reduced else "no-preference")
        begin_anew(page, stage_address, look)
        if text_percent != 100:
            page.evaluate(f"document.documentElement.style.setProperty('font-size', '{106.25 * text_percent / 100}%')")
        return Hand(page)

    yield opened
    for page in pages:
        windows.give_back(page, stage_address)
        page.remove_listener("pageerror", on_error)
        page.remove_listener("console", on_line)
    assert [words for words in complaints if "404" not in words] == []


@pytest.fixture
def hand(open_stage: OpenStage) -> Hand:
    return open_stage()
