"""Which store a command of `undercroft` works on."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import click

from webapp.config import complete_settings
from webapp.extensions import Database


def data_option(default: str = "instance", envvar: str | None = "UNDERCROFT_DATA") -> Callable[[Any], Any]:
    """Return the option `--data`: the folder that a command works in."""
    return click.option(
        "--data",
        type=click.Path(path_type=Path, file_okay=False),
        envvar=envvar,
        default=default,
        show_default=True,
        help="Folder with the store and the photos.",
    )


@contextmanager
def opened_store(data: Path, **overrides: Any) -> Iterator[tuple[Database, dict[str, Any]]]:
    """Give the store of this folder (or of DATABASE_URL), and all settings."""
    settings = complete_settings({"UNDERCROFT_DATA": data, **overrides})
    database = Database(settings["DATABASE_URL"])
    try:
        yield database, settings
    finally:
        database.dispose()
