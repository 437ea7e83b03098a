"""Two entries of one address: which may be one, what somebody said about them, and taking that back."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from webapp.sites import doubt_queries, queries
from webapp.sites.address_key import phone_key
from webapp.sites.clock import Noted, noted_at
from webapp.sites.event_reading import event_of
from webapp.sites.queries import VisitCount
from webapp.sites.street_parts import Door, Doubt, agreeing, doubt_between, parts_of
from webapp.trade.envelope import live_events, take_in

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Sequence
    from datetime import datetime

    from sqlalchemy.orm import Session

    from webapp.models import EventRow
    from webapp.trade.events import Event

ENTRIES_A_PAGE = 40
SAID_SHOWN = 12
SAME, NOT_SAME = "same_address", "not_same_address"
NONE = VisitCount(0, None)
Pair = tuple[str, str]


@dataclass(frozen=True)
class Entry:
    """One way in which an address was typed, with how often it was visited."""

    door: Door
    count: VisitCount


@dataclass(frozen=True)
class DoubtfulPair:
    """Two entries that nobody has decided about."""

    one: Entry
    other: Entry
    doubt: Doubt

    @property
    def key(self) -> str:
        """The same for both orders."""
        return "+".join(pair_of(self.one.door.site_id, self.other.door.site_id))


@dataclass(frozen=True)
class Decision:
    """What somebody said about two entries, and it stands."""

    event_id: str
    site_id: str
    kind: str
    one: Door
    other: Door
    by: str
    person_id: str
    noted: Noted


@dataclass(frozen=True)
class DoubtPage:
    """Pairs among the newest entries, and what was decided lately."""

    pairs: list[DoubtfulPair]
    before: str | None
    looked_at: int
    decisions: list[Decision]


def pair_of(one: str, other: str) -> Pair:
    """In one order, whichever was named first."""
    return (one, other) if one < other else (other, one)


def list_doubtful(session: Session, before_id: str | None) -> DoubtPage:
    """Undecided pairs in which one of them is among the entries of this page, the newest first."""
    newest = doubt_queries.get_newest_doors(session, before_id, ENTRIES_A_PAGE + 1)
    shown = newest[:ENTRIES_A_PAGE]
    said = doubt_queries.get_said_lately(session, SAID_SHOWN)
    return DoubtPage(
        pairs=doubtful_pairs(session, shown),
        before=shown[-1].site_id if len(newest) > len(shown) else None,
        looked_at=len(shown),
        decisions=_decisions(session, said),
    )


def doubtful_pairs(session: Session, doors: Sequence[Door]) -> list[DoubtfulPair]:
    """Pairs of these entries with any other, that may be one door and that nobody has decided about."""
    numbers = {parts_of(door.street).number for door in doors} - {""}
    phones = {phone_key(door.phone) for door in doors} - {""}
    found = list(_alike(doors, doubt_queries.get_doors_near(session, numbers, phones)))
    found += _put_off(session, doors, {pair_of(one.group_id, other.group_id) for one, other, _doubt in found})
    told_apart = _told_apart(session, {door.group_id for one, other, _doubt in found for door in (one, other)})
    open_pairs = [line for line in found if pair_of(line[0].group_id, line[1].group_id) not in told_apart]
    counts = queries.get_visit_counts(session, {d.group_id for one, other, _ in open_pairs for d in (one, other)})
    return [
        DoubtfulPair(Entry(one, counts.get(one.group_id, NONE)), Entry(other, counts.get(other.group_id, NONE)), doubt)
        for one, other, doubt in open_pairs
    ]


def _alike(doors: Sequence[Door], others: Iterable[Door]) -> Iterable[tuple[Door, Door, Doubt]]:
    """Each pair of addresses once, by the entries in which they are most alike."""
    by_number: dict[str, list[Door]] = {}
    by_phone: dict[str, list[Door]] = {}
    for other in others:
        by_number.setdefault(parts_of(other.street).number, []).append(other)
        by_phone.setdefault(phone_key(other.phone), []).append(other)
    seen: set[Pair] = set()
    for door in doors:
        for other in [
            *by_number.get(parts_of(door.street).number, []),
            *by_phone.get(phone_key(door.phone) or "-", []),
        ]:
            groups = pair_of(door.group_id, other.group_id)
            if door.group_id == other.group_id or groups in seen:
                continue
            if doubt := doubt_between(door, other):
                seen.add(groups)
                yield door, other, doubt


def _put_off(session: Session, doors: Sequence[Door], seen: set[Pair]) -> Iterable[tuple[Door, Door, Doubt]]:
    """What whoever took the call had in sight and left to be decided, in words that need not be alike at all."""
    of_site = {door.site_id: door for door in doors}
    pairs = doubt_queries.get_put_off(session, of_site)
    others = {door.site_id: door for door in doubt_queries.get_doors(session, {other for _one, other in pairs})}
    for one_id, other_id in pairs:
        door, other = of_site[one_id], others.get(other_id)
        if other is None or door.group_id == other.group_id or pair_of(door.group_id, other.group_id) in seen:
            continue
        seen.add(pair_of(door.group_id, other.group_id))
        yield door, other, Doubt(["left to be decided when the call was taken"], agreeing(door, other))


def _told_apart(session: Session, group_ids: Collection[str]) -> set[Pair]:
    """Pairs of addresses that somebody said are two, in any of their entries; the last word on each pair counts."""
    group_of = queries.get_groups_of_sites(session, group_ids)
    said = doubt_queries.get_said_about(session, group_of.keys()) if group_of else []
    standing = _standing(session, said)
    return {
        pair_of(group_of[one], group_of[other])
        for (one, other), event in standing.items()
        if event["kind"] == NOT_SAME and one in group_of and other in group_of
    }


def _standing(session: Session, said: Sequence[EventRow]) -> dict[Pair, Event]:
    """The last live word on each pair of entries."""
    rows = {row.id: row for row in said}
    rows |= {row.id: row for row in doubt_queries.get_replacing(session, {row.site_id for row in said})} if said else {}
    ordered, _unreadable = take_in([event_of(row) for row in rows.values()])
    last: dict[Pair, Event] = {}
    for event in live_events(ordered):
        other = event["body"].get("other_site_id")
        if event["kind"] in (SAME, NOT_SAME) and isinstance(other, str):
            last[pair_of(event["site_id"], other)] = event
    return last


def pairs_of(session: Session, site_id: str) -> list[DoubtfulPair]:
    """What this entry may be one door with."""
    return doubtful_pairs(session, doubt_queries.get_doors(session, [site_id]))


def decisions_about(session: Session, site_ids: Collection[str]) -> list[Decision]:
    """What stands said about these entries."""
    return _decisions(session, doubt_queries.get_said_about(session, site_ids))


def _decisions(session: Session, said: Sequence[EventRow]) -> list[Decision]:
    standing = _standing(session, said)
    doors = {
        door.site_id: door for door in doubt_queries.get_doors(session, {one for pair in standing for one in pair})
    }
    names = queries.get_names(session, {event["person_id"] for event in standing.values()})
    arrived: dict[str, datetime] = {row.id: row.received_at for row in said}
    found = [
        Decision(
            event_id=event["id"],
            site_id=event["site_id"],
            kind=event["kind"],
            one=doors[one],
            other=doors[other],
            by=names.get(event["person_id"], "somebody unknown here"),
            person_id=event["person_id"],
            noted=noted_at(event, arrived.get(event["id"])),
        )
        for (one, other), event in standing.items()
        if one in doors and other in doors
    ]
    return sorted(found, key=lambda one: one.event_id, reverse=True)
