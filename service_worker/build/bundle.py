"""One minified file for each entry point; or a few, where an entry leaves something for later."""

import re
import tempfile
from collections.abc import Sequence
from pathlib import Path

from service_worker.build.node import run_node
from service_worker.build.places import Places

# Safari 16.4 is the first with all that the shell stands on (module workers, Web Locks, installs that wake up).
TARGET = "es2022,safari16.4"
# In a minified bundle line breaks stand only inside templates, where the indentation of HTML means nothing.
INDENTATION = re.compile(r"\n +")


def bundle(places: Places, entry: Path, *, form: str, without: Sequence[str] = ()) -> bytes:
    """Return the entry and all it imports, save the packages `without`, minified. `form`: "esm" or "iife"."""
    text = run_node(_esbuild(places, entry, form=form, without=without), folder=places.phone)
    return _as_shipped(places, text, form=form)


def bundle_in_parts(places: Places, entry: Path, *, without: Sequence[str] = ()) -> dict[str, bytes]:
    """Return the entry split at its `import()`s: name of the file → what is in it, minified.

    The entry has its own name; what it shares with a later part has a name that begins with "chunk". They name one
    another as "./name", so each must be renamed before those that name it.
    """
    command = _esbuild(places, entry, form="esm", without=without)
    with tempfile.TemporaryDirectory() as folder:
        run_node([*command, "--splitting", f"--outdir={folder}"], folder=places.phone)
        texts = {path.name: path.read_text("utf-8") for path in sorted(Path(folder).glob("*.js"))}
    return {name: _as_shipped(places, text, form="esm") for name, text in texts.items()}


def parts_in_order(parts: dict[str, bytes]) -> list[str]:
    """Return the names, each after all that it names."""
    order: list[str] = []
    while len(order) < len(parts):
        ready = [name for name in sorted(parts) if name not in order and not names_in(parts, name) - set(order)]
        if not ready:
            raise ValueError(f"the parts of the shell name one another in a circle: {sorted(set(parts) - set(order))}")
        order += ready
    return order


def names_in(parts: dict[str, bytes], name: str) -> set[str]:
    """Return the other parts that this one names."""
    return {other for other in parts if other != name and f"./{other}".encode() in parts[name]}


def _esbuild(places: Places, entry: Path, *, form: str, without: Sequence[str]) -> list[str | Path]:
    return [
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
    ]


def _as_shipped(places: Places, text: str, *, form: str) -> bytes:
    return INDENTATION.sub("\n", _smaller(places, text, form=form)).encode("utf-8")


def _smaller(places: Places, text: str, *, form: str) -> str:
    """Minify once more: 3 % less to send than esbuild alone gives (40.3 → 39.1 kB of our own)."""
    terser = places.node_modules / "terser" / "bin" / "terser"
    options = [
        "--compress",
        "passes=3,ecma=2020",
        "--mangle",
        "--ecma",
        "2020",
        *(["--module"] if form == "esm" else []),
    ]
    return run_node([terser, *options], folder=places.phone, given=text)
