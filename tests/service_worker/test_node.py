"""The phone's own tests run in Node, on an IndexedDB in memory; this runs them and shows what failed."""

from __future__ import annotations

from service_worker.build.node import run_node
from service_worker.build.places import HERE
from tests.service_worker.conftest import Bundle, run_in_node


def test_core_of_the_phone(bundle_for_node: Bundle) -> None:
    entries = sorted(path.relative_to(HERE.phone).as_posix() for path in (HERE.phone / "tests").glob("*.test.ts"))
    done = run_in_node(["--test", "--test-reporter=tap", *bundle_for_node(*entries)], seconds=120)
    assert done.returncode == 0, done.stdout + done.stderr
    assert "# fail 0" in done.stdout
    passed = next(int(line.split()[2]) for line in done.stdout.splitlines() if line.startswith("# pass"))
    assert passed >= len(entries)


def test_types_of_the_phones_tests() -> None:
    run_node([HERE.node_modules / "typescript" / "bin" / "tsc", "-p", "tests/tsconfig.json"], folder=HERE.phone)
