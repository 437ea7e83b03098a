"""Fields that say exactly what may travel. Nothing is converted: what was sent is what is stored."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from marshmallow import Schema, ValidationError, fields, missing
from typing_extensions import override

UUID_FORM = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{4}-[0-9a-f]{12}")
UUID7_FORM = re.compile(r"[0-9a-f]{8}-[0-9a-f]{4}-7[0-9a-f]{3}-[89ab][0-9a-f]{3}-[0-9a-f]{12}")
SHA256_FORM = re.compile(r"[0-9a-f]{64}")
NAME_FORM = re.compile(r"[a-z][a-z0-9_]{0,39}")

# RFC 3339, section 5.6, narrowed to UTC written as `Z`.
WALL_FORM = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}T[0-9]{2}:[0-9]{2}:[0-9]{2}(\.[0-9]{1,9})?Z")

DAY_FORM = re.compile(r"[0-9]{4}-[0-9]{2}-[0-9]{2}")

# SVG 2, section 9.3: absolute move-to and line-to alone.
STROKE_FORM = re.compile(r"(M[0-9]{1,3} [0-9]{1,3}(L[0-9]{1,3} [0-9]{1,3})*)+")
STROKE_LENGTH = 20_000

WORDS_LENGTH = 4000
LINE_LENGTH = 200
LARGEST_WHOLE = 2**53 - 1
"""The largest whole number that every JSON engine carries exactly (RFC 8259, section 6)."""


LARGEST_NUMBER = 1e300
"""As in the fold: far from where doubles end. Compared, not converted: a whole number may have a thousand digits."""


UNKNOWN_KEY = {"unknown": "is not known in this place"}
"""For schemas: what a person at the office reads about a key that should not be there."""


class Exact(fields.Field[Any]):
    """Parent of the fields below: `holds` says whether the value may pass."""

    words = "is not right"
    default_error_messages = {"required": "is missing", "null": "must not be empty"}  # noqa: RUF012 (as the library has it)

    def __init__(self, limits: Mapping[str, Any] | None = None, **kwargs: Any) -> None:
        # `metadata` is where the OpenAPI document takes limits from.
        super().__init__(metadata=limits or {}, **kwargs)

    def holds(self, value: Any) -> bool:
        """Whether the value may pass, as it is."""
        raise NotImplementedError

    @override
    def deserialize(
        self, value: Any, attr: str | None = None, data: Mapping[str, Any] | None = None, **kwargs: Any
    ) -> Any:
        """The value itself. Shorter than the library's way, which half of a push's time went into: no validators."""
        if value is missing:
            if self.required:
                raise self.make_error("required")
            return self.load_default
        if value is None:
            if not self.allow_none:
                raise self.make_error("null")
        elif not self.holds(value):
            raise ValidationError(self.words)
        return value


def passes(schema: Schema, data: Any) -> bool:
    """Whether the data pass every field of a schema that has nothing but fields of this module.

    The same fields decide as in `schema.validate`, without its bookkeeping: nearly all that arrives is right.
    Where this says no, `validate` says what is wrong.
    """
    if not isinstance(data, dict):
        return False
    found = 0
    for name, field in schema.load_fields.items():
        value = data.get(name, missing)
        if value is missing:
            if field.required:
                return False
            continue
        found += 1
        if value is None:
            if not field.allow_none:
                return False
        elif not field.holds(value):  # type: ignore[attr-defined]  # all are Exact; a test holds it
            return False
    return found == len(data)


class Text(Exact):
    """Text up to a length, without NUL (PostgreSQL cannot hold it)."""

    def __init__(self, longest: int = WORDS_LENGTH, **kwargs: Any) -> None:
        super().__init__({"maxLength": longest}, **kwargs)
        self.longest = longest
        self.words = f"must be text of at most {longest} characters"

    @override
    def holds(self, value: Any) -> bool:
        return isinstance(value, str) and len(value) <= self.longest and "\x00" not in value


class Formed(Exact):
    """Text of one form."""

    form: re.Pattern[str]

    def __init__(self, **kwargs: Any) -> None:
        super().__init__({"pattern": f"^{self.form.pattern}$"}, **kwargs)

    @override
    def holds(self, value: Any) -> bool:
        return isinstance(value, str) and self.form.fullmatch(value) is not None


class Uuid(Formed):
    """Any UUID, in lower case."""

    form = UUID_FORM
    words = "must be a UUID in lower case"


class Uuid7(Formed):
    """A UUIDv7 (RFC 9562, section 5.7), in lower case."""

    form = UUID7_FORM
    words = "must be a UUIDv7 in lower case"


class Sha256(Formed):
    """A SHA-256, hex, in lower case."""

    form = SHA256_FORM
    words = "must be a SHA-256 in lower-case hex"


class KindName(Formed):
    """The name of a kind of event; ones that this server does not know pass too."""

    form = NAME_FORM
    words = "must be a short lower-case name"


class WallTime(Formed):
    """A moment by the device's clock."""

    form = WALL_FORM
    words = "must be an RFC 3339 time in UTC, ending in Z"

    @override
    def holds(self, value: Any) -> bool:
        if not super().holds(value):
            return False
        try:
            datetime.fromisoformat(value[:19])
        except ValueError:
            return False
        return True


