"""The fields of the call: none is asked for, nothing is chosen beforehand."""

from __future__ import annotations

from datetime import date, timedelta
from typing import TYPE_CHECKING

from flask_wtf import FlaskForm
from wtforms import IntegerField, RadioField, SelectField, SelectMultipleField, StringField
from wtforms.fields import SelectChoice
from wtforms.validators import Length, NumberRange, Optional, ValidationError

from webapp.office.call_words import ANSWERS, LATELY, QUESTIONS, SAY
from webapp.office.said_times import read_day, read_hour
from webapp.sites.clock import at_local, today

if TYPE_CHECKING:
    from collections.abc import Iterable
    from datetime import datetime

LONGEST_ANSWER = 300
MOST_RESETS = 99
DAYS_AHEAD = 14
NO_APPOINTMENT = "none"
"""Chosen where one was promised, and is taken back."""


def stripped(typed: str | None) -> str | None:
    """Without the spaces around it."""
    return typed.strip() if typed else typed


def day_choices() -> list[SelectChoice]:
    """The days for which an appointment can be promised."""
    days = [today() + timedelta(days=ahead) for ahead in range(DAYS_AHEAD + 1)]
    near = {0: "Today, ", 1: "Tomorrow, "}
    return [
        SelectChoice("", "None promised"),
        *[
            SelectChoice(day.isoformat(), f"{near.get(ahead, '')}{day:%a} {day.day} {day:%b}")
            for ahead, day in enumerate(days)
        ],
    ]


def _is_day(chosen: str | None) -> bool:
    return bool(chosen) and chosen != NO_APPOINTMENT


def _choices(pairs: Iterable[tuple[str, str]]) -> list[SelectChoice]:
    return [SelectChoice(value, words) for value, words in pairs]


def _asked(words: str) -> RadioField:
    return RadioField(words, choices=_choices(ANSWERS), validators=[Optional()])


def _answer(words: str) -> StringField:
    too_long = Length(max=LONGEST_ANSWER, message=f"At most {LONGEST_ANSWER} letters.")
    return StringField(words, filters=[stripped], validators=[Optional(), too_long])


class AppointmentForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """A day and an hour, or neither."""

    due_day = SelectField("Appointment", choices=day_choices, validators=[Optional()])
    due_time = StringField("At what time", filters=[stripped])

    def validate_due_time(self, field: StringField) -> None:
        """Half an appointment is none."""
        if field.data and read_hour(field.data) is None:
            raise ValidationError("As 14:30 or 2:30 pm.")
        if bool(field.data) != _is_day(self.due_day.data):
            raise ValidationError("At what time?" if _is_day(self.due_day.data) else "Choose the day too.")

    def due(self) -> datetime | None:
        """The appointment; what is typed is the office's own time."""
        hour = read_hour(self.due_time.data or "")
        if hour is None or not _is_day(self.due_day.data):
            return None
        return at_local(date.fromisoformat(self.due_day.data), hour)


class AskedForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """What is asked on the phone. Left alone it says: not asked."""

    smell_of_gas = _asked(QUESTIONS[0].words)
    co_alarm = _asked(QUESTIONS[1].words)
    unwell = _asked(QUESTIONS[2].words)
    water_leak = _asked(QUESTIONS[3].words)
    said = SelectMultipleField("Said to the caller", choices=_choices((one.id, one.title) for one in SAY))
    since_words = _answer("No hot water since")
    home_words = _answer("Who is home, until when")
    lately = SelectMultipleField("Lately", choices=_choices(LATELY))
    lately_words = _answer("What and when")
    lights_words = _answer("What do the lights on it show")
    resets_tried = IntegerField(
        "How many resets were tried already",
        validators=[Optional(), NumberRange(0, MOST_RESETS, message=f"A number from 0 to {MOST_RESETS}.")],
    )

    def no_hot_water_since(self) -> date | None:
        """The day that their words mean, where they mean one."""
        return read_day(self.since_words.data or "", today())


class CorrectedCallForm(AskedForm):
    """What was heard or typed wrong; why, where an alarm is taken back."""

    why = _answer("Why")


class CallForm(AppointmentForm, AskedForm):
    """What is asked on the phone, and the appointment that is promised."""
