"""What must hold on every screen that is shipped, on the demo's content."""

import json
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from playwright.sync_api import Page

from e2e.axe import axe_violations
from e2e.phone import DESK_SIZE, PHONE_SIZE, Desk
from e2e.server import Server
from e2e.tour import Demo, make_demo, office_tour, owner_tour, phone_tour

NARROWEST_PX = 320
THUMB_PX = 44  # WCAG 2.2, 2.5.5
MOUSE_PX = 24  # WCAG 2.2, 2.5.8: the rows of the office's tables, under a mouse
TOO_WIDE = "document.scrollingElement.scrollWidth - document.scrollingElement.clientWidth"
TOO_SMALL = (Path(__file__).parent / "small_targets.js").read_text("utf-8")

pytestmark = [pytest.mark.slow, pytest.mark.timeout(600)]
Tour = Callable[[Page, Demo, str], Iterator[str]]
# The server says 401, 403 and 404 as it should, and the browser writes each into its console.
EXPECTED_COMPLAINTS = ("Failed to load resource: the server responded with a status of",)


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Demo:
    return make_demo(tmp_path_factory.mktemp("demo") / "data")


@pytest.fixture(scope="module")
def demo_server(demo: Demo, built_shell: None) -> Iterator[Server]:
    running = Server(demo.data).start()
    yield running
    running.stop()


@pytest.mark.parametrize(
    ("tour", "size", "target_px"),
    [
        (phone_tour, PHONE_SIZE, THUMB_PX),
        (office_tour, DESK_SIZE, MOUSE_PX),
        (office_tour, PHONE_SIZE, THUMB_PX),
        (owner_tour, DESK_SIZE, MOUSE_PX),
        (owner_tour, PHONE_SIZE, THUMB_PX),
    ],
    ids=["phone", "office at the desk", "office on a phone", "owner at the desk", "owner on a phone"],
)
def test_every_screen_is_sound(
    tour: Tour,
    size: dict[str, object],
    target_px: int,
    demo: Demo,
    demo_server: Server,
    new_desk: Callable[..., Desk],
) -> None:
    """Nothing that axe finds, nothing that scrolls sideways at 320 px, no small target, nothing in the console."""
    found: dict[str, object] = {}
    complaints: list[str] = []
    page = new_desk(**size).start()
    page.on("console", lambda m: complaints.append(m.text) if m.type in {"error", "warning"} else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    for name in tour(page, demo, demo_server.address):
        faults = axe_violations(page) + _does_not_fit(page, target_px)
        if faults:
            found[name] = faults
    assert not found, json.dumps(found, indent=1, ensure_ascii=False)
    assert [words for words in complaints if not words.startswith(EXPECTED_COMPLAINTS)] == []


def _does_not_fit(page: Page, target_px: int) -> list[object]:
    size = page.viewport_size
    too_small = [f"target too small: {words}" for words in page.evaluate(TOO_SMALL, target_px)]
    page.set_viewport_size({"width": NARROWEST_PX, "height": 640})
    over_px = page.evaluate(TOO_WIDE)
    if size is not None:
        page.set_viewport_size(size)
    return [*too_small, *([f"{over_px} px too wide at {NARROWEST_PX} px"] if over_px > 0 else [])]
