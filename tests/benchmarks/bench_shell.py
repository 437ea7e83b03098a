"""The phone's figures, in a real Chromium, of the shell as it is shipped.

Run by `make bench`, or `python tests/benchmarks/bench_shell.py [COLD_STARTS] [JOBS]`.
"""

import sys
import tempfile
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from playwright.sync_api import CDPSession, Page, sync_playwright

if __package__ in {None, ""}:
    sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from e2e.company import Company, found_company
from e2e.phone import PHONE_SIZE, Chromium
from e2e.server import Server
from e2e.setup_browser import chromium_path
from e2e.technician import answer_anyhow, begin, book, sign_in, wait_until
from service_worker.build.places import HERE
from service_worker.build.sizes import FIRST_PAINT_LIMIT_BYTES, own_bytes, zipped

SLOWDOWN = 4
MOST_ANSWERS = 60
ENGINE = ("engine-*.js", "*.wasm", "*.mjs", "*.mpy")

# What runs right after a frame was painted: a message sent from that frame's callback.
PAINTED = """
const painted = (then) => requestAnimationFrame(() => {
  const { port1, port2 } = new MessageChannel();
  port1.onmessage = then;
  port2.postMessage(null);
});
"""
# When the list of jobs has been painted.
WATCH_START = (
    PAINTED
    + """
new MutationObserver((_, watch) => {
  if (!document.querySelector("[data-job]")) return;
  watch.disconnect();
  painted(() => { window.usefulAt = performance.now(); console.debug("the list is painted"); });
}).observe(document, {childList: true, subtree: true});
"""
)
# From the tap on an answer to `complete` of the last writing transaction, and to the frame that shows another check.
WATCH_TAPS = (
    PAINTED
    + """
window.taps = [];
let tap = null;
addEventListener("click", (event) => {
  if (!event.target.closest?.("[data-answer]")) return;
  const now = document.querySelector("[data-check]")?.dataset.check;
  tap = {check: now, at: event.timeStamp, durable: null, next: null, strict: null};
  window.taps.push(tap);
}, {capture: true});
const plain = IDBDatabase.prototype.transaction;
IDBDatabase.prototype.transaction = function (stores, mode, options) {
  const transaction = plain.call(this, stores, mode, options);
  const mine = tap;
  if (mode === "readwrite" && mine && mine.durable === null) {
    mine.strict ??= transaction.durability;
    transaction.addEventListener("complete", () => { mine.durable ??= performance.now() - mine.at; });
  }
  return transaction;
};
new MutationObserver(() => {
  const now = document.querySelector("[data-check]")?.dataset.check;
  if (!tap || tap.next !== null || !now || now === tap.check) return;
  const mine = tap;
  mine.next = 0;
  painted(() => { mine.next = performance.now() - mine.at; });
}).observe(document, {childList: true, subtree: true, attributes: true, attributeFilter: ["data-check"]});
"""
)


@dataclass
class Taps:
    """Milliseconds from the tap on an answer."""

    durable: list[float] = field(default_factory=list)
    next_check: list[float] = field(default_factory=list)


def main(cold_starts: int = 7, jobs: int = 4) -> None:
    """Print the figures."""
    print_sizes()
    with running() as (phone, company, server):
        booked = [book(company, street=f"{number} Kiln Row") for number in range(1, 2 * jobs + 1)]
        page = phone.start()
        print(f"in {page.context.browser.version if page.context.browser else 'Chromium'}")
        sign_in(page, company, company.technician, server.address)
        phone.close()
        starts = [cold_start_ms(phone, server) for _ in range(cold_starts)]
        print_line(f"offline cold start to the list of jobs, {SLOWDOWN}x slower CPU", starts, limit_ms=500)
        for slowdown, some in ((1, booked[:jobs]), (SLOWDOWN, booked[jobs:])):
            taps = walk(phone, server, [one.job_id for one in some], slowdown)
            print_line(f"tap → durable (strict), {slowdown}x", taps.durable, limit_ms=50)
            print_line(f"answer → next check painted, {slowdown}x", taps.next_check, limit_ms=100)


