"""What is typed at the sign-in, and the empty forms behind the buttons of the people's page."""

from __future__ import annotations

from flask_wtf import FlaskForm
from wtforms import HiddenField, PasswordField, StringField
from wtforms.validators import InputRequired, Length


class SignInForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """Login and password."""

    login = StringField("Login", validators=[InputRequired("Type your login."), Length(max=80)])
    password = PasswordField("Password", validators=[InputRequired("Type your password."), Length(max=200)])
    next = HiddenField()


class ButtonForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """A button that changes something: nothing to type, but it must come from our own page."""