class Day(Formed):
    """A day of the calendar, RFC 3339 `full-date`."""

    form = DAY_FORM
    words = "must be a date such as 2026-11-24"

    @override
    def holds(self, value: Any) -> bool:
        if not super().holds(value):
            return False
        try:
            date.fromisoformat(value)
        except ValueError:
            return False
        return True


class StrokePath(Formed):
    """What a finger drew: an SVG path of M and L with whole numbers, in a box of 600 by 200, nothing else."""

    form = STROKE_FORM
    words = "must be an SVG path of M and L with whole numbers"

    @override
    def holds(self, value: Any) -> bool:
        return isinstance(value, str) and len(value) <= STROKE_LENGTH and super().holds(value)


class Whole(Exact):
    """A whole number within limits; `true` and `1.0` are none."""

    def __init__(self, low: int = 0, high: int = LARGEST_WHOLE, **kwargs: Any) -> None:
        super().__init__({"minimum": low, "maximum": high}, **kwargs)
        self.low, self.high = low, high
        self.words = f"must be a whole number from {low} to {high}"

    @override
    def holds(self, value: Any) -> bool:
        return type(value) is int and self.low <= value <= self.high


class Number(Exact):
    """A finite number."""

    words = "must be a number of at most 300 digits"

    @override
    def holds(self, value: Any) -> bool:
        return type(value) in (int, float) and -LARGEST_NUMBER <= value <= LARGEST_NUMBER


class YesNo(Exact):
    """`true` or `false`."""

    words = "must be true or false"

    @override
    def holds(self, value: Any) -> bool:
        return isinstance(value, bool)


class Choice(Exact):
    """One word of a list."""

    def __init__(self, *choices: str, **kwargs: Any) -> None:
        super().__init__({"enum": choices}, **kwargs)
        self.choices = frozenset(choices)
        self.words = "must be one of " + ", ".join(choices)

    @override
    def holds(self, value: Any) -> bool:
        return isinstance(value, str) and value in self.choices


class Uuids(Exact):
    """A list of ids."""

    words = "must be a list of at most 200 UUIDs"

    @override
    def holds(self, value: Any) -> bool:
        return (
            isinstance(value, list)
            and len(value) <= 200
            and all(isinstance(one, str) and UUID_FORM.fullmatch(one) for one in value)
        )


class Names(Exact):
    """A list of short names."""

    words = "must be a list of at most 100 short names, without NUL"

    @override
    def holds(self, value: Any) -> bool:
        return (
            isinstance(value, list)
            and len(value) <= 100
            and all(isinstance(one, str) and len(one) <= 80 and "\x00" not in one for one in value)
        )


class AnyObject(Exact):
    """A JSON object; what is in it is checked by kind and schema."""

    words = "must be an object"

    @override
    def holds(self, value: Any) -> bool:
        return isinstance(value, dict)
