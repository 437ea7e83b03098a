"""Checking the arguments of a call by its own description, so that every refusal has a name."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .bodies import is_number, is_whole
from .errors import TradeError

if TYPE_CHECKING:
    from typing import Any

# One call is bounded, because memory inside a call is not given back on the phone.
MOST_ITEMS = 5000


def check_arguments(described: list[tuple[str, Any, str]], given: dict[str, Any]) -> dict[str, Any]:
    """The arguments in the described shape; what may be left out is null. Raises missing_argument or bad_argument."""
    ready: dict[str, Any] = {}
    for name, holds, _unit in described:
        value = given.get(name)
        may_be_null = isinstance(holds, str) and holds[-1] == "?" or isinstance(holds, tuple) and holds[0] == "?"
        if value is None:
            if not may_be_null:
                raise TradeError("missing_argument", "Missing: " + name + ".")
        elif not _fits(value, holds[:-1] if isinstance(holds, str) and may_be_null else holds):
            raise TradeError("bad_argument", "Not as described: " + name + ".")
        if isinstance(value, list) and len(value) > MOST_ITEMS:
            raise TradeError("too_big", "More than " + str(MOST_ITEMS) + " in " + name + ".")
        ready[name] = float(value) if value is not None and holds in ("number", "number?") else value
    return ready


def _fits(value: Any, holds: Any) -> bool:
    if isinstance(holds, tuple):
        return isinstance(value, str) and value != "?" and value in holds
    if holds == "number":
        return is_number(value)
    if holds == "whole":
        return is_whole(value)
    if holds == "text":
        return isinstance(value, str)
    if holds == "flag":
        return isinstance(value, bool)
    if holds == "object":
        return isinstance(value, dict)
    if holds == "numbers":
        return isinstance(value, list) and all([is_number(one) for one in value])
    if holds == "numbers_or_null":
        return isinstance(value, list) and all([one is None or is_number(one) for one in value])
    if holds == "texts":
        return isinstance(value, list) and all([isinstance(one, str) for one in value])
    if holds == "objects":
        return isinstance(value, list) and all([isinstance(one, dict) for one in value])
    return isinstance(value, list)
