"""What a thumb does on the screens, and what an eye reads from them.

Whatever reads waits first for what was set in motion: a test that acts and then reads needs no wait of its own. Only a
wait for something else than the rules' answers (a photo made smaller, a clock) is written out, with `until`.
"""

from typing import Any

from playwright.sync_api import Page

JOB = "00000000-0000-7000-8000-000000000110"
# A frame in which the shell had followed the address and the rules owed no answer: then all of it is on the screen.
STILL = """async () => {
  const frame = () => new Promise(requestAnimationFrame);
  while (document.documentElement.dataset.mounted === undefined) await frame();
  const { calls } = fake;
  for (;;) {
    const { begun, ended, hash } = calls;
    await frame();
    if (begun === ended && begun === calls.begun && hash === location.hash) return;
  }
}"""
LOOK_AGAIN_MS = 20
TRIES = 400
GATE_CODE_CHECK = "control_code"
GATE_AS_NORMAL = """procedure.gate.map((id) =>
  [id, fake.view.value.procedure.checks.find((one) => one.id === id).outcomes[0].id])"""


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
        self.page.evaluate(STILL)

    def tap(self, selector: str) -> None:
        """Tap, and wait for what comes of it."""
        self.page.click(selector)
        self.settle()

    def wait_minutes(self, minutes: int) -> None:
        """Have the page's clock that much later, until it is opened anew."""
        self.page.evaluate("(ms) => { const now = Date.now; Date.now = () => now() + ms; }", minutes * 60_000)

    def scroll(self, down_px: int) -> None:
        """Move the page, at once: a wheel's turn arrives some time later."""
        self.page.evaluate("(down) => scrollBy({ top: down, behavior: 'instant' })", down_px)
        self.settle()

    def reload(self) -> None:
        """Start the shell anew, and wait for its first screen."""
        self.page.reload()
        self.settle()

    def until(self, expression: str, arg: object = None) -> None:
        """Wait for something of the page; asked from outside, because its policy forbids `eval`."""
        self.settle()
        for _ in range(TRIES):
            if self.page.evaluate(expression, arg):
                return
            self.page.wait_for_timeout(LOOK_AGAIN_MS)
        raise AssertionError(f"never true: {expression}")

    def begin(self) -> None:
        """Open the booked job and start it."""
        self.tap(f'[data-job="{JOB}"]')
        self.tap("[data-start]")
        self.page.wait_for_selector("[data-check]")

    def asked(self) -> str | None:
        self.settle()
        found = self.page.locator("[data-check]").first
        return found.get_attribute("data-check") if found.count() else None

    def answer(self, outcome: str) -> None:
        """Tap an answer and wait until the next thing is asked."""
        before = self.asked()
        self.tap(f'[data-answer="{outcome}"]')
        if before is not None:
            self.until("(before) => document.querySelector('[data-check]')?.dataset.check !== before", before)

    def type_number(self, digits: str) -> None:
        for digit in digits:
            self.tap(f'[data-key="{"sign" if digit == "-" else digit}"]')

    def tap_through_gate(self) -> None:
        """Answer the whole gate as normal, with 2 ppm and a steady light."""
        for _ in range(12):
            if self.view("advice.gate.state") != "open":
                return
            if self.page.locator("[data-wanted]").count():
                self.tap("[data-wanted]")
                self.type_number("2")
                self.tap("[data-pad-done]")
            check = self.view("advice.gate.next_check")
            self.answer("steady" if check == GATE_CODE_CHECK else self.first_outcome(check))
        raise AssertionError("the gate has no end")

    def pass_gate(self) -> None:
        """Have in the record what `tap_through_gate` writes, at once: a test holds the two to be the same."""
        before = self.asked()
        drafts = [draft for check, outcome in self.view(GATE_AS_NORMAL) for draft in _gate_drafts(check, outcome)]
        self.page.evaluate("([job, drafts]) => fake.act(job, drafts)", [JOB, drafts])
        self.until("(before) => document.querySelector('[data-check]')?.dataset.check !== before", before)

    def look_at_what_may_fire(self) -> None:
        """Have in the record all that must stand before a burner runs, beside the gate."""
        asked = [need for need in self.view("procedure.may_fire") if not need.get("if_answered")]
        ours = [need for need in asked if need["check"] not in self.view("procedure.gate")]
        bodies = [{"check": need["check"], "outcome": need["outcomes"][0], "could_not": None} for need in ours]
        drafts = [{"kind": "check_answered", "body": body} for body in bodies]
        self.page.evaluate("([job, drafts]) => fake.act(job, drafts)", [JOB, drafts])

    def answer_to(self, *checks: str, **outcomes: str) -> None:
        """Open each check and answer it as named, or as normal."""
        for check in checks:
            self.go(f"check/{check}")
            self.tap(f'[data-answer="{outcomes.get(check) or self.first_outcome(check)}"]')
            self.until("(check) => fake.view.value.record.checks.some((one) => one.check === check)", check)

    def checks_without_sketch(self) -> list[str]:
        """The checks of the procedure whose screen shows no sketch, or one without words."""
        missing = []
        for check in self.view("procedure.checks"):
            self.go(f"check/{check['id']}")
            sketch = self.page.locator(".sketch")
            if sketch.count() != 1 or not sketch.get_attribute("aria-label"):
                missing.append(check["id"])
        return missing

    def first_outcome(self, check: str) -> str:
        return str(self.view(f"procedure.checks.find((c) => c.id === '{check}').outcomes[0].id"))

    def view(self, path: str) -> Any:
        """Something of the view that the core gave out last."""
        self.settle()
        return self.page.evaluate(f"fake.view.value.{path}")

    def words(self) -> str:
        self.settle()
        return self.page.locator("main").inner_text()

    def heading(self) -> str:
        self.settle()
        return self.page.locator("h1").inner_text()

    def focused(self) -> str:
        self.settle()
        return str(self.page.evaluate("document.activeElement.tagName"))

    def last_event(self, kind: str) -> Any:
        self.settle()
        return self.page.evaluate("(kind) => fake.written().filter((e) => e.kind === kind).at(-1) ?? null", kind)

    def last_body(self, kind: str) -> Any:
        """The body of the last event of that kind."""
        return self.last_event(kind)["body"]


def _gate_drafts(check: str, outcome: str) -> list[dict[str, Any]]:
    if check == GATE_CODE_CHECK:
        return [{"kind": "code_read", "schema": 2, "body": {"shown": "steady"}}]
    answer = {"check": check, "outcome": outcome, "could_not": None}
    room_co = {"check": check, "quantity": "co_room_ppm", "value": 2, "place": "room"}
    reading = [{"kind": "reading_taken", "body": room_co}] if check == "co_room" else []
    return [*reading, {"kind": "check_answered", "body": answer}]
