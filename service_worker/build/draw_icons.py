"""Draw the PNG icons from the SVGs, by hand after a change: `python -m service_worker.build.draw_icons CHROMIUM`."""

import sys

from playwright.sync_api import sync_playwright

from service_worker.build.places import HERE

FOLDER = HERE.phone / "icons"
ICONS = [("icon", 180), ("icon", 192), ("icon", 512), ("icon-maskable", 512)]


def draw(chromium: str) -> None:
    """Write one PNG for each size."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        for name, side_px in ICONS:
            page = browser.new_page(viewport={"width": side_px, "height": side_px})
            svg = (FOLDER / f"{name}.svg").read_text("utf-8")
            sized = svg.replace("<svg ", f'<svg width="{side_px}" height="{side_px}" ', 1)
            page.set_content(f"<style>body{{margin:0}}svg{{display:block}}</style>{sized}")
            page.screenshot(path=FOLDER / f"{name}-{side_px}.png", omit_background=True)
            page.close()
        browser.close()


if __name__ == "__main__":
    draw(sys.argv[1])
