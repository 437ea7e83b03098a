"""Picture every screen at phone and desk size, into docs/screenshots: `make screenshots`."""

import io
import tempfile
from pathlib import Path

from PIL import Image
from playwright.sync_api import Page, ViewportSize, sync_playwright

from e2e.phone import Chromium
from e2e.server import ROOT, Server
from e2e.setup_browser import chromium_path
from e2e.tour import make_demo, office_tour, owner_tour, phone_tour

FOLDER = ROOT / "docs" / "screenshots"
SIZES: list[ViewportSize] = [{"width": 390, "height": 844}, {"width": 1280, "height": 800}]
SETTLE_MS = 250
COLOURS = 256


def main() -> None:
    """Take them all anew; the old ones stay until the last new one is taken."""
    taken: dict[str, bytes] = {}
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        demo = make_demo(Path(folder) / "data")
        server = Server(demo.data).start()
        for house, tour in (("office", office_tour), ("owner", owner_tour), ("phone", phone_tour)):
            chromium = Chromium(playwright, chromium_path(), Path(folder) / house, viewport=SIZES[0])
            page = chromium.start()
            try:
                for name in tour(page, demo, server.address):
                    taken |= shoot(page, f"{house}-{name}")
            finally:
                chromium.close()
        server.stop()
    FOLDER.mkdir(parents=True, exist_ok=True)
    for old in FOLDER.glob("*.webp"):
        old.unlink()
    for name, picture in taken.items():
        (FOLDER / name).write_bytes(picture)


def shoot(page: Page, name: str) -> dict[str, bytes]:
    """Take the screen at each size, as much of it as one sees without scrolling."""
    taken: dict[str, bytes] = {}
    for size in SIZES:
        page.set_viewport_size(size)
        page.wait_for_timeout(SETTLE_MS)
        file_name = f"{name}-{size['width']}x{size['height']}.webp"
        taken[file_name] = small_picture(page.screenshot(animations="disabled", caret="hide"))
        print(file_name)
    page.set_viewport_size(SIZES[0])
    return taken


def small_picture(png: bytes) -> bytes:
    """Return the picture in COLOURS colours, undithered, as lossless WebP: sharp letters at a fifth of the bytes."""
    whole = Image.open(io.BytesIO(png)).convert("RGB")
    few = whole.quantize(COLOURS, method=Image.Quantize.FASTOCTREE, dither=Image.Dither.NONE).convert("RGB")
    small = io.BytesIO()
    few.save(small, "WEBP", lossless=True, method=6)
    return small.getvalue()


if __name__ == "__main__":
    main()
