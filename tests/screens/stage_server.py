"""A small server for the tests of the screens: bundle, strict policy, and the rules of the trade behind /call/."""

import json
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from functools import cache
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from threading import Thread

from service_worker.build.glossary import glossary_module
from service_worker.build.look import app_css, font_files, style_sheets
from service_worker.build.node import ensure_node_modules
from service_worker.build.places import HERE
from service_worker.build.plain_words import plain_words_module
from service_worker.build.written import write_whole
from webapp.procedures.loader import compiled
from webapp.trade.phone import call

POLICY = (
    "default-src 'none'; script-src 'self' 'wasm-unsafe-eval'; worker-src 'self'; style-src 'self'; "
    "img-src 'self' blob: data:; connect-src 'self'; font-src 'self'; manifest-src 'self'; "
    "base-uri 'none'; form-action 'self'; frame-ancestors 'none'"
)
TYPES = {".js": "text/javascript", ".css": "text/css", ".woff2": "font/woff2", ".json": "application/json"}
HTML = "text/html; charset=utf-8"
ESBUILD = ["--bundle", "--minify", "--charset=utf8", "--format=esm", "--target=es2022,safari16.4"]
PLACES_IN_INDEX = {"app_css": "app.css", "app_js": "app.js", "build": "test"}


def stage_files(procedure_name: str = "power_vent") -> dict[str, bytes]:
    """Everything that the page loads, by path."""
    return {**_files_of_any_procedure(), "/procedure.json": json.dumps(compiled(procedure_name)).encode()}


@cache
def _files_of_any_procedure() -> dict[str, bytes]:
    """The screens are bundled from their sources, once for all modules of tests."""
    ensure_node_modules(HERE)
    write_whole(HERE.shell_generated / "glossary.ts", glossary_module(HERE))
    write_whole(HERE.shell_generated / "plain_words.ts", plain_words_module(HERE))
    fonts = font_files(HERE)
    index = (HERE.phone / "shell" / "index.html").read_text("utf-8")
    for name, value in PLACES_IN_INDEX.items():
        index = index.replace("{{" + name + "}}", value)
    return {
        "/": index.encode(),
        "/empty": b"",
        "/app.js": _bundle(HERE.phone / "tests" / "screens" / "stage.ts"),
        "/app.css": app_css(style_sheets(HERE), {name: f"/{name}" for name in fonts}),
        "/sketches.json": (HERE.phone / "shell" / "sketches" / "sketches.json").read_bytes(),
        **{f"/{name}": content for name, content in fonts.items()},
    }


def _bundle(entry: Path) -> bytes:
    esbuild = HERE.node_modules / "esbuild" / "bin" / "esbuild"
    return subprocess.run([str(esbuild), str(entry), *ESBUILD], cwd=HERE.phone, capture_output=True, check=True).stdout


@contextmanager
def stage_server(port: int = 0, procedure_name: str = "power_vent") -> Iterator[str]:
    """Serve the stage with one procedure; gives its address."""
    files = stage_files(procedure_name)

    class Handler(BaseHTTPRequestHandler):
        def do_GET(self) -> None:
            path = self.path.split("?")[0]
            self._answer(files.get(path), TYPES.get(Path(path).suffix, HTML))

        def do_POST(self) -> None:
            args = self.rfile.read(int(self.headers["Content-Length"])).decode()
            self._answer(call(self.path.removeprefix("/call/"), args).encode(), "application/json")

        def _answer(self, content: bytes | None, kind: str) -> None:
            self.send_response(404 if content is None else 200)
            self.send_header("Content-Type", kind)
            if self.command == "GET":
                self.send_header("Cache-Control", "max-age=3600")  # nothing changes while its server runs
            self.send_header("Content-Security-Policy", POLICY)
            self.send_header("Content-Length", str(len(content or b"")))
            with suppress(BrokenPipeError, ConnectionResetError):  # a page that has left waits for no answer
                self.end_headers()
                self.wfile.write(content or b"")

        def log_message(self, *_: object) -> None:
            """Quiet."""

    server = ThreadingHTTPServer(("127.0.0.1", port), Handler)
    thread = Thread(target=server.serve_forever, daemon=True)
    thread.start()
    try:
        yield f"http://127.0.0.1:{server.server_address[1]}/"
    finally:
        server.shutdown()
        server.server_close()
        thread.join()
