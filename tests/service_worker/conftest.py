"""Bundles the phone's TypeScript for Node, and runs a real server for it."""

from __future__ import annotations

import shutil
import subprocess
import threading
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import Any

import pytest
from flask import Flask
from werkzeug.serving import make_server

from service_worker.build.build import build, is_stale
from service_worker.build.node import node_program, run_node
from service_worker.build.places import HERE
from webapp.extensions import Database
from webapp.keeping.backup import backup, restore

Bundle = Callable[..., list[Path]]


@pytest.fixture(scope="session")
def bundle_for_node(tmp_path_factory: pytest.TempPathFactory) -> Bundle:
    """Each entry with all it imports as one module; the build's own constants must be there."""
    if is_stale(HERE):
        build(HERE)

    def bundle(*entries: str) -> list[Path]:
        folder = tmp_path_factory.mktemp("bundles")
        (folder / "package.json").write_text('{"type": "module"}')
        run_node(
            [
                HERE.node_modules / "esbuild" / "bin" / "esbuild",
                *entries,
                "--bundle",
                "--platform=node",
                "--format=esm",
                "--target=node20",
                "--sourcemap=inline",
                "--log-level=warning",
                f"--outdir={folder}",
            ],
            folder=HERE.phone,
        )
        return sorted(folder.rglob("*.js"))

    return bundle


def run_in_node(arguments: Iterable[str | Path], *, seconds: float) -> subprocess.CompletedProcess[str]:
    """Run Node and hand back what it said, whatever came of it."""
    return subprocess.run(
        [node_program(), "--enable-source-maps", *map(str, arguments)],
        capture_output=True,
        text=True,
        timeout=seconds,
        check=False,
    )


class Control:
    """The app behind two more addresses: take a backup of the running store, put it back."""

    def __init__(self, app: Flask, data: Path) -> None:
        self.app, self.data = app, data
        self.database: Database = app.extensions["database"]
        self.copy = data / "copies" / "last"

    def __call__(self, environ: Any, start_response: Any) -> Iterable[bytes]:
        word = environ["PATH_INFO"].removeprefix("/control/")
        if word == "backup":
            shutil.rmtree(self.copy, ignore_errors=True)
            self.copy.parent.mkdir(exist_ok=True)
            backup(self.database, self.data, self.copy)
        elif word == "restore":
            restore(self.database, self.data, self.copy)
        else:
            return self.app(environ, start_response)
        start_response("204 No Content", [])
        return []


@pytest.fixture
def server_url(app: Flask, tmp_path: Path) -> Iterator[str]:
    """The real app on a free port of this machine."""
    server = make_server("127.0.0.1", 0, Control(app, tmp_path), threaded=True)
    thread = threading.Thread(target=server.serve_forever, daemon=True)
    thread.start()
    yield f"http://127.0.0.1:{server.server_port}"
    server.shutdown()
    thread.join()
