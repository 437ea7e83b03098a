"""How many bytes a request may carry: few, unless its route has a row here. Set before anything reads the body."""

from __future__ import annotations

from flask import Flask, request

SMALL_BYTES = 500_000
LARGEST_BYTES = {
    "sync.push_events": 12_000_000,
    "importing.dry_run": 6_000_000,  # a file of 5 MB, and what stands around it
    "office.read_queue_file": 34_000_000,  # a phone's whole queue with its photos
}


def init_body_limits(app: Flask) -> None:
    """More is answered with 413, and is not read. A route may set a narrower limit."""
    app.before_request(_limit_body)


def _limit_body() -> None:
    request.max_content_length = LARGEST_BYTES.get(request.endpoint or "", SMALL_BYTES)
