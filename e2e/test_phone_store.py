"""What only a real browser can show of the phone's store: kills, a full disk, two windows, a newer shell."""

from __future__ import annotations

import random
import time
from collections import Counter
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page

from e2e.company import Company
from e2e.phone import Chromium
from e2e.server import Server
from e2e.technician import book, wait_until
from service_worker.build.node import run_node
from service_worker.build.places import HERE

NOTE = "{kind: 'note', body: {words: 'a note'}}"
START = "async () => { window.core = Under.createCore(); await core.start(); }"
START_NEWER = """async () => {
  window.core = Under.createCore({databaseVersion: Under.DATABASE_VERSION + 1});
  await core.start();
}"""
SIGN_IN = "async (code) => { await core.enrol(code); await core.syncNow(); window.job = core.jobs.value[0].job_id; }"
OPEN = """() => new Promise((done) => {
  const open = indexedDB.open('undercroft');
  open.onsuccess = () => { window.db = open.result; done(); };
})"""
ALL = """(stores) => new Promise((done) => {
  const tx = db.transaction(stores);
  const gets = stores.map((store) => tx.objectStore(store).getAll());
  tx.oncomplete = () => done(gets.map((get) => get.result.map((row) => JSON.parse(JSON.stringify(row)))));
})"""
NEVER_OPENS = """const plain = IDBFactory.prototype.open;
IDBFactory.prototype.open = function (...args) {
  return Object.assign(plain.apply(this, args), {addEventListener() {}});
};"""
PHOTO = """window.shot = async (length) => {
  const bytes = new Uint8Array(length);
  for (let at = 0; at < length; at += 65536) crypto.getRandomValues(bytes.subarray(at, Math.min(at + 65536, length)));
  const hash = new Uint8Array(await crypto.subtle.digest('SHA-256', bytes));
  const sha256 = [...hash].map((byte) => byte.toString(16).padStart(2, '0')).join('');
  const body = {sha256, length_bytes: length, media_type: 'image/jpeg', width_px: 40, height_px: 30, check: null};
  return [{kind: 'photo_taken', body}, {bytes: bytes.buffer, sha256, width_px: 40, height_px: 30}];
}; 0"""


@pytest.fixture(scope="session")
def core_script(built_shell: None, tmp_path_factory: pytest.TempPathFactory) -> str:
    target = tmp_path_factory.mktemp("core") / "core.js"
    program = HERE.node_modules / "esbuild" / "bin" / "esbuild"
    form = ["--bundle", "--format=iife", "--global-name=Under", "--target=es2022", f"--outfile={target}"]
    run_node([program, "tests/browser_entry.ts", *form, "--log-level=warning"], folder=HERE.phone)
    return target.read_text("utf-8") + ";window.Under = Under; 0"


@pytest.fixture
def with_core(core_script: str, server: Server) -> Callable[[Page], Page]:
    """A page of the same origin without the shell's screens, so that nobody else works on the store."""

    def load(page: Page) -> Page:
        page.goto(f"{server.address}/healthz")
        page.evaluate(core_script)
        page.evaluate(PHOTO)
        page.evaluate(START)
        return page

    return load


@pytest.fixture
def signed_in(with_core: Callable[[Page], Page], company: Company, server: Server, phone: Chromium) -> Page:
    book(company)
    page = with_core(phone.start())
    page.evaluate(SIGN_IN, company.enrol_code(company.technician))
    return page


def rows(page: Page, *stores: str) -> Any:
    """The rows of one store; of several, all as they are in one moment."""
    page.evaluate(OPEN)
    found = page.evaluate(ALL, list(stores))
    page.evaluate("db.close()")
    return found[0] if len(stores) == 1 else found


WRITE_ON = """() => {
  (async () => {
    for (let n = 0; ; n++) {
      const [draft, photo] = await shot(20000);
      const words = crypto.randomUUID();
      await core.act(job, [{kind: 'note', body: {words}}, draft], photo);
      console.log('saved ' + words + ' ' + photo.sha256);
    }
  })();
}"""


@pytest.mark.timeout(180)
def test_a_browser_killed_while_it_writes_loses_nothing_that_it_called_saved(
    signed_in: Page, with_core: Callable[[Page], Page], phone: Chromium, server: Server
) -> None:
    saved: list[list[str]] = []
    chance = random.Random(5)
    page = signed_in
    for _ in range(5):
        page.on("console", lambda line: saved.append(line.text.split()[1:]) if line.text.startswith("saved ") else None)
        page.evaluate("window.job = core.jobs.value[0].job_id")
        phone.context.set_offline(True)
        before = len(saved)
        page.evaluate(WRITE_ON)
        until = time.monotonic() + 0.3 + chance.random()
        while time.monotonic() < until or len(saved) == before:
            page.wait_for_timeout(20)
        phone.kill()
        page = with_core(phone.start())
    events, waiting, kept = rows(page, "events", "outbox", "photos")
    own = [row["event"] for row in events if row["own"]]
    words = {event["body"].get("words") for event in own}
    photos = {row["sha256"] for row in kept}
    assert len(saved) >= 10
    assert [pair for pair in saved if pair[0] not in words or pair[1] not in photos] == []
    # None is half there: note and photo together, bytes and event together, each event with its row on the way out.
    kinds = Counter(event["kind"] for event in own)
    assert kinds["note"] == kinds["photo_taken"] == len(photos)
    assert {event["body"]["sha256"] for event in own if event["kind"] == "photo_taken"} == photos
    known = {row["id"] for row in events if row["known_ms"] is not None}
    assert {row["id"] for row in waiting} == {event["id"] for event in own} - known
    assert sorted(event["dev_seq"] for event in own) == list(range(1, len(own) + 1))


