"""A phone: Chromium with a profile that outlives it, so that it can be killed and started again. A desk: a window."""

import contextlib
import os
import signal
import time
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Page, Playwright
from playwright.sync_api import Error as BrowserGone

ARGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
    "--disable-dev-shm-usage",
]
PHONE_SIZE: dict[str, Any] = {
    "viewport": {"width": 390, "height": 844},
    "device_scale_factor": 2,
    "is_mobile": True,
    "has_touch": True,
}
DESK_SIZE: dict[str, Any] = {"viewport": {"width": 1280, "height": 800}}
DIE_SECONDS = 10
TIMEOUT_MS = 15_000


class Desk:
    """A window of the one browser that all desks share: its cookies and stores are its own, and end with it."""

    def __init__(self, browser: Browser, **options: Any) -> None:
        self._browser = browser
        self._options = options
        self._context: BrowserContext | None = None

    def start(self, address: str | None = None) -> Page:
        """Open the window."""
        self._context = self._browser.new_context(**self._options)
        self._context.set_default_timeout(TIMEOUT_MS)
        page = self._context.new_page()
        if address:
            page.goto(address)
        return page

    def close(self) -> None:
        """Close it."""
        if self._context is not None:
            self._context.close()
            self._context = None


class Chromium:
    """One profile folder and, between `start` and `close` or `kill`, the browser that has it open."""

    def __init__(self, playwright: Playwright, program: str, profile: Path, **options: Any) -> None:
        self.profile = profile
        self._playwright = playwright
        self._program = program
        self._options = options
        self._context: BrowserContext | None = None

    @property
    def context(self) -> BrowserContext:
        """The running browser's context."""
        if self._context is None:
            raise RuntimeError("the browser is not started")
        return self._context

    def start(self, address: str | None = None, *, offline: bool = False) -> Page:
        """Start the browser on this profile; with `offline` it has no network from its first moment on."""
        self._context = self._playwright.chromium.launch_persistent_context(
            self.profile, executable_path=self._program, args=ARGS, offline=offline, **self._options
        )
        self._context.set_default_timeout(TIMEOUT_MS)
        page = self._context.pages[0] if self._context.pages else self._context.new_page()
        if address:
            page.goto(address)
        return page

    def close(self) -> None:
        """Close it in good order."""
        if self._context is not None:
            with contextlib.suppress(BrowserGone):  # it was killed in the middle of something
                self._context.close()
            self._context = None

    def kill(self) -> int:
        """End the browser's main process by its pid, with SIGKILL, in whatever it does; return the pid."""
        pid = self.pid()
        os.kill(pid, signal.SIGKILL)
        until = time.monotonic() + DIE_SECONDS
        while self._pids():
            if time.monotonic() > until:
                raise RuntimeError(f"browser {pid} is still there")
            time.sleep(0.02)
        self.close()
        self._forget_locks()
        return pid

    def pid(self) -> int:
        """Return the pid of the process that has this profile open (its children carry `--type=`)."""
        (pid,) = [pid for pid, words in self._pids().items() if not any(w.startswith("--type=") for w in words)]
        return pid

    def _pids(self) -> dict[int, list[str]]:
        mine = f"--user-data-dir={self.profile}"
        found = {}
        for folder in Path("/proc").iterdir():
            if folder.name.isdigit():
                words = _command_line(folder)
                if mine in words:
                    found[int(folder.name)] = words
        return found

    def _forget_locks(self) -> None:
        """A killed browser leaves its lock behind; it names a process that is gone."""
        for name in ("SingletonLock", "SingletonCookie", "SingletonSocket"):
            (self.profile / name).unlink(missing_ok=True)


def _command_line(folder: Path) -> list[str]:
    try:
        text = (folder / "cmdline").read_bytes()
        state = (folder / "stat").read_text("ascii", "replace").rpartition(")")[2].split()[0]
    except OSError:
        return []
    return [] if state == "Z" else text.decode("utf-8", "replace").split("\0")
