"""Named errors, and the one table that says what each becomes on the wire."""

from __future__ import annotations

import logging
from enum import StrEnum
from typing import Any

from flask import Flask, Response, jsonify, render_template, request
from flask.typing import ResponseReturnValue
from flask_wtf.csrf import CSRFError
from werkzeug.exceptions import HTTPException

API_PREFIX = "/api/"
log = logging.getLogger(__name__)


class ErrorCode(StrEnum):
    """Every code that the API answers with; the phone's list is generated from this one."""

    BAD_BATCH = "bad_batch"
    BAD_BODY = "bad_body"
    BAD_EVENT = "bad_event"
    BAD_FORM = "bad_form"
    BAD_PHOTO = "bad_photo"
    BAD_REQUEST = "bad_request"
    CODE_UNKNOWN = "code_unknown"
    CONFLICT = "conflict"
    DEVICE_REVOKED = "device_revoked"
    FORM_EXPIRED = "form_expired"
    FORBIDDEN = "forbidden"
    ID_REUSED = "id_reused"
    NOT_FOUND = "not_found"
    OTHER_CHAIN = "other_chain"
    PHOTO_NOT_HERE = "photo_not_here"
    PHOTO_NOT_NAMED = "photo_not_named"
    PHOTO_TOO_LARGE = "photo_too_large"
    SERVER_ERROR = "server_error"
    SIGN_IN_FAILED = "sign_in_failed"
    SIGNED_OUT = "signed_out"
    TOKEN_EXPIRED = "token_expired"  # noqa: S105 (the name of an error)
    TOKEN_UNKNOWN = "token_unknown"  # noqa: S105 (the name of an error)
    TOO_MANY_TRIES = "too_many_tries"


class UndercroftError(Exception):
    """Parent of the named errors. `details` goes to whoever asked; never put a secret there."""

    def __init__(self, message: str | None = None, **details: Any) -> None:
        super().__init__(message or "")
        self.message = message
        self.details = details


class BadBatch(UndercroftError):
    """The request around the events cannot be read."""


class BadBody(UndercroftError):
    """The JSON of a request has another shape than the contract's."""


class BadForm(UndercroftError):
    """What was typed at the office cannot be taken."""


class BadPhoto(UndercroftError):
    """Length, kind or hash is not what was said."""


class CodeUnknown(UndercroftError):
    """No such enrol code, or it is used or too old."""


class Conflict(UndercroftError):
    """Someone was there first; `details` carries the server's copy."""


class DeviceRevoked(UndercroftError):
    """The office closed this phone."""


class Forbidden(UndercroftError):
    """Signed in, but not for this."""


class NotFound(UndercroftError):
    """Not here, or not for this person to see."""


class OtherChain(UndercroftError):
    """The phone's cursor belongs to another history of this stream."""


class PhotoNotHere(UndercroftError):
    """Named by an event, but still on the phone."""


class PhotoNotNamed(UndercroftError):
    """No stored event names it yet."""


class PhotoTooLarge(UndercroftError):
    """Phones scale before they send."""


class SignInFailed(UndercroftError):
    """Login and password do not belong together."""


class SignedOut(UndercroftError):
    """The office's pages need a sign-in."""


class TokenExpired(UndercroftError):
    """The phone must be enrolled anew; its queue stays."""


class TokenUnknown(UndercroftError):
    """No bearer token, or none that we gave out."""


class TooManyTries(UndercroftError):
    """Failed too often in a short time."""


