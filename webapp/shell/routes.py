"""Serves the built shell: the index, its worker, and assets named by their content."""

import hashlib
from pathlib import Path

from flask import Blueprint, Response, abort, send_from_directory
from werkzeug.security import safe_join

from webapp.shell.zipping import answer_zipped, says_it_varies

shell_bp = Blueprint("shell", __name__, url_prefix="/phone")

BUILT = Path(__file__).parent / "built"
# An asset's name changes with its bytes, so its copy is good for ever (RFC 8246).
FOR_EVER = "public, max-age=31536000, immutable"
MEDIA_TYPES = {
    ".html": "text/html",
    ".css": "text/css",
    ".svg": "image/svg+xml",
    ".png": "image/png",
    ".js": "text/javascript",
    ".mjs": "text/javascript",
    ".wasm": "application/wasm",
    ".woff2": "font/woff2",
    ".webmanifest": "application/manifest+json",
    ".json": "application/json",
    ".mpy": "application/octet-stream",
}


@shell_bp.get("/")
def index() -> Response:
    """The one page of the shell."""
    return _file("index.html", cache="no-cache")


@shell_bp.get("/worker.js")
def worker() -> Response:
    """The service worker: always asked for anew, or a bad release could never be taken back."""
    response = _file("worker.js", cache="no-cache")
    response.headers["Service-Worker-Allowed"] = "/phone/"
    return response


@shell_bp.get("/manifest.webmanifest")
def manifest() -> Response:
    """What makes the shell installable."""
    return _file("manifest.webmanifest", cache="no-cache")


@shell_bp.get("/assets/<path:name>")
def asset(name: str) -> Response:
    """A file whose name holds its hash."""
    path = _path(f"assets/{name}")
    response = answer_zipped(path, _media_type(path)) or _file(f"assets/{name}", cache=FOR_EVER)
    response.headers["Cache-Control"] = FOR_EVER
    return says_it_varies(response, path)


def _file(name: str, *, cache: str) -> Response:
    path = _path(name)
    response = send_from_directory(BUILT, name, mimetype=_media_type(path), etag=_tag(name, path))
    response.headers["Cache-Control"] = cache
    # Files of a reproducible build may all bear one date: only the tag says whether they changed.
    response.headers.pop("Last-Modified", None)
    return response


def _path(name: str) -> Path:
    """The built file of that name; 404 where there is none, 503 where nothing is built."""
    if not (BUILT / "index.html").is_file():
        abort(503, "The phone's shell is not built: run `make demo`, or service_worker/build/build.py.")
    path = safe_join(str(BUILT), name)
    if path is None or not Path(path).is_file():
        abort(404)
    return Path(path)


def _media_type(path: Path) -> str:
    # Not guessed: what a machine's own table says differs from machine to machine.
    return MEDIA_TYPES.get(path.suffix, "application/octet-stream")


def _tag(name: str, path: Path) -> str:
    """Return a validator made of the content: an asset's name is one already."""
    return name if name.startswith("assets/") else hashlib.sha256(path.read_bytes()).hexdigest()
