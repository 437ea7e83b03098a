"""What the owner chooses for everybody. The page of a sheet is read in paper_form.py."""

from __future__ import annotations

from flask_wtf import FlaskForm
from wtforms import RadioField, StringField
from wtforms.validators import Length, Optional, ValidationError

from webapp.sheets.own_words import LONGEST_SENTENCE, PLACES, SAY_IDS
from webapp.sheets.paper_form import PLAIN_NUMBER, plain_number
from webapp.sheets.time_zone import zone_named
from webapp.sites.address_key import phone_key
from webapp.trade.co_ladders import LADDERS


def _a_phone(_form: FlaskForm, field: StringField) -> None:
    if field.data and not phone_key(field.data):
        raise ValidationError("At least seven digits, as 555-0142.")


def _one_line(typed: str | None) -> str:
    return " ".join((typed or "").split())


class CompanyForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """Rule set, phone number and name."""

    co_ladder = RadioField(
        "Rule set for CO in the room",
        choices=[ladder["id"] for ladder in LADDERS],
        validators=[Optional()],
    )
    office_phone = StringField(
        "Number that technicians ring",
        filters=[_one_line],
        validators=[Length(max=40, message="At most 40 letters."), _a_phone],
    )
    company_name = StringField(
        "Name of the company",
        filters=[_one_line],
        validators=[Length(max=80, message="At most 80 letters.")],
    )

    time_zone = StringField(
        "Time zone",
        filters=[_one_line],
        validators=[Length(max=60, message="At most 60 letters.")],
    )

    def validate_time_zone(self, field: StringField) -> None:
        """A name that is known, kept as it is written by those who keep the list."""
        zone = zone_named(field.data) if field.data else None
        if field.data and zone is None:
            raise ValidationError("No such zone. Region and city, as America/New_York.")
        field.data = zone.key if zone else ""


def own_name(say: str, place: str) -> str:
    """The field of one of the company's own sentences."""
    return f"own_{say}_{place}"


for _say in SAY_IDS:
    for _place in PLACES:
        setattr(
            CompanyForm,
            own_name(_say, _place),
            StringField(
                "Your own sentence, said first" if _place == "above" else "Your own sentence, said last",
                filters=[_one_line],
                validators=[Length(max=LONGEST_SENTENCE, message=f"At most {LONGEST_SENTENCE} letters.")],
            ),
        )


class ButtonForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """A button that changes something: nothing to type, but it must come from our own page."""


class ReadForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """What the photo of one figure says."""

    verdict = StringField(validators=[Optional()])
    read_value = StringField("The photo reads", filters=[_one_line])
    words = StringField("Words", filters=[_one_line], validators=[Length(max=500, message="At most 500 letters.")])

    @property
    def agrees(self) -> bool:
        """Which of the two buttons it was."""
        return bool(self.verdict.data == "agrees")

    @property
    def number(self) -> float | None:
        """What is read instead."""
        return None if self.agrees else plain_number(self.read_value.data)

    def validate_read_value(self, field: StringField) -> None:
        """A figure that is otherwise must be said."""
        if not self.agrees and plain_number(field.data) is None:
            raise ValidationError(PLAIN_NUMBER)
