"""What the office types. Faults are said beside their field; what was typed is never lost."""

from __future__ import annotations

import re
from datetime import UTC, datetime

from flask_wtf import FlaskForm
from flask_wtf.file import FileField, FileRequired, FileSize
from wtforms import BooleanField, HiddenField, SelectField, SelectMultipleField, StringField, TextAreaField
from wtforms.validators import UUID, DataRequired, InputRequired, Length, Optional, ValidationError

from webapp.errors import BadForm
from webapp.office.call_form import NO_APPOINTMENT, AppointmentForm, CallForm, stripped
from webapp.office.put_back_heard import PutBackHeard
from webapp.office.queue_file import QueueFile, parse_queue_file
from webapp.office.said_times import read_hour
from webapp.sites.address_key import phone_key
from webapp.sites.clock import at_local, parse_local, said_moment_words, today
from webapp.trade.put_back_counts import tells

LONGEST_LINE = 120
_PPM = re.compile(r"[0-9]{1,4}(\.[0-9]{1,2})?")
LONGEST_STORY = 2_000
LARGEST_QUEUE_FILE_BYTES = 32 * 1024 * 1024


def _a_phone(_form: FlaskForm, field: StringField) -> None:
    if field.data and not phone_key(field.data):
        raise ValidationError("At least seven digits, as 555-0142. Withheld, or not said: leave it empty.")


def _line(words: str, *validators: object, longest: int = LONGEST_LINE, id: str | None = None) -> StringField:  # noqa: A002  the library's own name
    too_long = Length(max=longest, message=f"At most {longest} letters.")
    return StringField(words, filters=[stripped], validators=[*validators, too_long], id=id)


class BookingForm(CallForm):
    """One call: what was asked, where, who, what is wrong, who goes."""

    job_id = HiddenField(validators=[UUID("Open this page anew: the form lost its number.")])
    """Made with the form, so that a form sent twice books once."""
    site_id = StringField("Which address")
    """A known address that was chosen, `new` for a new one, or nothing while the desk has not decided."""
    street = _line("Street and number", Optional())
    town = _line("Town", Optional())
    postcode = _line("Postcode", Optional(), longest=20)
    phone = _line("Phone", Optional(), _a_phone, longest=40)
    customer_name = _line("Customer's name", Optional())
    access_words = _line("How to get in", Optional())
    complaint = SelectField("What is wrong", validators=[InputRequired("Choose what comes nearest.")])
    complaint_words = TextAreaField(
        "In the caller's own words",
        filters=[stripped],
        validators=[
            DataRequired("What did the caller say? The technician reads these words first."),
            Length(max=LONGEST_STORY, message=f"At most {LONGEST_STORY} letters."),
        ],
    )
    technician_id = SelectField("Who goes", validators=[InputRequired("Choose who goes.")])


class MoveForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """Another technician takes the job."""

    technician_id = SelectField("Who goes now", validators=[InputRequired("Choose who goes.")])
    why = _line("Why", Optional())
    if_nobody_goes = HiddenField()
    """Set by a button that stands only where nobody goes: somebody else may send somebody meanwhile."""


def _reason(words: str, *, id: str) -> StringField:  # noqa: A002  the library's own name
    return _line(words, DataRequired("Say why: whoever reads it later was not on the phone."), id=id)


class CorrectForm(AppointmentForm):
    """What was heard or typed wrong."""

    def due_cleared(self) -> bool:
        """The appointment is taken back, and no other is promised."""
        return bool(self.due_day.data == NO_APPOINTMENT)

    stood = HiddenField()
    """How the booking stood when the form was opened: somebody else may correct it meanwhile."""
    complaint = SelectField("What is wrong", validators=[Optional()])
    complaint_words = TextAreaField(
        "In the caller's own words",
        filters=[stripped],
        validators=[Optional(), Length(max=LONGEST_STORY, message=f"At most {LONGEST_STORY} letters.")],
    )
    phone = _line("Phone for this job", Optional(), _a_phone, longest=40)
    why = _reason("Why it is corrected", id="correct_why")


class CancelForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """Nobody goes."""

    why = _reason("Why nobody goes", id="cancel_why")


class SettleForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """Nobody has to go again."""

    why = _reason("Why nobody has to go again", id="settle_why")


class PutBackForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """What was left off is in service again: one entry or several."""

    left_off_ids = SelectMultipleField(
        "Which is back in service",
        validate_choice=False,
        validators=[DataRequired("Mark what is back in service.")],
        id="put_back_ids",
    )
    back_who = _line(
        "Who put it back: name, and licence or company", DataRequired("Say who put it back: name, licence or company.")
    )
    back_when = _line("When it was put back", Optional())
    back_work = StringField(
        "What was put right",
        filters=[stripped],
        validators=[Length(max=LONGEST_STORY, message=f"At most {LONGEST_STORY} letters.")],
    )
    back_co_ppm = _line("CO in the room after it ran, ppm", Optional(), longest=12)

    def validate_back_who(self, field: StringField) -> None:
        """Somebody who can be asked again."""
        if not tells("who_words", field.data):
            raise ValidationError("A name of two words, or a name with a licence number: as Ada Pipe, or Pipe 4711.")

    def validate_back_when(self, field: StringField) -> None:
        """It has been, at a day and an hour."""
        at = self.back_at()
        if field.data and at is None:
            raise ValidationError("A day and an hour, as 2026-11-24T14:30. Not known: leave it empty.")
        if at and at > datetime.now(UTC):
            raise ValidationError("That is still to come. Note it when it has been put back.")

    def validate_back_work(self, field: StringField) -> None:
        """A bare word says nothing that could be looked at again."""
        if field.data and not tells("work_words", field.data):
            raise ValidationError("More than one word: what was made or changed. Not known: leave it empty.")

    def validate_back_co_ppm(self, field: StringField) -> None:
        """As a number, or not at all: "fine" is none."""
        if field.data and not _PPM.fullmatch(field.data):
            raise ValidationError("Only the number that they read, as 0 or 12. None was read: leave it empty.")

    def back_at(self) -> datetime | None:
        """When it was put back; nothing where that was not said, or cannot be read."""
        return parse_local(self.back_when.data or "")

    def heard(self) -> PutBackHeard:
        """What they told the office."""
        at = self.back_at()
        ppm = float(self.back_co_ppm.data) if self.back_co_ppm.data else None
        return PutBackHeard(self.back_who.data, said_moment_words(at) if at else "", self.back_work.data or "", ppm)


class NoteForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """Something that the office heard or did, to be remembered of a job."""

    note_words = StringField(
        "What is to be remembered",
        filters=[stripped],
        validators=[
            DataRequired("Nothing is typed yet."),
            Length(max=LONGEST_STORY, message=f"At most {LONGEST_STORY} letters."),
        ],
        id="note_words",
    )


class AddressForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """An address as it should have been heard."""

    stood = HiddenField()
    """How it stood when the form was opened: somebody else may correct it meanwhile."""
    street = _line("Street and number", DataRequired("Where is it? The street and its number."))
    town = _line("Town", DataRequired("Which town?"))
    postcode = _line("Postcode", Optional(), longest=20)
    customer_name = _line("Customer's name", Optional())
    phone = _line("Phone", Optional(), _a_phone, longest=40)
    access_words = _line("How to get in", Optional())


class OfficeToldForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """Somebody rang about a heater left off."""

    who_words = _line("Who rings", DataRequired("Who told the office?"), id="told_who")
    told_words = _line("What they say", Optional(), id="told_words")
    told_at = StringField("At what time, if earlier today", filters=[stripped], id="told_at")

    def validate_told_at(self, field: StringField) -> None:
        """It has been: nobody was told in an hour that is still to come."""
        if field.data and read_hour(field.data) is None:
            raise ValidationError("As 14:30 or 2:30 pm.")
        if self.told() > datetime.now(UTC):
            raise ValidationError("That hour is still to come.")

    def told(self) -> datetime:
        """When the office was told: now, where nothing else is said."""
        hour = read_hour(self.told_at.data or "")
        return at_local(today(), hour) if hour else datetime.now(UTC)


class HeardForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """The office rang somebody who is below, and heard them."""

    person_id = HiddenField(validators=[UUID("Open this page anew: the form lost whose it is.")])
    heard_words = _line("What they say", Optional(), id="heard_words")


class LetInForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """Which of the entries that were kept apart come in."""

    held_ids = SelectMultipleField(
        "Entries", validate_choice=False, validators=[DataRequired("Mark at least one entry.")]
    )


class QueueFileForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """The file that a phone made with "save the queue to a file"."""

    queue_file = FileField(
        "Queue file",
        validators=[
            FileRequired("Choose the file that the phone saved."),
            FileSize(max_size=LARGEST_QUEUE_FILE_BYTES, message="Larger than any phone's queue: 32 MB at most."),
        ],
    )
    queue: QueueFile | None = None
    """What is in it, once it was read."""

    def validate_queue_file(self, field: FileField) -> None:
        """Read it here, so that what is wrong with the file is told beside its field."""
        try:
            self.queue = parse_queue_file(field.data.read())
        except BadForm as error:
            raise ValidationError(error.message) from error

    trusted = BooleanField("I know this phone and who holds it: let in what would otherwise be kept apart")