@contextmanager
def running() -> Iterator[tuple[Chromium, Company, Server]]:
    """Give a phone and a server with its people, in a folder that goes away."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        company = found_company(Path(folder) / "data")
        server = Server(company.data).start()
        phone = Chromium(playwright, chromium_path(), Path(folder) / "profile", **PHONE_SIZE)
        try:
            yield phone, company, server
        finally:
            phone.close()
            server.stop()


def print_sizes() -> None:
    """Our own JavaScript as it travels; libraries, the worker's list of hashes, and the engine with its rules apart."""
    shipped = {name: _zipped(next(HERE.built.glob(f"assets/{name}-*.js"))) for name in ("app", "late")}
    own = own_bytes(HERE)
    worker = _zipped(HERE.built / "worker.js")
    engine = sum(_zipped(path) for pattern in ENGINE for path in (HERE.built / "assets").glob(pattern))
    limit = f"{FIRST_PAINT_LIMIT_BYTES / 1000:.0f}"
    verdict = "within" if own.first <= FIRST_PAINT_LIMIT_BYTES else "OVER"
    print(f"own JavaScript to the first paint, gzipped: {own.first / 1000:.1f} kB ({verdict} {limit})")
    print(f"  with the second part, fetched after the first paint: {(own.first + own.late) / 1000:.1f} kB")
    libraries = sum(shipped.values()) - own.first - own.late + own.worker
    print(f"  libraries {libraries / 1000:.1f} kB, list of hashes {(worker - own.worker) / 1000:.1f} kB")
    drawings = sum(_zipped(path) for path in (HERE.built / "assets").glob("sketches-*.json"))
    print(f"  drawings, as data {drawings / 1000:.1f} kB")
    print(f"  engine, its bridge and the rules {engine / 1000:.1f} kB")


def _zipped(path: Path) -> int:
    return zipped(path.read_bytes())


def slow_down(page: Page, rate: int) -> CDPSession:
    """Make the page's processor so many times slower, as the browser's own tools do."""
    session = page.context.new_cdp_session(page)
    session.send("Emulation.setCPUThrottlingRate", {"rate": rate})
    return session


def cold_start_ms(phone: Chromium, server: Server) -> float:
    """A new browser process, no network; from the start of the navigation to the list of jobs on the screen."""
    page = phone.start(offline=True)
    page.add_init_script(WATCH_START)
    slow_down(page, SLOWDOWN)
    # Not asked again and again: each question holds a slow page up for some milliseconds.
    with page.expect_console_message(lambda message: message.text == "the list is painted"):
        page.goto(f"{server.address}/phone/", wait_until="commit")
    useful_at: float = page.evaluate("window.usefulAt")
    phone.close()
    return useful_at


def walk(phone: Chromium, server: Server, job_ids: Sequence[str], slowdown: int) -> Taps:
    """Walk each job offline with the plainest answers until no check is left."""
    taps = Taps()
    page = phone.start(offline=True)
    page.add_init_script(WATCH_TAPS)
    slow_down(page, slowdown)
    for job_id in job_ids:
        page.goto(f"{server.address}/phone/?{job_id}#/jobs")  # the query makes it a new page, not a change of hash
        begin(page, job_id)
        for _ in range(MOST_ANSWERS):
            if not page.locator("[data-check], .pad").count():
                break
            answer_anyhow(page)
            wait_until(page, "!window.taps.length || window.taps.at(-1).durable !== null")
            page.wait_for_timeout(150 * slowdown)
        collect(page, taps)
    phone.close()
    return taps


def collect(page: Page, taps: Taps) -> None:
    """Take the page's figures; a tap that only opened another part of the same check has no next check."""
    for tap in page.evaluate("window.taps"):
        if tap["durable"] is not None:
            if tap["strict"] != "strict":
                raise RuntimeError("an answer was saved without strict durability")
            taps.durable.append(tap["durable"])
        if tap["next"]:
            taps.next_check.append(tap["next"])


def print_line(words: str, times_ms: Sequence[float], *, limit_ms: float) -> None:
    """Print median, 95th percentile (nearest rank) and the largest."""
    ordered = sorted(times_ms)
    p95 = ordered[max(0, -(-95 * len(ordered) // 100) - 1)]
    middle = ordered[len(ordered) // 2]
    verdict = f"{'within' if p95 <= limit_ms else 'OVER'} {limit_ms:.0f}"
    figures = f"median {middle:.0f} ms, p95 {p95:.0f} ms, most {ordered[-1]:.0f} ms, n={len(ordered)}"
    print(f"{words}: {figures} ({verdict})")


if __name__ == "__main__":
    main(*map(int, sys.argv[1:3]))
