"""Headers that every answer carries."""

from __future__ import annotations

from flask import Flask, Response, request

CONTENT_SECURITY_POLICY = "; ".join(
    (
        "default-src 'none'",
        "script-src 'self' 'wasm-unsafe-eval'",
        "worker-src 'self'",
        "style-src 'self'",
        "img-src 'self' blob: data:",
        "connect-src 'self'",
        "font-src 'self'",
        "manifest-src 'self'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'none'",
    )
)

SECURITY_HEADERS = {
    "Content-Security-Policy": CONTENT_SECURITY_POLICY,
    "X-Content-Type-Options": "nosniff",
    "X-Frame-Options": "DENY",
    # Not no-referrer: the check of forms against forgery compares the referrer under HTTPS.
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(self), geolocation=(), microphone=(), payment=(), usb=()",
}
ONE_YEAR_SECONDS = 31_536_000


def init_headers(app: Flask) -> None:
    """Add the headers to every answer; a route that sets one of its own keeps it."""
    app.after_request(_add_headers)


def _add_headers(answer: Response) -> Response:
    for name, value in SECURITY_HEADERS.items():
        answer.headers.setdefault(name, value)
    if request.is_secure:
        answer.headers.setdefault("Strict-Transport-Security", f"max-age={ONE_YEAR_SECONDS}")
    answer.headers.setdefault("Cache-Control", "no-store")
    return answer
