"""What a thumb does on the screens, and what an eye reads from them."""

from typing import Any

from playwright.sync_api import Page

JOB = "00000000-0000-7000-8000-000000000110"
SETTLE_MS = 80
TRIES = 100
GATE_CODE_CHECK = "control_code"


class Hand:
    """A technician at the stage."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def go(self, screen: str) -> None:
        """Open a screen of the booked job, or an address that begins with a slash."""
        target = f"#{screen}" if screen.startswith("/") else f"#/job/{JOB}/{screen}"
        self.page.evaluate("(target) => { location.hash = target; }", target)
        self.settle()

    def settle(self) -> None:
        """Wait until what was set in motion is on the screen."""
        self.page.wait_for_timeout(SETTLE_MS)

    def until(self, expression: str, arg: object = None) -> None:
        """Wait for something of the page; asked from outside, because its policy forbids `eval`."""
        for _ in range(TRIES):
            if self.page.evaluate(expression, arg):
                return
            self.page.wait_for_timeout(SETTLE_MS)
        raise AssertionError(f"never true: {expression}")

    def begin(self) -> None:
        """Open the booked job and start it."""
        self.page.click(f'[data-job="{JOB}"]')
        self.page.click("[data-start]")
        self.page.wait_for_selector("[data-check]")

    def asked(self) -> str | None:
        found = self.page.locator("[data-check]").first
        return found.get_attribute("data-check") if found.count() else None

    def answer(self, outcome: str) -> None:
        """Tap an answer and wait until the next thing is asked."""
        before = self.asked()
        self.page.click(f'[data-answer="{outcome}"]')
        if before is not None:
            self.until("(before) => document.querySelector('[data-check]')?.dataset.check !== before", before)
        self.settle()

    def type_number(self, digits: str) -> None:
        for digit in digits:
            self.page.click(f'[data-key="{"sign" if digit == "-" else digit}"]')

    def pass_gate(self) -> None:
        """Answer the whole gate as normal, with 2 ppm and a steady light."""
        for _ in range(12):
            if self.view("advice.gate.state") != "open":
                return
            if self.page.locator("[data-wanted]").count():
                self.page.click("[data-wanted]")
                self.type_number("2")
                self.page.click("[data-pad-done]")
            check = self.view("advice.gate.next_check")
            self.answer("steady" if check == GATE_CODE_CHECK else self.first_outcome(check))
        raise AssertionError("the gate has no end")

    def first_outcome(self, check: str) -> str:
        return str(self.view(f"procedure.checks.find((c) => c.id === '{check}').outcomes[0].id"))

    def view(self, path: str) -> Any:
        """Something of the view that the core gave out last."""
        return self.page.evaluate(f"fake.view.value.{path}")

    def words(self) -> str:
        return self.page.locator("main").inner_text()

    def heading(self) -> str:
        return self.page.locator("h1").inner_text()

    def focused(self) -> str:
        return str(self.page.evaluate("document.activeElement.tagName"))

    def last_event(self, kind: str) -> Any:
        return self.page.evaluate("(kind) => fake.written().filter((e) => e.kind === kind).at(-1) ?? null", kind)

    def last_body(self, kind: str) -> Any:
        """The body of the last event of that kind."""
        return self.last_event(kind)["body"]
