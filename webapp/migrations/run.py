"""Brings a store up to date. `undercroft serve` and `demo` call it before the workers start."""

from __future__ import annotations

from pathlib import Path

from alembic import command
from alembic.config import Config
from sqlalchemy import Engine, text

MIGRATION_LOCK = 20_261_125
"""Any fixed number: two servers starting at once on one PostgreSQL take turns."""


def migrate(engine: Engine) -> None:
    """Run every migration that this store has not seen, in one transaction."""
    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent))
    config.set_main_option("path_separator", "os")
    with engine.begin() as connection:
        if connection.dialect.name == "postgresql":
            connection.execute(text("SELECT pg_advisory_xact_lock(:number)"), {"number": MIGRATION_LOCK})
        config.attributes["connection"] = connection
        command.upgrade(config, "head")
