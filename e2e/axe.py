"""Runs axe-core on a page. It goes in through the debugger, which no policy of the page forbids."""

from pathlib import Path
from typing import Any

from playwright.sync_api import Page

AXE = Path(__file__).parents[1] / "service_worker" / "node_modules" / "axe-core" / "axe.min.js"
TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
COLOURS = ["color-contrast", "link-in-text-block"]  # all that axe knows of colours, among those tags
RUN = """async (only) => {
  const { violations } = await axe.run(document, {
    runOnly: only, resultTypes: ["violations"],  // what passes is looked at, but not listed
  });
  return violations.map((v) => ({
    rule: v.id, impact: v.impact, help: v.help, where: v.nodes.map((n) => n.target.join(" ")).slice(0, 5),
  }));
}"""


STICKS_OUT = """async () => {
  await document.fonts.ready;
  await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));
  const { scrollWidth, clientWidth } = document.documentElement;
  const right = (one) => Math.round(one.getBoundingClientRect().right);
  const out = [...document.body.querySelectorAll("*")].filter((one) => right(one) > clientWidth).slice(0, 8);
  const told = out.map((one) => `${one.tagName.toLowerCase()}.${one.className} to ${right(one)}`);
  return scrollWidth > clientWidth ? [`scrolls sideways: ${scrollWidth} of ${clientWidth} px`, ...told] : [];
}"""


def sticks_out(page: Page) -> list[str]:
    """Return what makes the page scroll sideways, once its fonts are there and it stands still."""
    page.wait_for_load_state()
    found: list[str] = page.evaluate(STICKS_OUT)
    return found


def axe_violations(page: Page) -> list[dict[str, Any]]:
    """Return what axe finds wrong with WCAG 2.2 A and AA, and its best practices.

    The window is made as tall as the page meanwhile: what only waits to be scrolled from under a bar is not covered.
    """
    return _run(page, {"type": "tag", "values": TAGS})


def faint_colours(page: Page) -> list[dict[str, Any]]:
    """Return what axe finds wrong with the colours alone: of a page that was looked at in full in another theme."""
    return _run(page, {"type": "rule", "values": COLOURS})


def _run(page: Page, only: dict[str, Any]) -> list[dict[str, Any]]:
    page.wait_for_load_state()
    size = page.viewport_size
    if size is not None:
        page.set_viewport_size(
            {"width": size["width"], "height": page.evaluate("document.documentElement.scrollHeight")}
        )
    if page.evaluate("typeof axe === 'undefined'"):  # half a megabyte, read once for each document
        page.evaluate(AXE.read_text("utf-8") + "\n;undefined")
    found: list[dict[str, Any]] = page.evaluate(RUN, only)
    if size is not None:
        page.set_viewport_size(size)
    return found
