"""What the owner chooses for everybody. The page of a sheet is read in paper_form.py."""

from __future__ import annotations

from flask_wtf import FlaskForm
from wtforms import RadioField, StringField
from wtforms.validators import Length, Optional, ValidationError

from webapp.sites.address_key import phone_key
from webapp.trade.co_ladders import LADDERS


def _a_phone(_form: FlaskForm, field: StringField) -> None:
    if field.data and not phone_key(field.data):
        raise ValidationError("At least seven digits, as 555-0142.")


class CompanyForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """Rule set and phone number."""

    co_ladder = RadioField(
        "Rule set for CO in the room",
        choices=[ladder["id"] for ladder in LADDERS],
        validators=[Optional()],
    )
    office_phone = StringField(
        "Number that technicians ring",
        filters=[lambda typed: " ".join((typed or "").split())],
        validators=[Length(max=40, message="At most 40 letters."), _a_phone],
    )


class ButtonForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """A button that changes something: nothing to type, but it must come from our own page."""
