"""Find a Chromium for the tests, or bring one: `python -m e2e.setup_browser` prints where it is.

In this order: the one named in UNDERCROFT_CHROMIUM, the one found last time, Playwright's own, the system's, apt's.
Every step has a time limit: on a machine that may not download, the next step is tried and nothing hangs.
"""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path

NAMES = ("chromium", "chromium-browser", "google-chrome", "google-chrome-stable")
NOTE = Path(sys.prefix) / "chromium-path"
DOWNLOAD_SECONDS = 60
OWN_PATH = """
from playwright.sync_api import sync_playwright
with sync_playwright() as playwright:
    print(playwright.chromium.executable_path)
"""
APT_SECONDS = 300


class NoBrowser(RuntimeError):
    """No Chromium is here and none could be brought."""


def chromium_path() -> str:
    """Return the program's path; brings one where there is none."""
    for way in (_named, _noted, _playwrights_own, _systems, _from_apt):
        path = way()
        if path:
            NOTE.write_text(path, "utf-8")
            return path
    raise NoBrowser("No Chromium: install one, or name its path in UNDERCROFT_CHROMIUM.")


def _named() -> str | None:
    return os.environ.get("UNDERCROFT_CHROMIUM")


def _noted() -> str | None:
    path = NOTE.read_text("utf-8") if NOTE.exists() else ""
    return path if path and Path(path).exists() else None


def _playwrights_own() -> str | None:
    if not _own_path():
        _ran([sys.executable, "-m", "playwright", "install", "chromium"], DOWNLOAD_SECONDS)
    return _own_path()


def _own_path() -> str | None:
    """Asked in a process of its own: a process that runs a Playwright already can start no second one."""
    asked = subprocess.run([sys.executable, "-c", OWN_PATH], capture_output=True, text=True, timeout=60, check=True)
    path = asked.stdout.strip()
    return path if Path(path).exists() else None


def _systems() -> str | None:
    return next((path for path in map(shutil.which, NAMES) if path), None)


def _from_apt() -> str | None:
    apt = shutil.which("apt-get")
    if apt is None or not _is_root():
        return None
    _ran([apt, "update", "--quiet"], APT_SECONDS)
    _ran([apt, "install", "--quiet", "--yes", "--no-install-recommends", "chromium"], APT_SECONDS)
    return _systems()


def _is_root() -> bool:
    who: Callable[[], int] | None = getattr(os, "geteuid", None)
    return who is not None and who() == 0


def _ran(command: Sequence[str], seconds: float) -> bool:
    """Run a step that may fail; say so on stderr in one line."""
    try:
        done = subprocess.run(command, capture_output=True, text=True, timeout=seconds, check=False)
    except subprocess.TimeoutExpired:
        print(f"{' '.join(command[:4])} took more than {seconds:.0f} s; going on", file=sys.stderr)
        return False
    if done.returncode != 0:
        print(f"{' '.join(command[:4])} ended with {done.returncode}; going on", file=sys.stderr)
    return done.returncode == 0


if __name__ == "__main__":
    print(chromium_path())
