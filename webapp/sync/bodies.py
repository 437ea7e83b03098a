"""The shape of each body: a class per kind and schema number (webapp/trade/events.py). Added, never changed."""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

from marshmallow import RAISE, Schema, ValidationError, validates_schema
from typing_extensions import override

from webapp.sync.fields import (
    LINE_LENGTH,
    UNKNOWN_KEY,
    Choice,
    Day,
    Names,
    Number,
    Sha256,
    StrokePath,
    Text,
    Uuid,
    Uuids,
    WallTime,
    Whole,
    YesNo,
)
from webapp.trade.bodies import CALL_ANSWERS, CLOSE_STATES, INSTRUMENT_KINDS, PHOTO_ABOUT, REASONS, REASONS_2

NAME = 80


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


class JobBooked2(JobBooked1):
    technician_id = Uuid(allow_none=True)


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
    could_not = Choice(*REASONS, required=True, allow_none=True)
    words = Text(allow_none=True)
    minutes_since_fired = Number(allow_none=True)

    @override
    def contradiction(self, body: dict[str, Any]) -> str:
        both_or_none = (body["outcome"] is None) == (body["could_not"] is None)
        return "either an outcome or a reason, never both" if both_or_none else ""


class CheckAnswered2(CheckAnswered1):
    could_not = Choice(*REASONS_2, required=True, allow_none=True)


class CheckAnswered3(CheckAnswered2):
    corrects = YesNo(allow_none=True)


class ReadingTaken1(Body):
    check = Text(NAME, required=True, allow_none=True)
    quantity = Text(NAME, required=True)
    value = Number(required=True)
    place = Text(NAME, allow_none=True)
    state = Choice("cold", "hot", "dead", "live", allow_none=True)
    instrument_words = Text(LINE_LENGTH, allow_none=True)


class ReadingTaken2(ReadingTaken1):
    corrects = YesNo(allow_none=True)


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


class JobClosed2(JobClosed1):
    out = YesNo(required=True)


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


class CallTaken1(Body):
    smell_of_gas = Choice(*CALL_ANSWERS, required=True)
    co_alarm = Choice(*CALL_ANSWERS, required=True)
    unwell = Choice(*CALL_ANSWERS, required=True)
    water_leak = Choice(*CALL_ANSWERS, required=True)
    home_words = Text(allow_none=True)
    since_words = Text(allow_none=True)
    no_hot_water_since = Day(allow_none=True)
    lately = Names(required=True)
    lately_words = Text(allow_none=True)
    lights_words = Text(allow_none=True)
    resets_tried = Whole(0, 99, allow_none=True)
    said = Names(required=True)


class JobMoved2(JobMoved1):
    complaint = Text(NAME, allow_none=True)
    complaint_words = Text(allow_none=True)
    procedure_name = Text(NAME, allow_none=True)
    phone = Text(40, allow_none=True)


class JobMoved3(JobMoved2):
    due_cleared = YesNo(allow_none=True)

    @override
    def contradiction(self, body: dict[str, Any]) -> str:
        both = bool(body.get("due_cleared")) and body.get("due_wall") is not None
        return "either an appointment or none, never both" if both else ""


class JobCancelled1(Body):
    why = Text(required=True)


class DueOut1(Body):
    due_out_wall = WallTime(required=True)
    ring_phone = Text(40, allow_none=True)
    words = Text(allow_none=True)


class CameOut1(Body):
    words = Text(allow_none=True)


class CameOut2(CameOut1):
    person_id = Uuid(allow_none=True)


class InstrumentCarried1(Body):
    instrument_id = Uuid(required=True)
    instrument_kind = Choice(*INSTRUMENT_KINDS, required=True)
    serial_words = Text(LINE_LENGTH, allow_none=True)
    calibrated_on = Day(allow_none=True)
    bump_tested = YesNo(allow_none=True)
    zeroed = YesNo(allow_none=True)
    words = Text(allow_none=True)


class CodeRead2(CodeRead1):
    flash_groups = Text(40, allow_none=True)
    model_sheet_id = Uuid(allow_none=True)


class PhotoTaken2(PhotoTaken1):
    about = Choice(*PHOTO_ABOUT, required=True)


class WorkAgreed1(Body):
    told_words = Text(required=True)
    scope_words = Text(required=True)
    price_words = Text(LINE_LENGTH, allow_none=True)
    decision = Choice("authorised", "declined", required=True)
    name_words = Text(120, allow_none=True)
    signature_path = StrokePath(allow_none=True)


class ProofRun2(Body):
    passed = YesNo(required=True)
    minutes = Number(required=True)
    restarts = Whole(0, 999, required=True)
    quantity = Text(NAME, allow_none=True)
    before_value = Number(allow_none=True)
    after_value = Number(allow_none=True)
    co_room_ppm = Number(allow_none=True)
    co_air_free_ppm = Number(allow_none=True)
    fans_on = YesNo(allow_none=True)
    looks_done = Names(required=True)
    words = Text(allow_none=True)


class OfficeTold1(Body):
    told_wall = WallTime(required=True)
    who_words = Text(120, required=True)
    words = Text(allow_none=True)


class PutBack1(Body):
    words = Text(required=True)


class PutBack2(PutBack1):
    left_off_ids = Uuids(allow_none=True)


class PutBack3(PutBack2):
    who_words = Text(LINE_LENGTH, required=True)
    when_words = Text(LINE_LENGTH, allow_none=True)
    work_words = Text(allow_none=True)
    co_room_ppm = Number(allow_none=True)


class ApplianceDescribed2(ApplianceDescribed1):
    location_words = Text(LINE_LENGTH, allow_none=True)
    installed_year = Whole(1900, 2200, allow_none=True)
    model_sheet_id = Uuid(allow_none=True)


class SheetNumber2(SheetNumber1):
    model_sheet_id = Uuid(allow_none=True)


class SheetConfirmed1(Body):
    sheet_event_id = Uuid(required=True)
    quantity = Text(NAME, required=True)
    agrees = YesNo(required=True)
    read_value = Number(allow_none=True)
    words = Text(allow_none=True)


class SameAddress1(Body):
    other_site_id = Uuid(required=True)


class NotSameAddress1(Body):
    other_site_id = Uuid(required=True)


class MayBeSameAddress1(Body):
    other_site_id = Uuid(required=True)


def _shapes_of(parent: type[Body]) -> Iterator[tuple[tuple[str, int], Body]]:
    """Each shape by the kind and schema number that its class is named for: JobMoved2 is job_moved 2."""
    for shape in parent.__subclasses__():
        name = shape.__name__.rstrip("0123456789")
        kind = re.sub("(?<!^)(?=[A-Z])", "_", name).lower()
        yield (kind, int(shape.__name__.removeprefix(name))), shape()
        yield from _shapes_of(shape)


BODIES: dict[tuple[str, int], Body] = dict(sorted(_shapes_of(Body), key=lambda shape: shape[0]))

PHOTO_SCHEMAS = frozenset(schema for kind, schema in BODIES if kind == "photo_taken")
"""Every shape of `photo_taken` that is taken in names bytes that may come: a list kept by hand was forgotten once."""
