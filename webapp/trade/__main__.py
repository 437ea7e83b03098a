"""Command line: `python -m webapp.trade --list`, and `python -m webapp.trade NAME < args.json`."""

from __future__ import annotations

import json
import sys

from .calls import CALLS
from .phone import call


def main(argv: list[str]) -> int:
    """List the calls, or run one with JSON from standard input; 0 when it answered, 1 when it refused, 2 for usage."""
    if argv == ["--list"]:
        for name, _function, words, described in CALLS:
            print(f"{name}: {words}")
            for argument, holds, unit in described:
                kind = " | ".join(holds) if isinstance(holds, tuple) else holds
                print(f"    {argument} ({kind}): {unit}")
        return 0
    if len(argv) != 1:
        print("usage: python -m webapp.trade --list | NAME < args.json", file=sys.stderr)
        return 2
    answer = json.loads(call(argv[0], sys.stdin.read()))
    print(json.dumps(answer, indent=2, sort_keys=True))
    return 0 if "ok" in answer else 1


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
