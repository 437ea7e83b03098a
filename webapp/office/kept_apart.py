"""Entries that phones sent and that were not let in: shown with the reason, and let in on the office's word."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, cast

from webapp.errors import SignedOut
from webapp.office import queries
from webapp.sites import service as sites
from webapp.sites.clock import Noted, noted_at
from webapp.sites.event_words import sentence
from webapp.sites.procedure_words import ProcedureWords, plain_words
from webapp.sites.timeline import SOMEBODY
from webapp.sync import held

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy.orm import Session

    from webapp.models import HeldEvent
    from webapp.trade.events import Event

REASON_WORDS = {
    "device_revoked": "from a phone that was closed",
    "another_person": "noted by somebody else than the one signed in on that phone",
    "not_this_address": "for an address that this phone does not see",
}


@dataclass(frozen=True)
class KeptApart:
    """One entry that waits."""

    held_id: str
    site_id: str
    address: str
    what: str
    detail: str
    who: str
    noted: Noted
    reason: str


def reason_words(code: str) -> str:
    """Why an entry was kept apart."""
    return REASON_WORDS.get(code, plain_words(code))


def list_kept_apart(session: Session) -> list[KeptApart]:
    """What waits, the oldest first."""
    waiting = held.list_held(session)
    names = sites.get_names(session, {str(one.event["person_id"]) for one in waiting})
    streets = queries.get_streets(session, {str(one.event["site_id"]) for one in waiting})
    return [_line(one, names, streets) for one in waiting]


def let_in(session: Session, office_device_id: str, held_ids: Sequence[str]) -> int:
    """Store what was marked; gives how many are in the store now."""
    device = queries.get_device(session, office_device_id)
    if device is None:
        raise SignedOut
    outcome = held.let_in(session, device, held_ids)
    return sum(result["status"] in ("stored", "duplicate") for result in outcome["results"])


def _line(one: HeldEvent, names: dict[str, str], streets: dict[str, str]) -> KeptApart:
    event = cast("Event", one.event)
    title, said, detail = sentence(event, ProcedureWords(None), names)
    return KeptApart(
        held_id=one.id,
        site_id=event["site_id"] if event["site_id"] in streets else "",
        address=streets.get(event["site_id"]) or "an address that is not here yet",
        what=f"{title}: {said.words}" if said else title,
        detail=detail,
        who=names.get(event["person_id"], SOMEBODY),
        noted=noted_at(event, one.held_at),
        reason=reason_words(one.reason),
    )
