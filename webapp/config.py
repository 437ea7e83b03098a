"""Every setting, read from the environment in one place. docs/deploy.md explains each; a test compares the two."""

from __future__ import annotations

import os
import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

SECRET_FILE = "secret-key"  # noqa: S105 (the name of a file)
SECRET_BYTES = 32


def _whole(text: str) -> int:
    number = int(text)
    if number < 0:
        raise ValueError(text)
    return number


def _yes_or_no(text: str) -> bool:
    choices = {"1": True, "true": True, "yes": True, "0": False, "false": False, "no": False}
    if text.lower() not in choices:
        raise ValueError(text)
    return choices[text.lower()]


@dataclass(frozen=True)
class Setting:
    """One name in the environment; the app's config has it under the same name."""

    name: str
    default: Any
    parse: Callable[[str], Any]


SETTINGS = (
    Setting("UNDERCROFT_DATA", Path("instance"), Path),
    Setting("DATABASE_URL", "", str),
    Setting("SECRET_KEY", "", str),
    Setting("UNDERCROFT_COOKIE_SECURE", True, _yes_or_no),
    Setting("UNDERCROFT_PROXIES", 0, _whole),
    Setting("UNDERCROFT_PHONE_TOKEN_DAYS", 365, _whole),
    Setting("UNDERCROFT_ENROL_MINUTES", 10, _whole),
    Setting("UNDERCROFT_SIGN_IN_HOURS", 12, _whole),
)


class BadSetting(ValueError):
    """A setting in the environment cannot be read; the start stops there."""

    def __init__(self, name: str, text: str) -> None:
        super().__init__(f"the setting {name} cannot be {text!r}; see docs/deploy.md")


def read_settings(environ: Mapping[str, str], overrides: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """All settings: what was passed in, else the environment, else the default."""
    given = dict(overrides or {})
    settings = {s.name: given.pop(s.name) if s.name in given else _read(s, environ) for s in SETTINGS}
    settings["UNDERCROFT_DATA"] = Path(settings["UNDERCROFT_DATA"]).absolute()
    return settings | given


def complete_settings(overrides: Mapping[str, Any] | None = None) -> dict[str, Any]:
    """The settings with the data folder made, and the secret and database address filled in."""
    settings = read_settings(os.environ, overrides)
    data: Path = settings["UNDERCROFT_DATA"]
    data.mkdir(parents=True, exist_ok=True)
    settings["DATABASE_URL"] = database_url(settings["DATABASE_URL"], data)
    settings["SECRET_KEY"] = settings["SECRET_KEY"] or secret_key_of(data)
    return settings


def database_url(given: str, data: Path) -> str:
    """The address for SQLAlchemy: SQLite in the data folder unless given; PostgreSQL always through psycopg 3."""
    if not given:
        return f"sqlite:///{data / 'undercroft.sqlite3'}"
    for prefix in ("postgres://", "postgresql://"):
        if given.startswith(prefix):
            return "postgresql+psycopg://" + given.removeprefix(prefix)
    return given


def secret_key_of(data: Path) -> str:
    """The key kept in the data folder, made on the first start; two workers starting at once agree on one."""
    path = data / SECRET_FILE
    try:
        handle = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    except FileExistsError:
        return path.read_text(encoding="ascii").strip()
    with os.fdopen(handle, "w", encoding="ascii") as file:
        file.write(secrets.token_hex(SECRET_BYTES))
    return path.read_text(encoding="ascii").strip()


def _read(setting: Setting, environ: Mapping[str, str]) -> Any:
    text = environ.get(setting.name, "")
    if text == "":
        return setting.default
    try:
        return setting.parse(text)
    except ValueError as error:
        raise BadSetting(setting.name, text) from error
