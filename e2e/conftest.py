"""A server with its people, a phone and a desk for each test."""

from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Playwright

from e2e.company import Company, found_company
from e2e.phone import DESK_SIZE, PHONE_SIZE, Chromium
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


@pytest.fixture
def company(tmp_path: Path) -> Company:
    return found_company(tmp_path / "data")


@pytest.fixture
def server(company: Company, built_shell: None) -> Iterator[Server]:
    running = Server(company.data).start()
    yield running
    running.stop()


@pytest.fixture
def new_chromium(playwright: Playwright, chromium_program: str, tmp_path: Path) -> Iterator[Callable[..., Chromium]]:
    """Give one browser for each name; all that were started are closed after the test."""
    made: list[Chromium] = []

    def make(name: str, **options: object) -> Chromium:
        made.append(Chromium(playwright, chromium_program, tmp_path / f"profile-{name}", **options))
        return made[-1]

    yield make
    for chromium in made:
        chromium.close()


@pytest.fixture
def phone(new_chromium: Callable[..., Chromium]) -> Chromium:
    return new_chromium("phone", **PHONE_SIZE)


@pytest.fixture
def desk(new_chromium: Callable[..., Chromium]) -> Chromium:
    return new_chromium("desk", **DESK_SIZE)
