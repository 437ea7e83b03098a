"""The shape of each body: a class per kind and schema number (webapp/trade/events.py). Added, never changed."""

from __future__ import annotations

from typing import Any

from marshmallow import RAISE, Schema, ValidationError, validates_schema
from typing_extensions import override

from webapp.sync.fields import (
    LINE_LENGTH,
    UNKNOWN_KEY,
    Choice,
    Names,
    Number,
    Sha256,
    Text,
    Uuid,
    WallTime,
    Whole,
    YesNo,
)

NAME = 80

COULD_NOT = ("no_access", "no_tool", "unsafe", "refused", "cannot_tell", "not_fitted")
CLOSE_STATES = (
    "proven", "not_proven", "not_seen_today", "waiting_part", "declined", "handed_over", "replaced", "left_off",
)  # fmt: skip


class Body(Schema):
    """Parent of all bodies."""

    error_messages = UNKNOWN_KEY

    class Meta:
        """A key that the shape does not name is an error: a new key is a new schema number."""

        unknown = RAISE

    def contradiction(self, body: dict[str, Any]) -> str:  # noqa: ARG002 (most shapes have no such rule)
        """What does not go together in a body whose fields are each right; empty where nothing is wrong."""
        return ""

    @validates_schema
    def _nothing_contradicts(self, data: dict[str, Any], **_: Any) -> None:
        if words := self.contradiction(data):
            raise ValidationError(words)


class AddressGiven1(Body):
    street = Text(LINE_LENGTH, required=True)
    town = Text(120, required=True)
    postcode = Text(20, allow_none=True)
    customer_name = Text(120, allow_none=True)
    phone = Text(40, allow_none=True)
    access_words = Text(allow_none=True)


class JobBooked1(Body):
    complaint = Text(NAME, required=True)
    complaint_words = Text(required=True)
    technician_id = Uuid(required=True)
    procedure_name = Text(NAME, required=True)
    phone = Text(40, allow_none=True)
    due_wall = WallTime(allow_none=True)


class JobMoved1(Body):
    technician_id = Uuid(allow_none=True)
    due_wall = WallTime(allow_none=True)
    why = Text(allow_none=True)


class JobOpened1(Body):
    procedure_hash = Sha256(required=True)


class Arrived1(Body):
    words = Text(allow_none=True)


class CodeRead1(Body):
    shown = Choice("flashes", "text", "dark", "steady", required=True)
    flashes = Whole(0, 99, allow_none=True)
    text = Text(LINE_LENGTH, allow_none=True)
    meaning_words = Text(allow_none=True)


class CheckAnswered1(Body):
    check = Text(NAME, required=True)
    outcome = Text(NAME, required=True, allow_none=True)
    could_not = Choice(*COULD_NOT, required=True, allow_none=True)
    words = Text(allow_none=True)
    minutes_since_fired = Number(allow_none=True)

    @override
    def contradiction(self, body: dict[str, Any]) -> str:
        both_or_none = (body["outcome"] is None) == (body["could_not"] is None)
        return "either an outcome or a reason, never both" if both_or_none else ""


class ReadingTaken1(Body):
    check = Text(NAME, required=True, allow_none=True)
    quantity = Text(NAME, required=True)
    value = Number(required=True)
    place = Text(NAME, allow_none=True)
    state = Choice("cold", "hot", "dead", "live", allow_none=True)
    instrument_words = Text(LINE_LENGTH, allow_none=True)


class PhotoTaken1(Body):
    sha256 = Sha256(required=True)
    length_bytes = Whole(1, 400_000, required=True)
    media_type = Choice("image/jpeg", required=True)
    width_px = Whole(1, 20_000, required=True)
    height_px = Whole(1, 20_000, required=True)
    check = Text(NAME, required=True, allow_none=True)
    words = Text(allow_none=True)


class VentSurveyed1(Body):
    nominal_in = Number(required=True)
    straight_ft = Number(required=True)
    elbows_90 = Whole(0, 99, required=True)
    elbows_45 = Whole(0, 99, required=True)
    limit_equivalent_ft = Number(allow_none=True)
    limit_elbows = Whole(0, 99, allow_none=True)
    words = Text(allow_none=True)


class Hunch1(Body):
    cause = Text(NAME, required=True)
    words = Text(allow_none=True)


class CauseNamed1(Body):
    cause = Text(NAME, required=True)
    words = Text(allow_none=True)


class RepairMade1(Body):
    action = Text(NAME, required=True)
    words = Text(allow_none=True)


class PartUsed1(Body):
    part_words = Text(LINE_LENGTH, required=True)
    count = Whole(1, 999, required=True)
    direction = Choice("fitted", "removed", required=True)


class ProofRun1(Body):
    passed = YesNo(required=True)
    minutes = Number(required=True)
    restarts = Whole(0, 999, required=True)
    suction_before_in_wc = Number(allow_none=True)
    suction_hot_in_wc = Number(allow_none=True)
    co_room_ppm = Number(allow_none=True)
    looks_done = Names(required=True)
    words = Text(allow_none=True)


class LeftOff1(Body):
    what_words = Text(required=True)
    why_words = Text(required=True)
    told_words = Text(required=True)


class Note1(Body):
    words = Text(required=True)


class Withdrawn1(Body):
    why = Text(allow_none=True)


class JobClosed1(Body):
    state = Choice(*CLOSE_STATES, required=True)
    words = Text(allow_none=True)


class ApplianceDescribed1(Body):
    appliance_id = Uuid(required=True)
    kind = Text(NAME, required=True)
    fuel = Choice("natural_gas", "propane", allow_none=True)
    maker_words = Text(LINE_LENGTH, allow_none=True)
    model_words = Text(LINE_LENGTH, allow_none=True)
    serial_words = Text(LINE_LENGTH, allow_none=True)
    input_btu_h = Number(allow_none=True)


class SheetNumber1(Body):
    quantity = Text(NAME, required=True)
    value = Number(required=True)
    where = Choice("plate", "sheet", "part_label", required=True)


class SameAddress1(Body):
    other_site_id = Uuid(required=True)


class NotSameAddress1(Body):
    other_site_id = Uuid(required=True)


BODIES: dict[tuple[str, int], Body] = {
    ("address_given", 1): AddressGiven1(),
    ("appliance_described", 1): ApplianceDescribed1(),
    ("arrived", 1): Arrived1(),
    ("cause_named", 1): CauseNamed1(),
    ("check_answered", 1): CheckAnswered1(),
    ("code_read", 1): CodeRead1(),
    ("hunch", 1): Hunch1(),
    ("job_booked", 1): JobBooked1(),
    ("job_closed", 1): JobClosed1(),
    ("job_moved", 1): JobMoved1(),
    ("job_opened", 1): JobOpened1(),
    ("left_off", 1): LeftOff1(),
    ("not_same_address", 1): NotSameAddress1(),
    ("note", 1): Note1(),
    ("part_used", 1): PartUsed1(),
    ("photo_taken", 1): PhotoTaken1(),
    ("proof_run", 1): ProofRun1(),
    ("reading_taken", 1): ReadingTaken1(),
    ("repair_made", 1): RepairMade1(),
    ("same_address", 1): SameAddress1(),
    ("sheet_number", 1): SheetNumber1(),
    ("vent_surveyed", 1): VentSurveyed1(),
    ("withdrawn", 1): Withdrawn1(),
}
