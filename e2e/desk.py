"""What somebody does at a desk of the office."""

from playwright.sync_api import Page

from e2e.company import Worker


def sign_in_at_the_desk(page: Page, address: str, worker: Worker) -> None:
    """Type login and password; the day's jobs are what one sees then."""
    page.goto(f"{address}/sign-in")
    page.fill("#login", worker.login)
    page.fill("#password", worker.password)
    page.click("main button[type=submit]")
    page.wait_for_url("**/jobs")


def ask_only_for_pages(page: Page) -> None:
    """Let no script of the page ask the server: a late answer would bring the cookie back that a test takes away."""
    page.route("**/*", lambda route: route.abort() if route.request.resource_type == "fetch" else route.continue_())
