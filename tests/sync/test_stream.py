"""Pulling one stream: no gap, no foreign history, nobody else's address."""

from __future__ import annotations

import pytest
from flask import Flask

from tests.sync.conftest import Phone
from webapp.extensions import Database
from webapp.keeping.start import begin_new_epoch
from webapp.models.ids import new_id


def test_pages_follow_each_other_without_a_gap(phone: Phone) -> None:
    events = [phone.open_job(), *[phone.note(f"note {n}") for n in range(6)]]
    phone.push(*events)
    seen, after, chain = [], 0, ""
    while True:
        page = phone.get(f"sites/{phone.site}/events?after={after}&chain={chain}&limit=3").json
        if not page["events"]:
            break
        for line in page["events"]:
            assert line["seq"] == after + 1
            after, chain = line["seq"], line["chain"]
            seen.append(line["event"])
    assert seen == events
    assert (page["head"], page["chain"]) == (7, chain)


@pytest.mark.parametrize(("after", "chain"), [(1, "f" * 64), (99, ""), (99, "f" * 64), (0, "f" * 64)])
def test_a_cursor_of_another_history_is_told_to_pull_anew(phone: Phone, after: int, chain: str) -> None:
    phone.push(phone.open_job())
    answer = phone.get(f"sites/{phone.site}/events?after={after}&chain={chain}")
    assert (answer.status_code, answer.json["code"]) == (409, "other_chain")
    assert answer.json["details"]["head"] == 1


def test_an_address_that_the_phone_may_not_see_is_not_there(phone: Phone, other_phone: Phone) -> None:
    other_phone.push(other_phone.open_job())
    for site in (other_phone.site, new_id()):
        answer = phone.get(f"sites/{site}/events")
        assert (answer.status_code, answer.json["code"]) == (404, "not_found")


@pytest.mark.parametrize("query", ["after=-1", "after=x", "limit=0", "limit=5000", "more=1"])
def test_a_query_that_cannot_be_read_is_422(phone: Phone, query: str) -> None:
    phone.push(phone.open_job())
    assert phone.get(f"sites/{phone.site}/events?{query}").status_code == 422


def test_the_epoch_changes_with_a_restore_and_events_offered_again_come_in(
    phone: Phone, database: Database, app: Flask
) -> None:
    before = phone.get("manifest").json["epoch"]
    event = phone.open_job()
    phone.push(event)
    begin_new_epoch(database, app.config["UNDERCROFT_DATA"])
    after = phone.get("manifest").json["epoch"]
    assert after != before
    assert phone.get(f"sites/{phone.site}/events").json["epoch"] == after
    assert phone.statuses(event) == ["duplicate"]
