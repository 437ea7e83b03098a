"""Writing what the build made: a server or a test that reads meanwhile never meets half a file."""

import os
from pathlib import Path


def write_whole(path: Path, content: str | bytes) -> None:
    """Put the content there at once; a file that holds it already is left alone."""
    data = content.encode("utf-8") if isinstance(content, str) else content
    if path.is_file() and path.read_bytes() == data:
        return
    path.parent.mkdir(parents=True, exist_ok=True)
    beside = path.with_name(f".{path.name}.{os.getpid()}")
    beside.write_bytes(data)
    beside.replace(path)
