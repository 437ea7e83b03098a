"""What travels over the API: shapes only, no database. The OpenAPI document is made from these classes."""

from __future__ import annotations

from typing import Any

from marshmallow import RAISE, Schema, fields, validate
from marshmallow.exceptions import SCHEMA

from webapp.sync.bodies import BODIES
from webapp.sync.canonical import digest_of
from webapp.sync.fields import (
    UNKNOWN_KEY,
    AnyObject,
    Choice,
    KindName,
    Sha256,
    Text,
    Uuid,
    Uuid7,
    Uuids,
    WallTime,
    Whole,
    passes,
)

LARGEST_BATCH = 500
LARGEST_LOG = 200
LONGEST_EVENT_BYTES = 100_000
"""More than any known shape can fill, in whatever script: only kinds of tomorrow can be too long as a whole."""

LARGEST_CLOCK_OFFSET_MS = 10**13


class Strict(Schema):
    """Parent of what comes in."""

    error_messages = UNKNOWN_KEY

    class Meta:
        """Nothing may be in it that the contract does not name."""

        unknown = RAISE


class EventIn(Strict):
    """The envelope (docs/sync.md)."""

    id = Uuid7(required=True)
    site_id = Uuid(required=True)
    job_id = Uuid(required=True, allow_none=True)
    person_id = Uuid(required=True)
    device_id = Uuid(required=True)
    dev_seq = Whole(1, required=True)
    lamport = Whole(1, required=True)
    at_wall = WallTime(required=True)
    clock_offset = Whole(-LARGEST_CLOCK_OFFSET_MS, LARGEST_CLOCK_OFFSET_MS, required=True, allow_none=True)
    kind = KindName(required=True)
    schema = Whole(1, 9999, required=True)
    replaces = Uuids(required=True)
    body = AnyObject(required=True)


class LogLineIn(Strict):
    """A line of the shell's own error log."""

    at_wall = WallTime(required=True)
    code = Text(80, required=True)
    words = Text(1000, required=True)


class BatchIn(Strict):
    """The frame of a push. Each event is checked by itself, so that a bad one parks alone."""

    batch_id = Uuid(required=True)
    events = fields.List(AnyObject(), required=True, validate=validate.Length(1, LARGEST_BATCH))
    log = fields.List(fields.Nested(LogLineIn), validate=validate.Length(max=LARGEST_LOG))


class EnrolIn(Strict):
    """A short code, typed inside the installed shell."""

    code = Text(20, required=True)
    device_id = Uuid(required=True)
    device_words = Text(200, required=True)


class PullIn(Strict):
    """Where the phone's copy of a stream ends."""

    after = fields.Integer(load_default=0, validate=validate.Range(0, 2**31 - 1))
    chain = Text(64, load_default=None)
    limit = fields.Integer(load_default=500, validate=validate.Range(1, 1000))


class ResultOut(Schema):
    """What became of one event."""

    id = fields.String(required=True)
    status = Choice("stored", "duplicate", "held", "rejected", required=True)
    seq = fields.Integer()
    code = fields.String()
    message = fields.String()


class HeadOut(Schema):
    """Where a stream ends now."""

    site_id = Uuid(required=True)
    head = fields.Integer(required=True)
    chain = fields.String(required=True)


class BatchOut(Schema):
    """The answer to a push."""

    batch_id = Uuid(required=True)
    results = fields.List(fields.Nested(ResultOut), required=True)
    heads = fields.List(fields.Nested(HeadOut), required=True)
    server_time = WallTime(required=True)


class PersonOut(Schema):
    """Whose phone this is."""

    id = Uuid(required=True)
    name = fields.String(required=True)
    role = fields.String(required=True)


class EnrolOut(Schema):
    """The phone's token: shown once."""

    token = fields.String(required=True)
    person = fields.Nested(PersonOut, required=True)
    epoch = Uuid(required=True)
    server_time = WallTime(required=True)


class NameOut(Schema):
    """A colleague, for the names beside findings."""

    id = Uuid(required=True)
    name = fields.String(required=True)


class StreamOut(HeadOut):
    """A stream that this phone may see."""

    group_id = Uuid(required=True)


class JobOut(Schema):
    """A job of a visible stream."""

    job_id = Uuid(required=True)
    site_id = Uuid(required=True)
    technician_id = Uuid(required=True, allow_none=True)
    state = Choice("booked", "open", "closed", "cancelled", required=True)


class ManifestOut(Schema):
    """Everything that this phone may have, and how far it goes."""

    epoch = Uuid(required=True)
    server_time = WallTime(required=True)
    person = fields.Nested(PersonOut, required=True)
    people = fields.List(fields.Nested(NameOut), required=True)
    streams = fields.List(fields.Nested(StreamOut), required=True)
    jobs = fields.List(fields.Nested(JobOut), required=True)
    procedures = fields.List(Sha256(), required=True)
    photos = fields.List(Sha256(), required=True)


class StoredEventOut(Schema):
    """One event of a stream."""

    seq = fields.Integer(required=True)
    chain = Sha256(required=True)
    received_at = WallTime(required=True)
    event = fields.Nested(EventIn, required=True)


class StreamPageOut(Schema):
    """What follows the cursor, without a gap."""

    site_id = Uuid(required=True)
    epoch = Uuid(required=True)
    head = fields.Integer(required=True)
    chain = fields.String(required=True)
    events = fields.List(fields.Nested(StoredEventOut), required=True)


class PhotoOut(Schema):
    """The answer to a photo."""

    sha256 = Sha256(required=True)


class ErrorOut(Schema):
    """Every error of a request."""

    code = fields.String(required=True)
    message = fields.String(required=True)
    details = AnyObject(required=True)


_envelope = EventIn()


def check_event(event: Any) -> tuple[str, str]:
    """(digest, ""), or ("", what is wrong). Unknown kinds and schemas pass: they are stored and counted."""
    if not isinstance(event, dict):
        return "", "an event must be an object"
    if not passes(_envelope, event):
        return "", _in_words(_envelope.validate(event))
    shape, body = BODIES.get((event["kind"], event["schema"])), event["body"]
    if shape is not None and (not passes(shape, body) or shape.contradiction(body)):
        return "", _in_words(shape.validate(body))
    try:
        digest, length = digest_of(event)
    except (ValueError, RecursionError):  # NaN, half a character: nothing that JSON in UTF-8 can carry
        return "", "body holds something that JSON cannot carry"
    return (digest, "") if length <= LONGEST_EVENT_BYTES else ("", f"longer than {LONGEST_EVENT_BYTES} bytes")


def _in_words(problems: dict[str, Any]) -> str:
    """`value is missing; place must be text of at most 80 characters`: the office reads it."""
    told = ((name, " ".join(map(str, words))) for name, words in sorted(problems.items()))
    return "; ".join(words if name == SCHEMA else f"{name} {words}" for name, words in told)
