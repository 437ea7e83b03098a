"""A server with its people, a phone and a desk for each test."""

import shutil
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Playwright

from e2e.company import Company, found_company
from e2e.phone import DESK_SIZE, PHONE_SIZE, Chromium, Desk
from e2e.server import Server
from service_worker.build.build import build, is_stale
from service_worker.build.places import HERE


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    here = Path(__file__).parent
    for item in items:
        if here in item.path.parents:
            item.add_marker(pytest.mark.browser)


@pytest.fixture(scope="session")
def built_shell() -> None:
    if is_stale(HERE):
        build(HERE)


@pytest.fixture(scope="session")
def founded(tmp_path_factory: pytest.TempPathFactory) -> Company:
    """The company as it is before anything happens; each test has a copy."""
    return found_company(tmp_path_factory.mktemp("company") / "data")


@pytest.fixture
def company(founded: Company, tmp_path: Path) -> Company:
    shutil.copytree(founded.data, tmp_path / "data")
    return replace(founded, data=tmp_path / "data")


@pytest.fixture
def server(company: Company, built_shell: None) -> Iterator[Server]:
    running = Server(company.data).start()
    yield running
    running.kill()  # its data ends with the test: nothing of it needs to end in good order


@pytest.fixture
def phone(playwright: Playwright, chromium_program: str, tmp_path: Path) -> Iterator[Chromium]:
    made = Chromium(playwright, chromium_program, tmp_path / "profile", **PHONE_SIZE)
    yield made
    made.close()


@pytest.fixture
def new_desk(browser: Browser) -> Iterator[Callable[..., Desk]]:
    """Give one window for each call; all that were opened are closed after the test."""
    made: list[Desk] = []

    def make(**options: object) -> Desk:
        made.append(Desk(browser, **options))
        return made[-1]

    yield make
    for desk in made:
        desk.close()


@pytest.fixture
def desk(new_desk: Callable[..., Desk]) -> Desk:
    return new_desk(**DESK_SIZE)
