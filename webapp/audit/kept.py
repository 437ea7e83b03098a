"""What took long to count is shown again for a minute. The page says as of when it stands."""

from __future__ import annotations

import time
import weakref
from typing import TYPE_CHECKING, Any, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable

    from sqlalchemy import Connection, Engine

Made = TypeVar("Made")

SLOW_S = 0.5
"""Processor time: small stores, and all tests, are counted afresh each time."""
KEPT_S = 60.0

_kept: weakref.WeakKeyDictionary[Any, tuple[float, Any]] = weakref.WeakKeyDictionary()


def keep_if_slow(store: Engine | Connection, make: Callable[[], Made]) -> Made:
    """What `make` gives, or what it gave for this store less than a minute ago, where making it was slow."""
    until_s, made = _kept.get(store, (0.0, None))
    if time.monotonic() < until_s:
        return made  # type: ignore[no-any-return]  # kept by this very function
    began_s = time.thread_time()
    found = make()
    if time.thread_time() - began_s > SLOW_S:
        _kept[store] = (time.monotonic() + KEPT_S, found)
    return found


def forget() -> None:
    """Count afresh at the next look."""
    _kept.clear()
