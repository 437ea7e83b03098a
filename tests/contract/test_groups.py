"""Two site ids for one front door: joined and parted by events, and no row is ever moved."""

from __future__ import annotations

import itertools
import random

import networkx as nx
from sqlalchemy.orm import Session

from tests.contract.conftest import Hand, assert_whole
from webapp.extensions import Database
from webapp.models import EventRow, Site
from webapp.models.ids import new_id
from webapp.sync.rebuild import rebuild


def groups(session: Session, sites: list[str]) -> list[str]:
    session.rollback()
    session.expire_all()
    return [session.get_one(Site, site).group_id for site in sites]


def test_two_addresses_are_joined_parted_and_joined_by_events(desk: Hand, session: Session) -> None:
    one, two = sorted([new_id(), new_id()])
    desk.store(desk.note(one), desk.note(two))
    join = desk.make("same_address", {"other_site_id": one}, site=two)
    desk.store(join)
    assert groups(session, [one, two]) == [one, one]
    desk.store(desk.make("not_same_address", {"other_site_id": two}, site=one))
    assert groups(session, [one, two]) == [one, two]
    desk.store(desk.make("same_address", {"other_site_id": two}, site=one))
    assert groups(session, [one, two]) == [one, one]


def test_a_joining_that_is_withdrawn_parts_them_and_no_row_was_moved(desk: Hand, session: Session) -> None:
    one, two, three = sorted([new_id(), new_id(), new_id()])
    desk.store(desk.note(one), desk.note(two), desk.note(three))
    joins = [desk.make("same_address", {"other_site_id": b}, site=a) for a, b in ((one, two), (two, three))]
    desk.store(*joins)
    assert groups(session, [one, two, three]) == [one, one, one]
    desk.store(desk.make("withdrawn", {}, site=one, replaces=[joins[0]["id"]]))
    assert groups(session, [one, two, three]) == [one, two, two]
    assert session.get_one(EventRow, joins[0]["id"]).site_id == one
    assert_whole(session)


def test_any_joining_and_parting_gives_the_components_of_the_graph(
    desk: Hand, database: Database, session: Session
) -> None:
    """Oracle: networkx's connected components over the pairs whose last word is "same"."""
    rng = random.Random(7)
    sites = sorted(new_id() for _ in range(7))
    desk.store(*[desk.note(site) for site in sites])
    graph = nx.Graph()
    graph.add_nodes_from(sites)
    for _ in range(40):
        one, other = rng.sample(sites, 2)
        kind = rng.choice(["same_address", "not_same_address"])
        desk.store(desk.make(kind, {"other_site_id": other}, site=one))
        if kind == "same_address":
            graph.add_edge(one, other)
        elif graph.has_edge(one, other):
            graph.remove_edge(one, other)
        expected = {site: min(nodes) for nodes in nx.connected_components(graph) for site in nodes}
        assert groups(session, sites) == [expected[site] for site in sites]
    with database.session() as writing:
        before = groups(session, sites)
        writing.query(Site).update({"group_id": sites[0]})
        writing.commit()
        rebuild(writing)
    assert groups(session, sites) == before


def test_the_other_address_may_be_named_before_its_first_event_arrives(desk: Hand, session: Session) -> None:
    one, two = sorted([new_id(), new_id()])
    desk.store(desk.make("same_address", {"other_site_id": two}, site=one))
    desk.store(desk.note(two))
    assert groups(session, [one, two]) == [one, one]
    assert list(itertools.chain([session.get_one(Site, two).head])) == [1]


def test_a_joining_of_a_schema_of_tomorrow_is_kept_and_joins_nothing(desk: Hand, session: Session) -> None:
    one = new_id()
    odd = desk.make("same_address", {"other_site_id": "x" * 3000}, site=one, schema=2)
    assert desk.statuses(odd, desk.note(one)) == ["stored", "stored"]
    assert groups(session, [one]) == [one]


def test_taking_back_a_parting_joins_them_again_whichever_stream_said_which(desk: Hand, session: Session) -> None:
    """The joining stands in one stream and the parting in the other: the withdrawal names neither address."""
    one, two, three = sorted([new_id(), new_id(), new_id()])
    for joined_in, parted_in in ((one, two), (two, one)):
        desk.store(desk.note(one), desk.note(two), desk.note(three))
        other = {one: two, two: one}
        desk.store(desk.make("same_address", {"other_site_id": other[joined_in]}, site=joined_in))
        desk.store(desk.make("same_address", {"other_site_id": three}, site=two))
        parting = desk.make("not_same_address", {"other_site_id": other[parted_in]}, site=parted_in)
        desk.store(parting)
        assert groups(session, [one, two, three]) == [one, two, two]
        desk.store(desk.make("withdrawn", {}, site=parted_in, replaces=[parting["id"]]))
        assert groups(session, [one, two, three]) == [one, one, one]
        assert_whole(session)


def test_the_rebuild_gives_the_same_groups_after_any_taking_back(
    desk: Hand, database: Database, session: Session
) -> None:
    rng = random.Random(11)
    sites = sorted(new_id() for _ in range(5))
    desk.store(*[desk.note(site) for site in sites])
    said: list[dict[str, str]] = []
    for _ in range(30):
        if said and rng.random() < 0.4:
            taken = said.pop(rng.randrange(len(said)))
            desk.store(desk.make("withdrawn", {}, site=taken["site_id"], replaces=[taken["id"]]))
        else:
            one, other = rng.sample(sites, 2)
            kind = rng.choice(["same_address", "not_same_address"])
            event = desk.make(kind, {"other_site_id": other}, site=one)
            said.append({"id": event["id"], "site_id": one})
            desk.store(event)
        before = groups(session, sites)
        with database.session() as writing:
            rebuild(writing)
        assert groups(session, sites) == before
