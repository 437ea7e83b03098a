"""What is typed at the sign-in and about people, and the empty forms behind the buttons."""

from __future__ import annotations

from flask_wtf import FlaskForm
from wtforms import HiddenField, PasswordField, SelectField, StringField
from wtforms.validators import DataRequired, EqualTo, InputRequired, Length, ValidationError

from webapp.models import Role
from webapp.people.service import SHORTEST_PASSWORD

LONGEST_PASSWORD = 200
ROLES = [role.value for role in Role]


def _one_line(typed: str | None) -> str:
    return " ".join((typed or "").split())


def _long_enough(_form: FlaskForm, field: PasswordField) -> None:
    if field.data and not SHORTEST_PASSWORD <= len(field.data) <= LONGEST_PASSWORD:
        raise ValidationError(f"{SHORTEST_PASSWORD} characters or more, {LONGEST_PASSWORD} at most.")


class SignInForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """Login and password."""

    login = StringField("Login", validators=[InputRequired("Type your login."), Length(max=80)])
    password = PasswordField("Password", validators=[InputRequired("Type your password."), Length(max=200)])
    next = HiddenField()


class ButtonForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """A button that changes something: nothing to type, but it must come from our own page."""


class NewPersonForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """Somebody joins. Passwords are not sent back to the page: they are typed again."""

    name = StringField(
        "Name",
        filters=[_one_line],
        validators=[DataRequired("Their name, as it stands beside what they find."), Length(max=120)],
    )
    login = StringField(
        "Login",
        filters=[_one_line],
        validators=[DataRequired("What they type at the sign-in."), Length(max=80)],
    )
    role = SelectField("Role", choices=ROLES, default=Role.TECHNICIAN.value)
    password = PasswordField("Password", validators=[_long_enough])

    def validate_password(self, field: PasswordField) -> None:
        """A technician who only uses a phone needs none."""
        if not field.data and self.role.data != Role.TECHNICIAN:
            raise ValidationError("Work at the desk needs a password.")


class RoleForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """What somebody may do."""

    role = SelectField("Role", choices=ROLES)


class PasswordForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """A new password, typed twice."""

    password = PasswordField("New password", validators=[InputRequired("Type the new password."), _long_enough])
    again = PasswordField("The same again", validators=[EqualTo("password", "The two are not the same.")])


class LicenceForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """What stands on the licence."""

    words = StringField("Kind and number", filters=[_one_line], validators=[Length(max=120)])
    expires_on = StringField("Good until", filters=[_one_line])
