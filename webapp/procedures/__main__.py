"""Command line: `python -m webapp.procedures` validates and sums up; `--compiled NAME` prints the compiled JSON."""

from __future__ import annotations

import sys

from webapp.procedures.compile import canonical_json, compile_procedure
from webapp.procedures.loader import compiled, list_procedures, source
from webapp.procedures.validate import problems


def main(argv: list[str]) -> int:
    """0 when every procedure passes, 1 when one does not."""
    if argv[:1] == ["--compiled"] and argv[1:] and argv[1] in list_procedures():
        print(canonical_json(dict(compiled(argv[1]))))
        return 0
    return max((_sum_up(name) for name in list_procedures()), default=1)


def _sum_up(name: str) -> int:
    written = source(name)
    found = problems(written)
    for problem in found:
        print(f"{name}: {problem}")
    if found:
        return 1
    procedure = compile_procedure(written)
    minutes = sum(check["minutes"] for check in procedure["checks"])
    print(f"{name}: {procedure['hash'][:12]}, {len(procedure['causes'])} causes, {len(procedure['checks'])} checks")
    for sense in procedure["senses"]:
        ids = [check["id"] for check in procedure["checks"] if check["sense"] == sense]
        print(f"    {sense}: {', '.join(ids)}")
    print(f"    {minutes:.0f} minutes if everything were done; {procedure['likelihood_source']}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
