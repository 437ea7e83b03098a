"""Assets go gzipped to whoever takes them so: a phone's first signal may be a thin one.

The hashes of the precache list are those of the bytes as unpacked (W3C Subresource Integrity), so nothing else changes.
"""

import gzip
from functools import lru_cache
from pathlib import Path

from flask import Response, request

WORTH_IT = {".js", ".mjs", ".wasm", ".css", ".mpy", ".svg", ".json"}  # fonts and PNG are packed already
KEPT_FILES = 128


@lru_cache(maxsize=KEPT_FILES)
def _zipped(path: Path) -> bytes:
    """An asset's name holds its hash, so what was packed once stays right."""
    return gzip.compress(path.read_bytes(), 9, mtime=0)


def answer_zipped(path: Path, media_type: str) -> Response | None:
    """The file, packed; nothing where that is not wanted or not worth it (RFC 9110, 12.5.3)."""
    if path.suffix not in WORTH_IT or not request.accept_encodings.quality("gzip"):
        return None
    response = Response(_zipped(path), mimetype=media_type)
    response.headers["Content-Encoding"] = "gzip"
    response.set_etag(f"{path.name}-gzip")
    response.make_conditional(request)
    return response


def says_it_varies(response: Response, path: Path) -> Response:
    """Tell caches that another client may need the other form (RFC 9110, 12.5.5)."""
    if path.suffix in WORTH_IT:
        response.vary.add("Accept-Encoding")
    return response
