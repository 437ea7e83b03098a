"""Deciding whether two entries are one address, and taking a decision back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from webapp.errors import Conflict, NotFound
from webapp.office import queries
from webapp.office.without_address import given_back, taken_over
from webapp.people.service import Draft, record_office_events
from webapp.sites import finding, one_door

if TYPE_CHECKING:
    from collections.abc import Collection

    from sqlalchemy.orm import Session

    from webapp.models import Person, Site
    from webapp.sites.finding import AddressLine
    from webapp.sites.one_door import Decision, DoubtfulPair, DoubtPage

SAID = {"same": one_door.SAME, "not_same": one_door.NOT_SAME}
MOST_PUT_OFF = 40


@dataclass(frozen=True)
class SameAs:
    """One address, and what it may be the same as."""

    site: Site
    pairs: list[DoubtfulPair]
    found: list[AddressLine]
    """By the words that were searched for, without the address itself."""
    decisions: list[Decision]


def list_in_doubt(session: Session, before_id: str | None, put_off: Collection[str]) -> DoubtPage:
    """Undecided pairs; those that were put off come last."""
    page = one_door.list_doubtful(session, before_id)
    page.pairs.sort(key=lambda pair: pair.key in put_off)
    return page


def read_same_as(session: Session, site_id: str, typed: str) -> SameAs:
    """Where somebody says that this address is known under another entry."""
    site = queries.get_site(session, site_id)
    if site is None:
        raise NotFound("There is no such address here.")
    lines = finding.list_addresses(session, typed, None).lines if typed else []
    return SameAs(
        site=site,
        pairs=one_door.pairs_of(session, site_id),
        found=[line for line in lines if line.site.group_id != site.group_id],
        decisions=one_door.decisions_about(session, [site_id]),
    )


def may_be_known(session: Session, site_id: str) -> bool:
    """Whether somebody has to decide about this entry."""
    return bool(one_door.pairs_of(session, site_id))


def say(session: Session, person: Person, one_id: str, other_id: str, said: str) -> None:
    """Record that two entries are one address, or that they are two."""
    record_office_events(session, person, _decision(session, one_id, other_id, said))


def take_back(session: Session, person: Person, event_id: str, site_id: str) -> None:
    """Undo what this person said; another person's word is answered by the opposite, not taken back."""
    decision = next((one for one in one_door.decisions_about(session, [site_id]) if one.event_id == event_id), None)
    if decision is None:
        raise Conflict("This does not stand any more.")
    if decision.person_id == person.id:
        drafts: list[Draft] = [{"site_id": decision.site_id, "kind": "withdrawn", "body": {}, "replaces": [event_id]}]
    else:
        opposite = "not_same" if decision.kind == one_door.SAME else "same"
        drafts = _decision(session, decision.one.site_id, decision.other.site_id, opposite)
    record_office_events(session, person, [*drafts, *given_back(session, decision)])


def _decision(session: Session, one_id: str, other_id: str, said: str) -> list[Draft]:
    newer, older = (queries.get_site(session, site_id) for site_id in (max(one_id, other_id), min(one_id, other_id)))
    if newer is None or older is None or newer is older:
        raise NotFound("There is no such address here.")
    decision: Draft = {"site_id": newer.id, "kind": SAID[said], "body": {"other_site_id": older.id}}
    return [decision, *(taken_over(newer, older) if said == "same" else [])]


def put_off(kept: list[str], key: str) -> list[str]:
    """The pairs that somebody looks at later, this one the last of them."""
    return [*(one for one in kept if one != key), key][-MOST_PUT_OFF:]
