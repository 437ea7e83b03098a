"""Finding addresses: by typed words, or as one that a caller may be at. Nothing here writes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from webapp.sites import doubt_queries, queries
from webapp.sites.address_key import SHORT_FORMS, phone_key, street_key, words_key
from webapp.sites.found_in_service import standing_here
from webapp.sites.near_spelling import HEARD_RIGHT, beginnings, nearest_streets, nearly_all_in
from webapp.sites.off_here import OffHere
from webapp.sites.queries import VisitCount
from webapp.sites.reading_visits import facts_of, read_visits
from webapp.sites.street_parts import parts_of

if TYPE_CHECKING:
    from collections.abc import Sequence

    from sqlalchemy.orm import Session

    from webapp.models import Site
    from webapp.sites.about_address import AddressFacts, HeaterKnown
    from webapp.sites.visit import Visit

ADDRESSES_A_PAGE = 25
MATCHES_SHOWN = 6
MATCHES_LOOKED_AT = 40
VISITS_OF_A_MATCH = 3
NEAR_LOOKED_AT = 400
SHORTEST_KEY = 3
"""Fewer letters than this match half the town."""


@dataclass(frozen=True)
class AddressLine:
    """One address in a list."""

    site: Site
    count: VisitCount


@dataclass(frozen=True)
class AddressPage:
    """A page of the list, and where the next one begins."""

    lines: list[AddressLine]
    before: str | None
    near: bool = False
    """Nothing has all the words as typed: these are spelt nearly so."""


@dataclass(frozen=True)
class Match:
    """A known address that may be the caller's, with what already happened there."""

    site: Site
    exact: bool
    """The same door by street and town, however they were typed."""
    count: VisitCount
    visits: list[Visit]
    off_here: list[OffHere]
    """What stands off there, however long ago it was left off."""
    heaters: list[HeaterKnown]
    """What anybody described there."""

    @property
    def only_kind(self) -> str:
        """The kind of all heaters known there; empty where none is, or where they differ."""
        kinds = {heater.kind for heater in self.heaters}
        return kinds.pop() if len(kinds) == 1 else ""


def list_addresses(session: Session, typed: str, before_id: str | None) -> AddressPage:
    """Addresses that have all the typed words, latest first."""
    heads = queries.select_address_heads(search_words(typed), before_id)
    found = session.scalars(heads.limit(ADDRESSES_A_PAGE + 1)).all()
    near = [] if found or before_id else _spelt_nearly_so(session, typed)
    shown = (found or near)[:ADDRESSES_A_PAGE]
    counts = queries.get_visit_counts(session, [site.group_id for site in shown])
    lines = [AddressLine(site, counts.get(site.group_id, VisitCount(0, None))) for site in shown]
    return AddressPage(lines, shown[-1].id if len(found) > len(shown) else None, near=bool(near))


def _spelt_nearly_so(session: Session, typed: str) -> list[Site]:
    """Addresses for words that are there in no spelling as typed: by the house number, and by how the words begin."""
    near = [*_heard_nearly_so(session, typed), *_begun_nearly_so(session, typed)]
    return list({site.id: site for site in near}.values())


def _heard_nearly_so(session: Session, typed: str) -> list[Site]:
    number = parts_of(typed).number
    if not number:
        return []
    ids = nearest_streets(typed, doubt_queries.get_streets_with_number(session, number))[:MATCHES_LOOKED_AT]
    sites = queries.get_sites(session, ids)
    return _one_for_each_address([sites[site_id] for site_id in ids])


def _begun_nearly_so(session: Session, typed: str) -> list[Site]:
    words = search_words(typed)
    for letters in HEARD_RIGHT if words else ():
        heads = queries.select_address_heads(beginnings(words, letters), None).limit(NEAR_LOOKED_AT)
        near = [site for site in session.scalars(heads) if nearly_all_in(words, site.search_text)]
        if near:
            return near
    return []


