"""A new shell while something waits to be sent: it asks, it never pushes in; and a bad release can be taken back."""

from __future__ import annotations

import shutil
import threading
from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page
from werkzeug.serving import make_server

from e2e.company import Company
from e2e.phone import Chromium
from e2e.technician import answer_anyhow, begin, book, sign_in, wait_until
from service_worker.build.build import write_built
from service_worker.build.places import HERE, Places
from service_worker.build.shell import build_shell
from webapp import create_app
from webapp.shell import routes as shell_routes

MOST_TAPS = 30
ANSWERS = 3
WAITING = """() => new Promise((done) => {
  const open = indexedDB.open('undercroft');
  open.onsuccess = () => {
    const get = open.result.transaction('outbox').objectStore('outbox').getAll();
    get.onsuccess = () => {
      open.result.close();
      done(get.result.map((row) => new TextDecoder().decode(row.bytes)));
    };
  };
})"""
BUILD = "document.querySelector('script[data-build]').dataset.build"
# The shell looks by itself too, so that the new worker may already be on its way.
LOOK_FOR_UPDATE = """async () => {
  const registration = await navigator.serviceWorker.getRegistration();
  await registration.update().catch(() => undefined);
  for (let idle = 0; idle < 20; idle += registration.installing ? 0 : 1) {
    if (registration.waiting) return 'waiting';
    await new Promise((done) => setTimeout(done, 50));
  }
  return 'none';
}"""
APPLY = """async () => (await navigator.serviceWorker.getRegistration()).waiting.postMessage('apply_update')"""
CAME_FROM = "performance.getEntriesByType('navigation')[0].workerFinalSourceType"
CACHES = "async () => (await caches.keys()).filter((name) => name.startsWith('undercroft-shell-')).length"


class Releases:
    """The server of this test: any release of the shell, with or without the API, behind a sign-in page or not."""

    def __init__(self, company: Company, tree: Path) -> None:
        self.places = Places(tree)
        self.app = create_app({"UNDERCROFT_DATA": company.data, "UNDERCROFT_COOKIE_SECURE": False})
        self.api_works = True
        self.hotel = False

    def release(self, version: str) -> None:
        write_built(self.places, build_shell(self.places, version))

    def __call__(self, environ: Any, start_response: Any) -> Iterable[bytes]:
        path = environ["PATH_INFO"]
        if self.hotel and path.startswith("/phone/assets/"):
            start_response("200 OK", [("Content-Type", "text/html")])
            return [b"<html>Please sign in to this Wi-Fi</html>"]
        if not self.api_works and path.startswith("/api/"):
            start_response("503 Service Unavailable", [("Content-Type", "text/plain")])
            return [b"busy"]
        return self.app(environ, start_response)


