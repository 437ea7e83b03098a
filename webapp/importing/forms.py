"""What is sent: a file, then the word that it may come in."""

from __future__ import annotations

from flask_wtf import FlaskForm
from flask_wtf.file import FileField, FileRequired
from wtforms import HiddenField


class ImportForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """The file for the dry run."""

    csv_file = FileField("CSV file", validators=[FileRequired("Choose the file.")])


class ConfirmForm(FlaskForm):  # type: ignore[misc]  # the library has no types
    """The file that was shown is to come in."""

    kept_name = HiddenField()
