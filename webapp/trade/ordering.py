"""Sorting that both engines agree on: the phone's own `sorted` is not stable, and slow on what is in order."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable
    from typing import Any

    from .record_types import Mark

    FoldPlace = tuple[int, str, str]

# Before everything that was noted.
NEVER: FoldPlace = (-1, "", "")
# After it: no counter is larger (RFC 8259, section 6).
LAST: FoldPlace = (9007199254740992, "", "")


def fold_place(by: Mark) -> FoldPlace:
    """Where a line of the record stands in the fold's order: two phones may count alike, and one of them comes first.

    One phone gives no number twice within a job; the id stands last for what an older one may have sent.
    Source: docs/sync.md (lamport, device_id, dev_seq, id).
    """
    return (by["lamport"], by["device_id"], by["event_id"])


def in_order(items: list[Any], key: Callable[[Any], Any]) -> list[Any]:
    """A stable merge sort, by a key that is worked out once for each item.

    Range: any length. Example: `in_order([3, 1, 2], key=lambda n: n)` is `[1, 2, 3]`.
    Source: the usual bottom-up merge, Knuth, TAOCP vol. 3, 5.2.4 (from memory).
    """
    pairs = [(key(item), item) for item in items]
    if _is_ordered(pairs):
        return [item for _key, item in pairs]
    width = 1
    while width < len(pairs):
        merged: list[tuple[Any, Any]] = []
        start = 0
        while start < len(pairs):
            _merge(pairs, start, width, merged)
            start += 2 * width
        pairs = merged
        width *= 2
    return [item for _key, item in pairs]


def _is_ordered(pairs: list[tuple[Any, Any]]) -> bool:
    """Most come as they were stored: in order already."""
    for position in range(1, len(pairs)):
        if pairs[position][0] < pairs[position - 1][0]:
            return False
    return True


def _merge(pairs: list[tuple[Any, Any]], start: int, width: int, into: list[tuple[Any, Any]]) -> None:
    left, right = start, start + width
    left_end = min(start + width, len(pairs))
    right_end = min(start + 2 * width, len(pairs))
    while left < left_end and right < right_end:
        if pairs[right][0] < pairs[left][0]:
            into.append(pairs[right])
            right += 1
        else:
            into.append(pairs[left])
            left += 1
    into.extend(pairs[left:left_end])
    into.extend(pairs[right:right_end])


def same_json(one: object, other: object) -> bool:
    """Whether two JSON values are the same. 1 and 1.0 are one number (some writers drop the point); true is none."""
    waiting: list[tuple[Any, Any]] = [(one, other)]
    while waiting:
        a, b = waiting.pop()
        if _is_plain_number(a) and _is_plain_number(b):
            if a != b and (a == a or b == b):
                return False
            continue
        if type(a) is not type(b):
            return False
        if isinstance(a, dict):
            if len(a) != len(b):
                return False
            for name in a:
                if name not in b:
                    return False
                waiting.append((a[name], b[name]))
        elif isinstance(a, (list, tuple)):
            if len(a) != len(b):
                return False
            for position in range(len(a)):
                waiting.append((a[position], b[position]))
        elif a != b:
            return False
    return True


def _is_plain_number(value: object) -> bool:
    return isinstance(value, (int, float)) and not isinstance(value, bool)


def in_steps(value: float) -> int:
    """Rounded to a billionth, so that equal weights tie alike on both engines."""
    return int(value * 1e9 + (0.5 if value >= 0 else -0.5))