def test_text_is_saved_when_the_disk_has_no_room_for_the_photo(
    signed_in: Page, with_core: Callable[[Page], Page], phone: Chromium, server: Server
) -> None:
    act = f"""async () => {{
      const [draft, photo] = await shot(3000000);
      await core.act(core.jobs.value[0].job_id, [{NOTE}, draft], photo);
      return core.queue.value.trouble;
    }}"""
    # The browser keeps its idea of the free space for a while: the quota must shrink before the store is first used.
    phone.close()
    page = phone.start(f"{server.address}/healthz")
    devtools = phone.context.new_cdp_session(page)
    usage = devtools.send("Storage.getUsageAndQuota", {"origin": server.address})["usage"]
    devtools.send("Storage.overrideQuotaForOrigin", {"origin": server.address, "quotaSize": usage + 1_000_000})
    with_core(page)
    phone.context.set_offline(True)
    assert page.evaluate(act) == "disk_full"
    assert [row["event"]["kind"] for row in rows(page, "events") if row["own"]] == ["note"]
    assert rows(page, "photos") == []
    phone.close()
    page = with_core(phone.start())
    assert page.evaluate(act) != "disk_full"
    assert len(rows(page, "photos")) == 1


def test_two_windows_push_one_after_the_other_and_each_event_once(
    signed_in: Page, with_core: Callable[[Page], Page], phone: Chromium, server: Server
) -> None:
    page = signed_in
    other = with_core(phone.context.new_page())
    other.evaluate("window.job = core.jobs.value[0].job_id")
    phone.context.set_offline(True)
    for window in (page, other):
        window.evaluate(f"async () => {{ for (let n = 0; n < 5; n++) await core.act(job, [{NOTE}]); }}")
    sent: list[str] = []
    phone.context.on(
        "request", lambda request: sent.append(request.post_data or "") if "/events" in request.url else None
    )
    phone.context.set_offline(False)
    for window in (page, other):
        window.evaluate("() => { window.done = false; core.syncNow().then(() => (window.done = true)); }")
    for window in (page, other):
        while not window.evaluate("done"):
            window.wait_for_timeout(20)
    ids = [row["id"] for row in rows(page, "events") if row["own"]]
    assert len(ids) == 10
    assert [sum(f'"id":"{event_id}"' in body for body in sent) for event_id in ids] == [1] * 10
    assert rows(page, "outbox") == []
    numbers = [row["event"]["dev_seq"] for row in rows(page, "events") if row["own"]]
    assert sorted(numbers) == list(range(1, 11))


def test_an_old_and_a_new_shell_share_one_store(
    signed_in: Page, core_script: str, phone: Chromium, server: Server
) -> None:
    old = signed_in
    new = phone.context.new_page()
    new.goto(f"{server.address}/healthz")
    new.evaluate(core_script)
    new.evaluate(START_NEWER)
    assert new.evaluate("core.jobs.value.length") == 1
    old.evaluate(f"async () => {{ await core.act(job, [{NOTE}]); }}")
    assert [row["event"]["kind"] for row in rows(old, "events") if row["own"]] == ["note"]


def test_a_window_that_holds_the_store_is_named_and_nothing_hangs(
    signed_in: Page, core_script: str, phone: Chromium, server: Server
) -> None:
    holder = signed_in
    holder.evaluate("core.stop()")
    holder.evaluate(OPEN)  # a window that does not let go
    new = phone.context.new_page()
    new.goto(f"{server.address}/healthz")
    new.evaluate(core_script)
    new.evaluate(START_NEWER)
    assert new.evaluate("core.queue.value.trouble") == "update_blocked"
    holder.evaluate("db.close()")
    wait_until(new, "core.jobs.value.length === 1")
    assert new.evaluate("core.queue.value.trouble") is None


def test_an_evicted_store_comes_back_as_another_device(
    signed_in: Page, with_core: Callable[[Page], Page], company: Company, phone: Chromium, server: Server
) -> None:
    page = signed_in
    first = page.evaluate(f"async () => (await core.act(job, [{NOTE}])).view && core.saveQueueToFile()")
    assert "a note" in first["json"]
    page.evaluate("core.stop()")
    devtools = phone.context.new_cdp_session(page)
    devtools.send("Storage.clearDataForOrigin", {"origin": server.address, "storageTypes": "all"})
    page = with_core(page)
    assert page.evaluate("core.person.value") is None
    page.evaluate(SIGN_IN, company.enrol_code(company.technician))
    page.evaluate(f"async () => {{ await core.act(job, [{NOTE}]); }}")
    (own,) = [row["event"] for row in rows(page, "events") if row["own"]]
    assert own["dev_seq"] == 1
    assert own["device_id"] not in first["json"]


def test_a_start_that_takes_long_says_that_it_opens(phone: Chromium, server: Server) -> None:
    page = phone.start()
    page.add_init_script(NEVER_OPENS)
    page.goto(f"{server.address}/phone/")
    words = page.locator(".opening")
    wait_until(page, "getComputedStyle(document.querySelector('.opening')).contentVisibility === 'visible'")
    assert words.inner_text().startswith("Opening…")
    assert "Smell of gas, a CO alarm, or anybody unwell: everybody out first" in words.inner_text()
