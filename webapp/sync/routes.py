"""The API, version 1 (docs/sync.md). It ignores cookies: who calls is in the bearer token alone."""

from __future__ import annotations

import json
import logging
from datetime import UTC, datetime
from pathlib import Path
from typing import Any, NoReturn

from flask import Blueprint, Response, current_app, jsonify, request, send_file
from flask.typing import ResponseReturnValue
from marshmallow import Schema, ValidationError

from webapp.errors import BadBatch, BadBody, BadPhoto, PhotoTooLarge, UndercroftError
from webapp.extensions import get_database, get_session
from webapp.models.base import wall_time
from webapp.people.guard import current_device, current_person
from webapp.people.service import enrol_phone, note_seen
from webapp.sheets.for_phones import company_for_phone
from webapp.sync import photos, pull
from webapp.sync.openapi import openapi_document
from webapp.sync.schemas import BatchIn, EnrolIn, PullIn
from webapp.sync.service import store_events

sync_bp = Blueprint("sync", __name__, url_prefix="/api/v1")
phone_log = logging.getLogger("webapp.phone")

FOR_EVER = "private, max-age=31536000, immutable"


@sync_bp.post("/enrol")
def enrol() -> ResponseReturnValue:
    """A short code for a token."""
    asked = _load(EnrolIn(), _json(BadBody), BadBody)
    token_days = current_app.config["UNDERCROFT_PHONE_TOKEN_DAYS"]
    address = request.remote_addr or ""
    token, person = enrol_phone(get_session(), **asked, address=address, token_days=token_days)
    whose = {"id": person.id, "name": person.name, "role": person.role}
    epoch = pull.get_epoch(get_session())
    return jsonify(token=token, person=whose, epoch=epoch, server_time=wall_time(datetime.now(UTC)))


@sync_bp.post("/events")
def push_events() -> ResponseReturnValue:
    """Store a batch; each event gets its own result."""
    batch = _load(BatchIn(), _json(BadBatch), BadBatch)
    for line in batch.get("log", []):
        phone_log.warning("phone %s: %s", current_device().id, json.dumps(line))
    outcome = store_events(get_session(), batch["events"], current_device())
    return jsonify(batch_id=batch["batch_id"], **outcome, server_time=wall_time(datetime.now(UTC)))


@sync_bp.get("/manifest")
def manifest() -> ResponseReturnValue:
    """What this phone may have; 304 only for whoever may ask."""
    note_seen(get_database(), current_device())
    found = pull.make_manifest(get_session(), current_person())
    answer = jsonify(found)
    answer.set_etag(pull.etag_of(found), weak=True)
    return _private(answer, "private, no-cache").make_conditional(request)


@sync_bp.get("/company")
def company() -> ResponseReturnValue:
    """What the company keeps for all its phones; 304 only for whoever may ask."""
    found = company_for_phone(get_session(), current_person())
    answer = jsonify(found)
    answer.set_etag(pull.etag_of(found), weak=True)
    return _private(answer, "private, no-cache").make_conditional(request)


@sync_bp.get("/sites/<uuid:site_id>/events")
def stream(site_id: object) -> ResponseReturnValue:
    """What follows the cursor."""
    cursor = _load(PullIn(), request.args.to_dict(), BadBody)
    return _private(jsonify(pull.read_stream(get_session(), current_device(), str(site_id), **cursor)))


@sync_bp.get("/procedures/<procedure_hash>")
def procedure(procedure_hash: str) -> ResponseReturnValue:
    """A compiled procedure, immutable."""
    return _private(jsonify(pull.get_procedure(get_session(), procedure_hash)), FOR_EVER)


@sync_bp.put("/photos/<sha256>")
def put_photo(sha256: str) -> ResponseReturnValue:
    """The bytes of a photo that a stored event names."""
    if request.mimetype != "image/jpeg":
        raise BadPhoto("A photo is sent as image/jpeg.")
    if (request.content_length or 0) > photos.LARGEST_PHOTO_BYTES:
        raise PhotoTooLarge(longest_bytes=photos.LARGEST_PHOTO_BYTES)
    request.max_content_length = photos.LARGEST_PHOTO_BYTES
    is_new = photos.store_photo(get_session(), _data(), sha256, request.get_data(cache=False))
    return jsonify(sha256=sha256), 201 if is_new else 200


@sync_bp.get("/photos/<sha256>")
def get_photo(sha256: str) -> ResponseReturnValue:
    """The bytes, for a phone that may see the address."""
    path = photos.find_photo(get_session(), current_device(), _data(), sha256)
    return _private(send_file(path, mimetype="image/jpeg", etag=sha256), FOR_EVER)


@sync_bp.get("/openapi.json")
def openapi() -> ResponseReturnValue:
    """The API's description, made from the schemas."""
    return jsonify(openapi_document())


def _data() -> Path:
    return Path(current_app.config["UNDERCROFT_DATA"])


def _private(answer: Response, cache: str = "private, no-store") -> Response:
    answer.headers["Cache-Control"] = cache
    answer.headers["Vary"] = "Authorization"
    return answer


def _json(error: type[UndercroftError]) -> Any:
    """The body as JSON; NaN and its like are none (RFC 8259)."""

    def refuse(word: str) -> NoReturn:
        raise ValueError(word)

    try:
        return json.loads(request.get_data(cache=False), parse_constant=refuse)
    except (ValueError, RecursionError) as problem:
        raise error("This is not JSON.") from problem


def _load(schema: Schema, given: Any, error: type[UndercroftError]) -> dict[str, Any]:
    try:
        loaded: dict[str, Any] = schema.load(given)
    except ValidationError as problem:
        raise error(fields=problem.messages) from problem
    return loaded