@pytest.fixture(scope="module")
def first_release(built_shell: None, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The tree of the first release; each test has a copy, and other tests keep their build."""
    tree = tmp_path_factory.mktemp("release") / "tree"
    shutil.copytree(HERE.phone, tree / "service_worker", ignore=shutil.ignore_patterns("node_modules"))
    (tree / "service_worker" / "node_modules").symlink_to(HERE.node_modules)
    shutil.copytree(HERE.webapp, tree / "webapp", ignore=shutil.ignore_patterns("__pycache__"))
    shutil.copy(HERE.root / "pyproject.toml", tree)
    places = Places(tree)
    write_built(places, build_shell(places, "1.0.0"))
    return tree


@pytest.fixture
def releases(company: Company, first_release: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Releases:
    shutil.copytree(first_release, tmp_path / "tree", symlinks=True)
    made = Releases(company, tmp_path / "tree")
    monkeypatch.setattr(shell_routes, "BUILT", made.places.built)
    return made


@pytest.fixture
def address(releases: Releases) -> Iterator[str]:
    server = make_server("127.0.0.1", 0, releases, threaded=True)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    thread.join()


@pytest.fixture
def mid_walk(company: Company, releases: Releases, address: str, phone: Chromium) -> Page:
    """A walk with some answers that have not been sent."""
    job = book(company)
    page = phone.start()
    sign_in(page, company, company.technician, address)
    releases.api_works = False
    begin(page, job.job_id)
    for _ in range(MOST_TAPS):
        if len(page.evaluate(WAITING)) > ANSWERS:  # and the opening of the job
            return page
        answer_anyhow(page)
        page.wait_for_timeout(300)
    raise AssertionError("the answers were not saved")


def start_it_now(page: Page, build: str) -> None:
    """By the technician's tap: the page comes back by itself, as the new build."""
    page.evaluate("location.hash = '#/'")
    page.get_by_role("button", name="Start it now").click()
    runs_another(page, build)


def runs_another(page: Page, build: str) -> None:
    page.wait_for_selector(f"script[data-build]:not([data-build='{build}'])", state="attached", timeout=30_000)
    wait_until(page, "(async () => (await caches.keys()).length === 1)()")


@pytest.mark.timeout(180)
def test_a_new_shell_waits_for_a_word_and_the_queue_is_sent_as_it_was_saved(mid_walk: Page, releases: Releases) -> None:
    page = mid_walk
    first = page.evaluate(BUILD)
    waiting = page.evaluate(WAITING)
    assert len(waiting) >= 3
    sent: list[str] = []
    page.on(
        "request", lambda request: sent.append(request.post_data or "") if request.url.endswith("/events") else None
    )
    releases.release("1.1.0")
    assert page.evaluate(LOOK_FOR_UPDATE) == "waiting"
    page.reload()
    assert page.evaluate(BUILD) == first, "it took over by itself"
    assert page.evaluate(CACHES) == 2
    start_it_now(page, first)
    assert page.evaluate(WAITING) == waiting
    releases.api_works = True
    page.evaluate("dispatchEvent(new Event('online'))")
    wait_until(page, f"({WAITING})().then((rows) => rows.length === 0)")
    assert all(any(text in body for body in sent) for text in waiting)


@pytest.mark.timeout(180)
def test_a_bad_release_is_taken_back_by_the_old_code_under_a_new_number(mid_walk: Page, releases: Releases) -> None:
    page = mid_walk
    waiting = page.evaluate(WAITING)
    good = (releases.places.phone / "shell" / "main.ts").read_text("utf-8")
    first = page.evaluate(BUILD)
    # It still has its parts: the build would not make a page without them.
    broken = f"if (Date.now() > 0) throw new Error('a bad release');\n{good}"
    (releases.places.phone / "shell" / "main.ts").write_text(broken, "utf-8")
    releases.release("1.1.0")
    assert page.evaluate(LOOK_FOR_UPDATE) == "waiting"
    start_it_now(page, first)
    bad = page.evaluate(BUILD)
    (releases.places.phone / "shell" / "main.ts").write_text(good, "utf-8")
    releases.release("1.2.0")
    assert page.evaluate(LOOK_FOR_UPDATE) == "waiting"
    page.evaluate(APPLY)  # the bad page has no button to tap
    wait_until(page, "(async () => (await caches.keys()).length === 1)()")
    page.reload()
    runs_another(page, bad)
    page.wait_for_selector("[data-check], [data-job], [data-start]")
    assert page.evaluate(WAITING) == waiting


@pytest.mark.timeout(180)
def test_a_sign_in_page_in_the_middle_of_an_update_changes_nothing(
    mid_walk: Page, releases: Releases, phone: Chromium
) -> None:
    page = mid_walk
    first = page.evaluate(BUILD)
    releases.hotel = True
    main = releases.places.phone / "shell" / "main.ts"
    main.write_text(main.read_text("utf-8") + "\nconsole.log('newer');\n", "utf-8")
    releases.release("1.1.0")
    assert page.evaluate(LOOK_FOR_UPDATE) == "none"
    assert page.evaluate(CACHES) == 1
    phone.context.set_offline(True)
    page.reload()
    assert page.evaluate(BUILD) == first
    assert page.evaluate(CAME_FROM) == "cache", "it waited for the worker"
    page.wait_for_selector("[data-check], [data-job], [data-start]")
