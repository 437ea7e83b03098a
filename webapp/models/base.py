"""The declarative base, names for every constraint, and the column types that both databases share."""

from __future__ import annotations

import json
from datetime import UTC, datetime
from typing import Any

from sqlalchemy import DateTime, MetaData, String, Text
from sqlalchemy.engine import Dialect
from sqlalchemy.orm import DeclarativeBase
from sqlalchemy.types import TypeDecorator
from typing_extensions import override

NAMING_CONVENTION = {
    "ix": "ix_%(table_name)s_%(column_0_N_name)s",
    "uq": "uq_%(table_name)s_%(column_0_N_name)s",
    "ck": "ck_%(table_name)s_%(constraint_name)s",
    "fk": "fk_%(table_name)s_%(column_0_name)s_%(referred_table_name)s",
    "pk": "pk_%(table_name)s",
}

UUID_LENGTH = 36
SHA256_HEX_LENGTH = 64


_encode = json.JSONEncoder(sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False).encode


def canonical_json(value: Any) -> str:
    """The one text of a JSON value: sorted keys, no spaces, not escaped beyond what JSON demands."""
    return _encode(value)


class Base(DeclarativeBase):
    """Parent of all tables."""

    metadata = MetaData(naming_convention=NAMING_CONVENTION)


class UuidText(TypeDecorator[str]):
    """A UUID as its 36 lower-case characters: what travels is what is stored."""

    impl = String(UUID_LENGTH)
    cache_ok = True


class UtcDateTime(TypeDecorator[datetime]):
    """An aware UTC time. SQLite drops the zone, so it is put back on the way out."""

    impl = DateTime(timezone=True)
    cache_ok = True

    @override
    def process_bind_param(self, value: datetime | None, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        if value.tzinfo is None:
            raise ValueError("a naive datetime has no place in the store")
        return value.astimezone(UTC)

    @override
    def process_result_value(self, value: Any, dialect: Dialect) -> datetime | None:
        if value is None:
            return None
        found: datetime = value
        return found.replace(tzinfo=UTC) if found.tzinfo is None else found.astimezone(UTC)


class JsonText(TypeDecorator[Any]):
    """A JSON value kept as canonical text, so that its hash can be made again from the row."""

    impl = Text
    cache_ok = True

    @override
    def process_bind_param(self, value: Any, dialect: Dialect) -> str | None:
        return None if value is None else canonical_json(value)

    @override
    def process_result_value(self, value: Any, dialect: Dialect) -> Any:
        return None if value is None else json.loads(value)


def wall_time(moment: datetime) -> str:
    """RFC 3339 with milliseconds, in UTC, as it travels."""
    return moment.astimezone(UTC).isoformat(timespec="milliseconds").replace("+00:00", "Z")
