"""The shell in WebKit: enrol, pull, walk with the server gone, start anew from the cache, keep a photo, then drain."""

from __future__ import annotations

import io
import time
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from PIL import Image
from selenium.webdriver import WebKitGTK
from selenium.webdriver.common.by import By
from selenium.webdriver.remote.webelement import WebElement
from selenium.webdriver.support.ui import WebDriverWait
from sqlalchemy import select

from e2e.company import Company, opened
from e2e.server import Server
from e2e.technician import book
from e2e.webkit import bring_webkit, webkit
from webapp.models import EventRow, Photo

WAIT_SECONDS = 40
READ_PHOTOS = """
const done = arguments[0];
const open = indexedDB.open(NAME);
open.onsuccess = () => {
  const all = open.result.transaction("photos").objectStore("photos").getAll();
  all.onsuccess = () => done(all.result.map(({ bytes }) => Object.prototype.toString.call(bytes)));
};
"""

pytestmark = [
    pytest.mark.slow,
    pytest.mark.timeout(420),
    pytest.mark.filterwarnings(
        "ignore:setting remote_server_addr:DeprecationWarning"
    ),  # selenium warns of its own call
]


@pytest.fixture
def page() -> Iterator[WebKitGTK]:
    found = bring_webkit()
    if found is None:
        pytest.skip("this machine has no WebKitGTK driver, and it could not be installed")
    with webkit(*found) as started:
        yield started


def test_webkit_walks_offline_keeps_bytes_and_drains(
    company: Company, server: Server, page: WebKitGTK, tmp_path: Path
) -> None:
    booked = book(company)
    page.get(f"{server.address}/phone/")
    _find(page, "#code").send_keys(company.enrol_code(company.technician))
    _tap(page, "form.sign-in button")
    _find(page, '[data-ready="true"]')
    server.stop()
    page.refresh()
    _tap(page, f'[data-job="{booked.job_id}"]')
    _tap(page, "[data-start]")
    first_looks = (("smell_of_gas", "no_smell"), ("symptoms", "nobody"))
    for check, outcome in first_looks:
        _find(page, f'[data-check="{check}"]')
        _tap(page, f'[data-answer="{outcome}"]')
    _find(page, '[data-check="co_meter"]')
    _tap(page, ".term")
    _until(page, lambda: len(_find(page, "dialog[open]").text) > 40)
    _tap(page, "[data-word-close]")
    _until(page, lambda: not page.find_elements(By.CSS_SELECTOR, "dialog"))
    page.execute_script("location.hash = arguments[0]", f"#/job/{booked.job_id}/record")
    picture = tmp_path / "seen.jpg"
    picture.write_bytes(_jpeg())
    _find(page, "main[data-screen=record] input[type=file]").send_keys(str(picture))
    _until(page, lambda: "photo" in _find(page, ".saved").text)
    kinds = page.execute_async_script(READ_PHOTOS.replace("NAME", repr(_database(page))))
    assert kinds == ["[object ArrayBuffer]"]
    page.refresh()
    _find(page, "ol.timeline")
    server.start()
    page.refresh()
    _find(page, '.queue-line[data-state="sent"]')
    with opened(company.data) as database, database.reading_session() as session:
        stored = session.scalars(select(EventRow.kind).where(EventRow.job_id == booked.job_id)).all()
        here = session.scalars(select(Photo.sha256).where(Photo.stored_at.is_not(None))).all()
    answers = ["check_answered"] * len(first_looks)
    assert sorted(stored) == sorted(["call_taken", "job_booked", "job_opened", "arrived", *answers, "photo_taken"])
    assert len(here) == 1


def _database(page: WebKitGTK) -> str:
    names = page.execute_async_script("indexedDB.databases().then((all) => arguments[0](all.map(({ name }) => name)))")
    (name,) = names
    return str(name)


def _find(page: WebKitGTK, selector: str) -> WebElement:
    return WebDriverWait(page, WAIT_SECONDS).until(lambda at: at.find_element(By.CSS_SELECTOR, selector))


def _tap(page: WebKitGTK, selector: str) -> None:
    """Tap what stands there; drawn anew in the middle of it, it is looked for once more."""
    until = time.monotonic() + WAIT_SECONDS
    while True:
        try:
            page.execute_script("arguments[0].click()", _find(page, selector))
        except Exception:
            if time.monotonic() > until:
                raise
        else:
            return


def _until(page: WebKitGTK, true: Callable[[], bool]) -> None:
    WebDriverWait(page, WAIT_SECONDS).until(lambda _page: true())


def _jpeg() -> bytes:
    written = io.BytesIO()
    Image.effect_noise((900, 700), 60).save(written, "JPEG", quality=90)
    return written.getvalue()
