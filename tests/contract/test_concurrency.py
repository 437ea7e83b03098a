"""Many at once, on both databases.

With one try each, the first fails on PostgreSQL if the lock is taken after the duplicates were looked for, and the
second if sites are locked in no fixed order (both tried).
"""

from __future__ import annotations

import random
from concurrent.futures import ThreadPoolExecutor

import pytest
from sqlalchemy.orm import Session

from tests.contract.conftest import Hand, assert_whole, count_events, make_hand
from tests.factories import EventMaker
from webapp.extensions import Database
from webapp.models import Site
from webapp.models.ids import new_id
from webapp.sync import queries, service


@pytest.fixture
def one_try(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the second try that one id at two sites needs: the locks alone must do."""
    monkeypatch.setattr(service, "TRIES", 1)


@pytest.mark.usefixtures("one_try")
@pytest.mark.parametrize("of_a_known_device", [True, False])
def test_twenty_identical_pushes_at_once_store_each_event_once(
    ada: Hand, session: Session, site: str, job: str, of_a_known_device: bool
) -> None:
    """Of a device that is not known there is no row whose lock would order the pushes already."""
    maker = ada.maker if of_a_known_device else EventMaker(new_id(), new_id())
    events = [maker.make("note", {"words": "a note"}, site_id=site, job_id=job) for _ in range(10)]
    session.commit()
    with ThreadPoolExecutor(20) as pool:
        answers = list(pool.map(lambda _: ada.store(*events, trusted=True), range(20)))
    for n in range(len(events)):
        statuses = sorted(answer["results"][n]["status"] for answer in answers)
        assert statuses == ["duplicate"] * 19 + ["stored"]
        assert len({answer["results"][n]["seq"] for answer in answers}) == 1
    assert {tuple(answer["heads"][0].items()) for answer in answers} == {tuple(answers[0]["heads"][0].items())}
    assert count_events(session) == 10
    assert_whole(session)


@pytest.mark.usefixtures("one_try")
def test_overlapping_batches_over_shared_sites_neither_deadlock_nor_leave_a_gap(
    database: Database, session: Session
) -> None:
    rng = random.Random(20261125)
    hands = [make_hand(database) for _ in range(6)]
    for hand in hands:  # the office's kind may write anywhere: this is about locks, not about who may see what
        hand.device.kind = "office"
    session.commit()
    sites = [new_id() for _ in range(5)]
    batches = []
    for hand in hands:
        made = [hand.note(rng.choice(sites)) for _ in range(40)]
        batches += [(hand, rng.sample(made, 25)) for _ in range(8)]
    rng.shuffle(batches)
    with ThreadPoolExecutor(8) as pool:
        answers = list(pool.map(lambda pair: pair[0].store(*pair[1]), batches))
    stored = sum(result["status"] == "stored" for answer in answers for result in answer["results"])
    assert stored == count_events(session) == len({event["id"] for _, batch in batches for event in batch})
    assert_whole(session)


@pytest.mark.parametrize("attempt", range(3))
def test_one_id_brought_to_two_sites_at_once_is_stored_at_one(ada: Hand, session: Session, attempt: int) -> None:
    event = ada.note(new_id())
    elsewhere = event | {"site_id": new_id()}
    session.commit()
    with ThreadPoolExecutor(2) as pool:
        answers = list(pool.map(lambda one: ada.store(one, ada.note(one["site_id"])), [event, elsewhere]))
    assert sorted(answer["results"][0]["status"] for answer in answers) == ["rejected", "stored"]
    assert [answer["results"][1]["status"] for answer in answers] == ["stored", "stored"]
    assert_whole(session)


def test_addresses_joined_from_both_ends_at_once_neither_deadlock_nor_part(
    database: Database, session: Session
) -> None:
    hands = [make_hand(database) for _ in range(4)]
    for hand in hands:
        hand.device.kind = "office"
    session.commit()
    sites = [new_id() for _ in range(4)]
    hands[0].store(*[hands[0].note(site) for site in sites])

    def join(pair: tuple[Hand, int]) -> None:
        hand, n = pair
        for step in (1, 2, 3):
            other = {"other_site_id": sites[(n + step) % 4]}
            hand.store(hand.make("same_address", other, site=sites[n]), hand.note(sites[(n + step) % 4]))

    with ThreadPoolExecutor(4) as pool:
        list(pool.map(join, zip(hands, range(4), strict=True)))
    assert_whole(session)
    assert {session.get_one(Site, site).group_id for site in sites} == {min(sites)}


def test_an_id_that_turns_up_elsewhere_in_mid_transaction_is_found_at_the_second_try(
    ada: Hand, session: Session, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What the race above ends in now and then, made to happen: the lookup misses a row that the key then refuses."""
    event = ada.note(new_id())
    ada.store(event)
    really = queries.digests_of
    looked = []

    def miss_the_first_time(session: Session, ids: list[str]) -> dict[str, tuple[str, int]]:
        looked.append(ids)
        return {} if len(looked) == 1 else really(session, ids)

    monkeypatch.setattr(queries, "digests_of", miss_the_first_time)
    assert ada.statuses(event, ada.note(new_id())) == ["duplicate", "stored"]
    assert len(looked) == 2
    assert_whole(session)
