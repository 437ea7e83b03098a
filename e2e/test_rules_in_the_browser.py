"""The rules as the phone's own worker runs them, in Chromium under the shell's policy, against CPython."""

import json
from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page

from e2e.phone import Chromium
from e2e.server import Server
from service_worker.build.places import HERE
from tests.trade.conftest import assert_same
from tests.trade.making import event
from webapp.procedures import compiled
from webapp.trade.phone import call

ASK = """async ([url, id, name, args]) => {
  const worker = (window.rulesWorker ??= new Worker(url, {type: "module"}));
  return await new Promise((done, failed) => {
    worker.onmessage = ({data}) => data.id === id && done([data.text ?? data.failed, data.heap_bytes]);
    worker.onerror = (error) => failed(new Error(error.message));
    worker.postMessage({id, name, args});
  });
}"""

pytestmark = pytest.mark.slow


@pytest.fixture
def in_worker(server: Server, phone: Chromium) -> Callable[[str, dict[str, Any]], tuple[str, int]]:
    """The answer's text, and what the call before it left in the engine's memory."""
    page: Page = phone.start(f"{server.address}/phone/")
    (worker,) = (HERE.built / "assets").glob("engine-*.js")
    asked = 0

    def ask(name: str, args: dict[str, Any]) -> tuple[str, int]:
        nonlocal asked
        asked += 1
        text, heap_bytes = page.evaluate(ASK, [f"/phone/assets/{worker.name}", asked, name, json.dumps(args)])
        return text, heap_bytes

    return ask


@pytest.fixture
def in_browser(in_worker: Callable[[str, dict[str, Any]], tuple[str, int]]) -> Callable[[str, dict[str, Any]], Any]:
    return lambda name, args: json.loads(in_worker(name, args)[0])


def _events(procedure_hash: str) -> list[dict[str, Any]]:
    answers = [("smell_of_gas", "no_smell"), ("terminal", "nest_or_debris"), ("suction_at_switch", "short")]
    bodies: list[tuple[str, dict[str, Any]]] = [("job_opened", {"procedure_hash": procedure_hash})]
    bodies += [("check_answered", {"check": check, "outcome": one, "could_not": None}) for check, one in answers]
    bodies += [("reading_taken", {"check": "suction_at_switch", "quantity": "suction_in_wc", "value": -0.21})]
    return [event(number, kind, body) for number, (kind, body) in enumerate(bodies, 1)]


def test_the_phones_engine_in_the_browser_answers_as_the_server_does(
    in_browser: Callable[[str, dict[str, Any]], Any],
) -> None:
    procedure = compiled("power_vent")
    cases: list[tuple[str, dict[str, Any]]] = [
        ("load_procedure", {"procedure": procedure}),
        ("step", {"procedure_hash": procedure["hash"], "events": _events(procedure["hash"])}),
        ("history_entry", {"procedure_hash": procedure["hash"], "events": _events(procedure["hash"])}),
        ("suction_outcome", {"suction_in_wc": -0.21, "make_point_in_wc": 0.36, "tap": "suction"}),
        ("convert", {"value": 11.0, "from_unit": "in_wc", "to_unit": "Pa"}),
        ("rank", {"procedure_hash": "never loaded", "evidence": []}),
    ]
    for name, args in cases:
        here = json.loads(call(name, json.dumps(args)))
        assert_same(here, in_browser(name, args), name)


def test_nothing_is_collected_before_an_answer_is_out(
    in_worker: Callable[[str, dict[str, Any]], tuple[str, int]],
) -> None:
    procedure = compiled("power_vent")
    little = ("convert", {"value": 11.0, "from_unit": "in_wc", "to_unit": "Pa"})
    in_worker("load_procedure", {"procedure": procedure})
    in_worker(*little)
    _, after_little = in_worker("step", {"procedure_hash": procedure["hash"], "events": _events(procedure["hash"])})
    _, after_much = in_worker(*little)
    assert after_much > after_little + 100_000
