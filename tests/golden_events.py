"""The golden events: every kind and schema ever shipped, with the record that was worked out by hand for it."""

from __future__ import annotations

from pathlib import Path
from typing import Any

FILES = sorted((Path(__file__).parent / "trade" / "golden").glob("*.json"))


def as_far_as_worked_out(found: Any, expected: Any) -> Any:
    """What was found, without the keys that were not worked out by hand: a record may grow, a golden file may not."""
    if isinstance(expected, dict) and isinstance(found, dict):
        return {name: as_far_as_worked_out(found[name], value) for name, value in expected.items() if name in found}
    if isinstance(expected, list) and isinstance(found, list) and len(expected) == len(found):
        return [as_far_as_worked_out(one, other) for one, other in zip(found, expected, strict=True)]
    return found
