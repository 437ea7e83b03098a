"""Slows down whoever guesses: failures per key within a window, counted in the database."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, timedelta

from sqlalchemy.orm import Session

from webapp.errors import TooManyTries
from webapp.models import Throttle
from webapp.people import queries


@dataclass(frozen=True)
class Limit:
    """At most so many failures in so many minutes."""

    key: str
    failures: int
    minutes: int


def sign_in_limits(login: str, address: str) -> list[Limit]:
    """Narrow for one login from one place; wider for either alone, so that nobody locks a colleague out by typing."""
    login = login.strip().lower()[:80]
    return [
        Limit(f"sign-in {login} {address}", 8, 15),
        Limit(f"sign-in {login}", 100, 15),
        Limit(f"sign-in from {address}", 60, 15),
    ]


def enrol_limits(address: str) -> list[Limit]:
    """Codes live ten minutes; at 200 tries in ten minutes one of 6.5e11 codes is not found."""
    return [Limit(f"enrol from {address}", 12, 10), Limit("enrol", 200, 10)]


def refuse_when_over(session: Session, limits: list[Limit], now: datetime) -> None:
    """Raise TooManyTries when any of the limits is reached."""
    for limit in limits:
        row = queries.get_throttle(session, limit.key)
        if row and _is_in_window(row, limit, now) and row.failures >= limit.failures:
            raise TooManyTries(minutes=limit.minutes)


def count_failure(session: Session, limits: list[Limit], now: datetime) -> None:
    """One more under each key, or the first of a new window; the caller commits."""
    for limit in limits:
        queries.count_failure(session, limit.key, now, window_since=now - timedelta(minutes=limit.minutes))


def _is_in_window(row: Throttle, limit: Limit, now: datetime) -> bool:
    return now - row.window_began_at < timedelta(minutes=limit.minutes)
