"""How much of our own the phone fetches before its first paint, as it travels."""

import gzip
import re
from typing import NamedTuple

from service_worker.build.bundle import bundle_in_two
from service_worker.build.places import Places

FIRST_PAINT_LIMIT_BYTES = 40_000
LIBRARIES = ("lit-html", "lit-html/*", "idb", "@preact/signals-core")
HASHES = re.compile(r'\{url:"[^"]+",integrity:"[^"]+"\},?')


class OwnBytes(NamedTuple):
    """Gzipped, libraries and the worker's list of hashes left out."""

    first: int
    """To the first paint, with the worker's code."""
    late: int
    """Of the part that comes after it."""
    worker: int
    """Of the worker's code, which is in `first` too."""


def own_bytes(places: Places) -> OwnBytes:
    """Measure the shell as it stands built in `places`."""
    parts = bundle_in_two(places, places.phone / "shell" / "main.ts", without=LIBRARIES)
    worker = zipped(HASHES.sub("", (places.built / "worker.js").read_text("utf-8")).encode("utf-8"))
    return OwnBytes(zipped(parts.first) + worker, zipped(parts.late), worker)


def zipped(content: bytes) -> int:
    """Bytes as they travel."""
    return len(gzip.compress(content, 9))
