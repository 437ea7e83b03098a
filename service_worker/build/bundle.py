"""One minified file for each entry point; or two, where an entry leaves something for later."""

import os
import re
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import NamedTuple

from service_worker.build.node import run_node
from service_worker.build.places import Places

# Safari 16.4 is the first with all that the shell stands on (module workers, Web Locks, installs that wake up).
TARGET = "es2022,safari16.4"
GLOBAL = "undercroft"  # where the first part lays what the late one takes
# In a minified bundle line breaks stand only inside templates, where the indentation of HTML means nothing.
INDENTATION = re.compile(r"\n +")


def bundle(places: Places, entry: Path, *, form: str, without: Sequence[str] = ()) -> bytes:
    """Return the entry and all it imports, save the packages `without`, minified. `form`: "esm" or "iife"."""
    text = run_node(_esbuild(places, entry, form=form, without=without), folder=places.phone)
    return _as_shipped(places, text, form=form)


class TwoParts(NamedTuple):
    """An entry, and what it leaves for later."""

    first: bytes
    late: bytes
    late_name: bytes
    """What the first calls the late part, which has no address yet."""


def bundle_in_two(places: Places, entry: Path, *, without: Sequence[str] = ()) -> TwoParts:
    """Return the entry split at its `import()`, minified; what both parts use is in the first, which hands it over.

    The first is a plain script: a worker's cache keeps that compiled, and a module as text (docs/adr/0232). Only where
    it is `without` its packages, to be measured, it stays a module. The late part is one, and names no other part.
    """
    with tempfile.TemporaryDirectory() as name:
        first, late, late_name = _in_two(places, entry, Path(name), without=without)
    plain = first if without else f'"use strict";(()=>{{{first}}})();'
    return TwoParts(
        first=_as_shipped(places, plain, form="esm" if without else "iife"),
        late=_as_shipped(places, late, form="esm"),
        late_name=late_name.encode(),
    )


def _in_two(places: Places, entry: Path, folder: Path, *, without: Sequence[str]) -> tuple[str, str, str]:
    """Split into entry, late and what they share; join first and last again. `folder`: for what comes between."""
    split = _esbuild(places, entry, form="esm", without=without)
    run_node([*split, "--splitting", f"--outdir={folder}"], folder=places.phone)
    late, shared = _the_one(folder, "late-*.js"), _the_one(folder, "chunk-*.js")
    late_text, names = taken_from_global(late.read_text("utf-8"), shared.name)
    joint = folder / "joint.js"
    joint.write_text(_handing_over(names, shared.name, f"{entry.stem}.js"), "utf-8")
    joined = _esbuild(places, joint, form="esm", without=[*without, f"./{late.name}"])
    return run_node(joined, folder=places.phone), late_text, f"./{late.name}"


def taken_from_global(text: str, shared: str) -> tuple[str, list[str]]:
    """Return a part's text that reads from the global what it imported of the shared part, and the names of that."""
    found = re.findall(rf'import{{([^}}]*)}}from"\./{re.escape(shared)}";', text)
    if len(found) != 1:
        raise ValueError(f"the late part imports {shared} {len(found)} times, not once")
    pairs = [one.split(" as ") for one in found[0].split(",")]
    taken = ",".join(f"{pair[0]}:{pair[-1]}" for pair in pairs)
    asked = f'import{{{found[0]}}}from"./{shared}";'
    return text.replace(asked, f"const{{{taken}}}={GLOBAL};"), [pair[0] for pair in pairs]


def _handing_over(names: Sequence[str], shared: str, entry: str) -> str:
    taken = ",".join(f"{name} as _{number}" for number, name in enumerate(names))
    handed = ",".join(f"{name}:_{number}" for number, name in enumerate(names))
    return f'import{{{taken}}}from"./{shared}";import"./{entry}";globalThis.{GLOBAL}={{{handed}}};'


def _the_one(folder: Path, pattern: str) -> Path:
    found = list(folder.glob(pattern))
    if len(found) != 1:
        raise ValueError(f"the shell comes in two parts, and there are {len(found)} {pattern}")
    return found[0]


def _esbuild(places: Places, entry: Path, *, form: str, without: Sequence[str]) -> list[str | Path]:
    return [
        places.node_modules / "esbuild" / "bin" / "esbuild",
        os.path.relpath(entry, places.phone),
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
