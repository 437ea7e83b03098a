"""Two site ids for one front door: joined by an event, parted by an event, and no row is ever moved."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from sqlalchemy.orm import Session

from webapp.sync import queries
from webapp.sync.canonical import event_of
from webapp.trade.envelope import live_events, take_in

JOINING_KINDS = ("same_address", "not_same_address")


def touches_groups(event: Mapping[str, Any]) -> bool:
    """Whether it may join or part addresses: by saying so, or by replacing what said so."""
    return event["kind"] in JOINING_KINDS or (event["job_id"] is None and bool(event["replaces"]))


def sites_to_lock(session: Session, site_ids: Iterable[str], grouping: Sequence[Mapping[str, Any]]) -> list[str]:
    """The batch's sites, and every site whose group may change, in the one order of locks."""
    wanted = set(site_ids)
    if grouping:
        queries.lock_groups(session)
        named = _named(session, grouping)
        groups = queries.groups_of_sites(session, named).values()
        wanted |= named | {site.id for site in queries.sites_of_groups(session, groups)}
    return sorted(wanted)


def regroup(session: Session, grouping: Sequence[Mapping[str, Any]]) -> None:
    """Set the group of every site that these events may have joined or parted."""
    if not grouping:
        return
    named = _named(session, grouping)
    groups = queries.groups_of_sites(session, named).values()
    regroup_sites(session, named | {site.id for site in queries.sites_of_groups(session, groups)})


def regroup_sites(session: Session, site_ids: set[str]) -> None:
    """Make the groups of these sites anew; the set must be closed: whoever is joined to one of them is in it."""
    pairs = joined_pairs([event_of(row) for row in queries.joining_events(session, site_ids)])
    group_of = components(site_ids, pairs)
    queries.set_groups(session, {site_id: group_of[site_id] for site_id in site_ids})


def joined_pairs(events: list[dict[str, Any]]) -> list[tuple[str, str]]:
    """Pairs whose last live word is `same_address`. Fold order decides what is last (docs/sync.md)."""
    ordered, _ = take_in(events)
    last: dict[tuple[str, str], str] = {}
    for event in live_events(ordered):
        if _says(event):
            last[_pair(event["site_id"], event["body"]["other_site_id"])] = event["kind"]
    return [pair for pair, kind in last.items() if kind == "same_address"]


def components(site_ids: Iterable[str], pairs: Iterable[tuple[str, str]]) -> dict[str, str]:
    """The lowest site id of each connected set, by site."""
    group_of = {site_id: site_id for site_id in site_ids}
    for one, other in pairs:
        group_of.setdefault(one, one)
        group_of.setdefault(other, other)
        low, high = sorted((group_of[one], group_of[other]))
        for site_id, group_id in group_of.items():
            if group_id == high:
                group_of[site_id] = low
    return group_of


def _named(session: Session, grouping: Sequence[Mapping[str, Any]]) -> set[str]:
    """The sites that these events are about: what takes something back is about the sites of what it takes back."""
    named = {event["site_id"] for event in grouping} | _others(grouping)
    known: set[str] = set()
    wanted = {event_id for event in grouping for event_id in event["replaces"]}
    while wanted:
        known |= wanted
        replaced = queries.events_named(session, wanted)
        named |= {row["site_id"] for row in replaced} | _others(replaced)
        wanted = {event_id for row in replaced for event_id in row["replaces"]} - known
    return named


def _others(grouping: Iterable[Mapping[str, Any]]) -> set[str]:
    return {event["body"]["other_site_id"] for event in grouping if _says(event)}


def _says(event: Mapping[str, Any]) -> bool:
    """Whether this version can read what it says; a schema of tomorrow is kept and joins nothing."""
    return event["kind"] in JOINING_KINDS and event["schema"] == 1


def _pair(one: str, other: str) -> tuple[str, str]:
    return (one, other) if one < other else (other, one)
