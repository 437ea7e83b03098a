"""One esbuild bundle for each entry point."""

import re
from collections.abc import Sequence
from pathlib import Path

from service_worker.build.node import run_node
from service_worker.build.places import Places

# Safari 16.4 is the first with all that the shell stands on (module workers, Web Locks, installs that wake up).
TARGET = "es2022,safari16.4"
# In a minified bundle line breaks stand only inside templates, where the indentation of HTML means nothing.
INDENTATION = re.compile(r"\n {2,}")


def bundle(places: Places, entry: Path, *, form: str, without: Sequence[str] = ()) -> bytes:
    """Return the entry and all it imports, save the packages `without`, minified. `form`: "esm" or "iife"."""
    text = run_node(
        [
            places.node_modules / "esbuild" / "bin" / "esbuild",
            entry.relative_to(places.phone).as_posix(),
            "--bundle",
            "--minify",
            "--charset=utf8",
            "--legal-comments=none",
            "--log-level=warning",
            f"--format={form}",
            f"--target={TARGET}",
            "--tsconfig=tsconfig.json",
            *(f"--external:{name}" for name in without),
        ],
        folder=places.phone,
    )
    return INDENTATION.sub("\n", text).encode("utf-8")
