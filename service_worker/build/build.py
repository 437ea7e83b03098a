"""Build the phone's shell: `python service_worker/build/build.py [--if-stale]`."""

import argparse
import hashlib
import shutil
import sys
import time
import tomllib
from pathlib import Path

if __package__ in {None, ""}:  # run as a script: the packages hang on the root of the tree
    sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from service_worker.build.api_types import api_types, error_codes
from service_worker.build.assets import PREFIX, Assets
from service_worker.build.glossary import glossary_module
from service_worker.build.licences import licences
from service_worker.build.look import write_office_fonts
from service_worker.build.node import ensure_node_modules
from service_worker.build.one_at_a_time import one_at_a_time
from service_worker.build.places import HERE, Places
from service_worker.build.plain_words import plain_words_module
from service_worker.build.shell import build_shell
from service_worker.build.trade_types import trade_types
from service_worker.build.written import write_whole

SOURCE_SUFFIXES = {".py", ".ts", ".css", ".html", ".json", ".yaml", ".webmanifest", ".png", ".svg"}
NOT_SOURCES = {"node_modules", "generated", "built", "__pycache__", "tests"}


def build(places: Places) -> Assets:
    """Install, generate, bundle, write. Returns the files of the shell."""
    digest = sources_digest(places)  # before: what changes meanwhile makes the result stale
    with one_at_a_time(places.worker_generated / "build.lock"):
        ensure_node_modules(places)
        write_office_fonts(places)
        write_types(places)
        assets = build_shell(places, project_version(places))
        write_built(places, assets)
        stamp_file(places).write_text(digest, "utf-8")
    return assets


def write_types(places: Places) -> None:
    """Write the TypeScript that is made from Python, and from the trade's words."""
    write_whole(places.shell_generated / "trade.ts", trade_types(places.webapp / "trade"))
    write_whole(places.shell_generated / "api.ts", api_types(places))
    write_whole(places.shell_generated / "error_codes.ts", error_codes(places))
    write_whole(places.shell_generated / "glossary.ts", glossary_module(places))
    write_whole(places.shell_generated / "plain_words.ts", plain_words_module(places))


def write_built(places: Places, assets: Assets) -> None:
    """Write the files where the blueprint serves them: first all new ones, then the worker, last the old ones away."""
    kept = {places.built / _file_name(url) for url in assets.files} | {places.built / "licences.txt"}
    for url in sorted(assets.files, key=lambda url: (url.endswith("worker.js"), url)):
        write_whole(places.built / _file_name(url), assets.files[url])
    write_whole(places.built / "licences.txt", licences(places))
    for path in places.built.rglob("*"):
        if path.is_file() and path not in kept:
            path.unlink()


def _file_name(url: str) -> str:
    return url.removeprefix(PREFIX) or "index.html"


def project_version(places: Places) -> str:
    """Return the version in pyproject.toml."""
    return str(tomllib.loads((places.root / "pyproject.toml").read_text("utf-8"))["project"]["version"])


def stamp_file(places: Places) -> Path:
    """Return the note of what the last build was made from; outside `built`, so that no wheel holds it."""
    return places.worker_generated / "sources.sha256"


def sources_digest(places: Places) -> str:
    """Return one hash over all that goes into the shell."""
    total = hashlib.sha256((places.root / "pyproject.toml").read_bytes())
    for folder in (places.webapp, places.phone):
        for path in sorted(folder.rglob("*")):
            inside = path.relative_to(folder)
            if path.suffix in SOURCE_SUFFIXES and not NOT_SOURCES.intersection(inside.parts) and path.is_file():
                total.update(str(inside).encode() + b"\0" + path.read_bytes())
    return total.hexdigest()


def is_stale(places: Places) -> bool:
    """Say whether anything changed since the last build."""
    stamp = stamp_file(places)
    if not (stamp.exists() and (places.built / "worker.js").exists()):
        return True
    return stamp.read_text("utf-8") != sources_digest(places)


def clean(places: Places) -> None:
    """Take away what the build made."""
    for folder in (places.built, places.fonts.parent, places.shell_generated, places.worker_generated):
        shutil.rmtree(folder, ignore_errors=True)


def main() -> None:
    """Build, and say in a line what came out."""
    parser = argparse.ArgumentParser(description="Build the phone's shell.")
    parser.add_argument("--if-stale", action="store_true", help="only when a source changed since the last build")
    parser.add_argument("--clean", action="store_true", help="take away what the build made")
    options = parser.parse_args()
    if options.clean:
        clean(HERE)
        return
    if options.if_stale and not is_stale(HERE):
        print("The phone's shell is up to date.")
        return
    began = time.monotonic()
    assets = build(HERE)
    size_kb = sum(map(len, assets.files.values())) / 1000
    print(f"The phone's shell: {len(assets.files)} files, {size_kb:.0f} kB, built in {time.monotonic() - began:.1f} s.")


if __name__ == "__main__":
    main()
