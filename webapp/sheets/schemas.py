"""The shape of a model's sheet, as it is stored and as it travels to the phones."""

from __future__ import annotations

from marshmallow import RAISE, Schema, fields, validate

from webapp.sync.fields import UNKNOWN_KEY, Choice, Day, Names, Number, Text, Uuid
from webapp.trade.co_ladders import LADDERS

PLACES = ("plate", "sheet", "part_label")
LADDER_IDS = tuple(ladder["id"] for ladder in LADDERS)
MOST_LIMITS, MOST_CODES, MOST_VENT_ROWS = 60, 120, 12
MOST_SHEETS, LONGEST_BODY_BYTES = 300, 20_000
"""What every phone must be able to keep: the office is told before a sheet more would not fit."""


class _Strict(Schema):
    error_messages = UNKNOWN_KEY

    class Meta:
        """Nothing may be in it that the contract does not name."""

        unknown = RAISE


class ModelLimitOut(_Strict):
    """One figure of the maker's, its unit in its name, and where on the paper it stands."""

    quantity = Text(80, required=True)
    value = Number(required=True)
    where = Choice(*PLACES, required=True)


class ModelCodeOut(_Strict):
    """One line of the model's code table. `could_be`: ids of contacts or parts of the procedure's chain."""

    flash_groups = Text(40, required=True, allow_none=True)
    text = Text(40, required=True, allow_none=True)
    meaning_words = Text(300, required=True)
    could_be = Names(required=True)


class ModelVentOut(_Strict):
    """One row of the sheet's vent table: what it allows for a pipe of one size."""

    nominal_in = Number(required=True, allow_none=True)
    max_equivalent_ft = Number(required=True, allow_none=True)
    min_equivalent_ft = Number(required=True, allow_none=True)
    max_elbows = Number(required=True, allow_none=True)
    feet_per_elbow_90 = Number(required=True, allow_none=True)
    feet_per_elbow_45 = Number(required=True, allow_none=True)


class SheetBody(_Strict):
    """What one version of a sheet says: this is the stored body."""

    limits = fields.List(fields.Nested(ModelLimitOut), required=True, validate=validate.Length(max=MOST_LIMITS))
    codes = fields.List(fields.Nested(ModelCodeOut), required=True, validate=validate.Length(max=MOST_CODES))
    vent = fields.List(fields.Nested(ModelVentOut), required=True, validate=validate.Length(max=MOST_VENT_ROWS))
    words = Text(1000, required=True, allow_none=True)


class ModelSheetOut(SheetBody):
    """A sheet with its name."""

    model_sheet_id = Uuid(required=True)
    procedure_name = Text(80, required=True)
    maker_words = Text(200, required=True)
    model_words = Text(200, required=True)


class CompanySettingsOut(_Strict):
    """What the company chose; null is not chosen."""

    co_ladder = Choice(*LADDER_IDS, required=True, allow_none=True)
    office_phone = Text(40, required=True, allow_none=True)


class LicensedPersonOut(_Strict):
    """Whose phone this is, and their licence."""

    id = Uuid(required=True)
    name = Text(120, required=True)
    licence_words = Text(120, required=True, allow_none=True)
    licence_expires_on = Day(required=True, allow_none=True)


class CompanyOut(_Strict):
    """What the company keeps for all its phones."""

    settings = fields.Nested(CompanySettingsOut, required=True)
    person = fields.Nested(LicensedPersonOut, required=True)
    model_sheets = fields.List(fields.Nested(ModelSheetOut), required=True)