def search_words(typed: str) -> list[str]:
    """What to look for: the words that tell doors apart, and a phone by its last digits."""
    key = phone_key(typed)
    if key and not any(c.isalpha() for c in typed):
        return [key]
    words = words_key(typed).split()
    telling = [word for word in words if word not in SHORT_FORMS and word not in SHORT_FORMS.values()]
    return telling or words


def find_matches(
    session: Session, *, street: str, town: str, phone: str, name: str = "", chosen_id: str = ""
) -> list[Match]:
    """Known addresses with this street or this phone, the same door first; by the name where those say nothing.

    An address that was chosen stays, whatever is typed after it.
    """
    candidates = _candidates(session, street=street, phone=phone)
    if not candidates or chosen_id not in {"", "new", "later", *(site.id for site in candidates)}:
        candidates += _with_words(session, name)
        candidates += queries.get_sites(session, [chosen_id]).values()
    wanted = _door(street, town)
    ranked = sorted(candidates, key=lambda site: -_likeness(site, wanted, phone_key(phone)))
    every = _one_for_each_address(ranked)
    heads = every[:MATCHES_SHOWN] + [site for site in every[MATCHES_SHOWN:] if site.id == chosen_id]
    counts = queries.get_visit_counts(session, [site.group_id for site in heads])
    now = datetime.now(UTC)
    return [
        _match(session, site, counts.get(site.group_id), now, exact=_door(site.street, site.town) == wanted)
        for site in heads
    ]


def _door(street: str, town: str) -> tuple[str, str]:
    return street_key(street), words_key(town)


def _match(session: Session, site: Site, count: VisitCount | None, now: datetime, *, exact: bool) -> Match:
    if count is None:
        return Match(site, exact, VisitCount(0, None), [], [], [])
    ids = [one.id for one in queries.get_sites_of_group(session, site.id)]
    facts = facts_of(session, ids)
    visits = _last_visits(session, ids, now, facts)
    return Match(site, exact, count, visits, standing_here(session, ids), facts.known)


def _candidates(session: Session, *, street: str, phone: str) -> list[Site]:
    found: list[Site] = []
    if digits := phone_key(phone):
        found += session.scalars(queries.select_sites_with_phone(digits).limit(MATCHES_LOOKED_AT))
    return found + _with_street(session, street_key(street))


def _with_street(session: Session, key: str) -> list[Site]:
    """Sites whose street begins so; else without the last, perhaps half typed word; else with the words anywhere."""
    for begun in (key, key.rpartition(" ")[0]):
        if len(begun) < SHORTEST_KEY:
            continue
        found = session.scalars(queries.select_sites_with_street(begun).limit(MATCHES_LOOKED_AT)).all()
        if found:
            return list(found)
    if len(key) < SHORTEST_KEY:
        return []
    return _with_words(session, key)


def _with_words(session: Session, typed: str) -> list[Site]:
    """Addresses that have all the words, else those that have nearly all of them."""
    words = search_words(typed)
    if max((len(word) for word in words), default=0) < SHORTEST_KEY:
        return []
    found = session.scalars(queries.select_address_heads(words, None).limit(MATCHES_SHOWN)).all()
    return list(found) or _spelt_nearly_so(session, typed)


def _likeness(site: Site, wanted: tuple[str, str], digits: str) -> int:
    same_street = street_key(site.street) == wanted[0]
    same_town = bool(wanted[1]) and words_key(site.town) == wanted[1]
    same_phone = bool(digits) and phone_key(site.phone) == digits
    same_beginning = bool(wanted[0]) and street_key(site.street).startswith(wanted[0])
    return 4 * same_street + 3 * same_beginning + 2 * same_phone + same_town


def _one_for_each_address(sites: Sequence[Site]) -> list[Site]:
    first: dict[str, Site] = {}
    for site in sites:
        first.setdefault(site.group_id, site)
    return list(first.values())


def _last_visits(session: Session, ids: list[str], now: datetime, facts: AddressFacts) -> list[Visit]:
    jobs = session.scalars(queries.select_jobs_of_sites(ids, None).limit(VISITS_OF_A_MATCH)).all()
    return read_visits(session, ids, jobs, [], now, facts)
