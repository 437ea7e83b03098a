"""The company's own sentences beside the words that are said at once: above or below ours, never in their place.

Each version is kept with who typed it and when, so that it can be told later what stood there during a call.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any, NamedTuple

from webapp.models import CompanySetting
from webapp.models.base import wall_time
from webapp.sheets import queries
from webapp.sites.clock import parse_wall
from webapp.sites.office_event_words import SAID_WORDS

if TYPE_CHECKING:
    from collections.abc import Mapping

    from sqlalchemy.orm import Session

    from webapp.models import Person

WORDS_AT_ONCE = "words_at_once"
"""A list of versions, the oldest first: `{"at", "person_id", "words": {"gas_out": {"above", "below"}}}`."""
PLACES = ("above", "below")
SAY_IDS = tuple(SAID_WORDS)
LONGEST_SENTENCE = 200


class OwnWords(NamedTuple):
    """Empty where the company has none."""

    above: str = ""
    below: str = ""


def read_own_words(session: Session, at: datetime | None = None) -> dict[str, OwnWords]:
    """By the words they stand beside; as they stood at that moment, or as they stand now."""
    versions = [one for one in _versions(session) if at is None or (parse_wall(one["at"]) or at) <= at]
    words = versions[-1]["words"] if versions else {}
    return {say: OwnWords(**words.get(say, {})) for say in SAY_IDS}


def keep_own_words(
    session: Session, person: Person, chosen: Mapping[str, OwnWords], now: datetime | None = None
) -> None:
    """A newer version, where something is otherwise. Commits."""
    if dict(chosen) == read_own_words(session):
        return
    now = now or datetime.now(UTC)
    words = {say: dict(own._asdict()) for say, own in chosen.items()}
    versions = [*_versions(session), {"at": wall_time(now), "person_id": person.id, "words": words}]
    session.merge(CompanySetting(name=WORDS_AT_ONCE, value=versions, person_id=person.id, changed_at=now))
    session.commit()


def _versions(session: Session) -> list[dict[str, Any]]:
    row = queries.get_settings(session).get(WORDS_AT_ONCE)
    return list(row.value) if row else []
