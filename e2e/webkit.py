"""A second engine, WebKitGTK, for what iPhones do: found on the machine, or brought from apt by root."""

import os
import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from selenium.webdriver import WebKitGTK
from selenium.webdriver.webkitgtk.options import Options
from selenium.webdriver.webkitgtk.service import Service

APT_PACKAGES = ("webkit2gtk-driver", "xvfb", "xauth")
APT_SECONDS = 240
PAGE_SECONDS = 30


def find_webkit() -> tuple[str, str] | None:
    """Return the driver and the browser that belongs to it; null where the machine has none."""
    driver = shutil.which("WebKitWebDriver")
    browsers = sorted(Path("/usr").glob("lib/*/webkit2gtk-4.*/MiniBrowser"))
    return (driver, str(browsers[-1])) if driver and browsers and shutil.which("Xvfb") else None


def bring_webkit() -> tuple[str, str] | None:
    """Find it, or install it where we may."""
    found = find_webkit()
    if found is None and os.geteuid() == 0 and shutil.which("apt-get"):
        for words in ("update", f"install -y --no-install-recommends {' '.join(APT_PACKAGES)}"):
            command = ["apt-get", "-qq", *words.split()]
            subprocess.run(command, check=False, timeout=APT_SECONDS, capture_output=True, stdin=subprocess.DEVNULL)
        found = find_webkit()
    return found


@contextmanager
def webkit(driver: str, browser: str) -> Iterator[WebKitGTK]:
    """Start the engine on a screen of its own; both end with the block."""
    read_end, write_end = os.pipe()
    screen = subprocess.Popen(
        ["Xvfb", "-displayfd", str(write_end), "-screen", "0", "500x900x24", "-nolisten", "tcp"],
        pass_fds=[write_end],
        stderr=subprocess.DEVNULL,
    )
    os.close(write_end)
    try:
        with os.fdopen(read_end) as said:
            display = f":{said.readline().strip()}"
        options = Options()
        options.binary_location = browser
        options.add_argument("--automation")
        page = WebKitGTK(options=options, service=Service(driver, env=os.environ | {"DISPLAY": display}))
        page.set_page_load_timeout(PAGE_SECONDS)
        try:
            yield page
        finally:
            page.quit()
    finally:
        screen.terminate()
        screen.wait()
