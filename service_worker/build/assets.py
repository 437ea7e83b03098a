"""Named by content: an asset's address changes when, and only when, its bytes do."""

import base64
import hashlib
from pathlib import PurePosixPath

PREFIX = "/phone/"


class Assets:
    """The files of one build: address → bytes."""

    def __init__(self) -> None:
        self.files: dict[str, bytes] = {}

    def add(self, name: str, content: bytes) -> str:
        """Take a file under /phone/assets/ with its hash in the name; return its address."""
        path = PurePosixPath(name)
        stem = path.with_suffix("").as_posix().replace("/", ".")
        url = f"{PREFIX}assets/{stem}-{hashlib.sha256(content).hexdigest()[:12]}{path.suffix}"
        self.files[url] = content
        return url

    def put(self, url: str, content: bytes) -> None:
        """Take a file under a fixed address."""
        self.files[url] = content

    def precache(self) -> list[dict[str, str]]:
        """Return the list that the service worker fetches, each with its hash in the form of Subresource Integrity."""
        return [{"url": url, "integrity": integrity(self.files[url])} for url in sorted(self.files)]


def integrity(content: bytes) -> str:
    """Return the SHA-256 as Subresource Integrity writes it (W3C SRI, section 3.1)."""
    return "sha256-" + base64.b64encode(hashlib.sha256(content).digest()).decode("ascii")


def digest_of(files: dict[str, bytes]) -> str:
    """Return one number for a set of files, whatever the order they came in."""
    total = hashlib.sha256()
    for name in sorted(files):
        total.update(name.encode("utf-8") + b"\0" + hashlib.sha256(files[name]).digest())
    return total.hexdigest()[:12]
