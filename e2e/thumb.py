"""What a technician's thumb does in the walk, one screen after another, by a plan of answers."""

from collections.abc import Mapping

from playwright.sync_api import Page

LONGEST_WALK = 60
BLINK_MS = 500


def check_on_screen(page: Page) -> str | None:
    """Return the id of the check that is asked now; null where the walk asks nothing more."""
    page.locator("main [data-check], main .dock > a").first.wait_for()
    asked = page.locator("[data-check]")
    return asked.get_attribute("data-check") if asked.count() else None


def type_number(page: Page, number: str) -> None:
    """Type on the shell's own pad and keep it."""
    for key in number:
        page.click(f'[data-key="{"sign" if key == "-" else key}"]')
    page.click("[data-pad-done]")


def type_figures(page: Page, figures: Mapping[str, str]) -> None:
    """Type each figure on its own pad; one that is wanted opens the next one's by itself."""
    for quantity, figure in figures.items():
        if not page.locator(".pad").count():
            page.click(f'[data-wanted], [data-figure="{quantity}"]')
        type_number(page, figure)


def answer(page: Page, check: str, outcome: str) -> None:
    """Tap the outcome, and wait until it is saved and the next screen is there."""
    page.click(f'[data-answer="{outcome}"]')
    wait_until_left(page, check)


def tap_along(page: Page, flashes: int) -> None:
    """Tap with each blink, half a second apart, and keep the count."""
    for _ in range(flashes):
        page.click("[data-blink]")
        page.wait_for_timeout(BLINK_MS)
    page.click("[data-blinks-done]")


def read_code(page: Page, *, flashes: int, meaning: str) -> None:
    """Count the flashes on the control and type what its label says of them."""
    page.click('[data-answer="flashes"]')
    tap_along(page, flashes)
    page.fill("#meaning", meaning)
    page.click("[data-code-save]")
    wait_until_left(page, "control_code")


def wait_until_left(page: Page, check: str) -> None:
    """Wait until this check is no longer on the screen, and the strip says that its answer is on this phone."""
    page.locator(f'article[data-check="{check}"]').wait_for(state="detached")
    page.locator(".saved", has_text="Saved on this phone").wait_for()


def walk(
    page: Page, answers: Mapping[str, str], figures: Mapping[str, Mapping[str, str]], *, until: str | None = None
) -> list[str]:
    """Answer what the walk asks, the normal outcome where `answers` has no other; stop before `until`.

    Returns the checks in the order in which they were asked.
    """
    asked: list[str] = []
    for _ in range(LONGEST_WALK):
        check = check_on_screen(page)
        if check is None or check == until:
            return asked
        asked.append(check)
        if check == "control_code":
            read_code(page, flashes=3, meaning="Draft not proved")
            continue
        type_figures(page, figures.get(check, {}))
        normal = page.locator("[data-answer]").first.get_attribute("data-answer") or ""
        answer(page, check, answers.get(check, normal))
    raise AssertionError(f"the walk does not end: {asked}")