ERROR_TABLE: dict[type[UndercroftError], tuple[int, ErrorCode, str]] = {
    BadBatch: (422, ErrorCode.BAD_BATCH, "The batch cannot be read."),
    BadBody: (422, ErrorCode.BAD_BODY, "The request cannot be read."),
    BadForm: (422, ErrorCode.BAD_FORM, "Something in the form cannot be taken."),
    BadPhoto: (422, ErrorCode.BAD_PHOTO, "The photo is not what was announced."),
    CodeUnknown: (
        404,
        ErrorCode.CODE_UNKNOWN,
        "This code is not known, used, or too old. Ask the office for a new one.",
    ),
    Conflict: (409, ErrorCode.CONFLICT, "Someone else was there first."),
    DeviceRevoked: (403, ErrorCode.DEVICE_REVOKED, "The office has closed this phone."),
    Forbidden: (403, ErrorCode.FORBIDDEN, "This page is not for your role."),
    NotFound: (404, ErrorCode.NOT_FOUND, "Nothing is here."),
    OtherChain: (409, ErrorCode.OTHER_CHAIN, "This address has another history now: pull it anew."),
    PhotoNotHere: (404, ErrorCode.PHOTO_NOT_HERE, "The photo is still on the phone."),
    PhotoNotNamed: (404, ErrorCode.PHOTO_NOT_NAMED, "No stored event names this photo yet."),
    PhotoTooLarge: (413, ErrorCode.PHOTO_TOO_LARGE, "The photo is too large."),
    SignInFailed: (401, ErrorCode.SIGN_IN_FAILED, "Login and password do not belong together."),
    SignedOut: (401, ErrorCode.SIGNED_OUT, "Please sign in."),
    TokenExpired: (401, ErrorCode.TOKEN_EXPIRED, "This phone must be signed in again; nothing in its queue is lost."),
    TokenUnknown: (401, ErrorCode.TOKEN_UNKNOWN, "This phone is not signed in."),
    TooManyTries: (429, ErrorCode.TOO_MANY_TRIES, "Too many tries. Wait a few minutes."),
}

HTTP_CODES = {403: ErrorCode.FORBIDDEN, 404: ErrorCode.NOT_FOUND}
HTTP_WORDS = {
    400: "What was sent cannot be read.",
    404: "There is no such page here. The address may be typed wrong, or the link may be an old one.",
    405: "This address only takes a form that was sent from its own page. Open that page, and send it from there.",
    413: "That is more than is taken here at once. Nothing of it was kept.",
    415: "What was sent is of a kind that cannot be read here.",
    429: "Too many requests at once. Wait a minute.",
}
"""Where the framework has only its own words."""


def init_errors(app: Flask) -> None:
    """Answer every error from the table: JSON under /api/, a page elsewhere."""
    app.register_error_handler(UndercroftError, _named)
    app.register_error_handler(CSRFError, _form_expired)
    app.register_error_handler(HTTPException, _http)
    app.register_error_handler(Exception, _unexpected)


def look_up(error: UndercroftError) -> tuple[int, ErrorCode, str]:
    """The table's row of an error, or of the nearest parent that has one."""
    row = next((ERROR_TABLE[kind] for kind in type(error).__mro__ if kind in ERROR_TABLE), None)
    return row or (500, ErrorCode.SERVER_ERROR, "Something went wrong here.")


def _named(error: UndercroftError) -> ResponseReturnValue:
    status, code, words = look_up(error)
    return _answer(status, code, error.message or words, error.details)


def _form_expired(_error: CSRFError) -> ResponseReturnValue:
    words = "This form was open too long, you were signed out meanwhile, or it did not come from here."
    return _answer(400, ErrorCode.FORM_EXPIRED, words, {})


def _http(error: HTTPException) -> ResponseReturnValue:
    if error.response is not None or error.code is None or error.code < 400:
        return error
    code = HTTP_CODES.get(error.code, ErrorCode.BAD_REQUEST if error.code < 500 else ErrorCode.SERVER_ERROR)
    ours = error.description if error.description != type(error).description else HTTP_WORDS.get(error.code)
    answer = _answer(error.code, code, ours or error.description or error.name, {})
    answer.headers.extend((k, v) for k, v in error.get_headers() if k in {"Allow", "Retry-After"})
    return answer


def _unexpected(error: Exception) -> ResponseReturnValue:
    log.error("unexpected error at %s %s", request.method, request.path, exc_info=error)
    return _answer(500, ErrorCode.SERVER_ERROR, "Something went wrong here. It was written to the log.", {})


def _answer(status: int, code: ErrorCode, message: str, details: dict[str, Any]) -> Response:
    if request.path.startswith(API_PREFIX):
        answer = jsonify(code=code, message=message, details=details)
    else:
        answer = Response(
            render_template("error.html", status=status, code=code, message=message), mimetype="text/html"
        )
    answer.status_code = status
    if status == 401 and request.path.startswith(API_PREFIX):
        answer.headers["WWW-Authenticate"] = "Bearer"
    return answer
