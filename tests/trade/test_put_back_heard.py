"""What the office heard of a heater that somebody else put back: without a CO number it is a word, and ends nothing."""

import pytest

from tests.trade.making import event

FULL = {"who_words": "Ada Pipe, licence 4711", "when_words": "today 9:30", "work_words": "new vent", "co_room_ppm": 2}
FROM_THE_DESK = {"device_id": "d9", "person_id": "dora", "clock_offset": 0}


def record(both, body, schema=3):
    """40 ppm, left off and closed so; then the desk is told something."""
    co = {"check": "co_room", "quantity": "co_room_ppm", "value": 40, "place": "room"}
    off = {"what_words": "the heater", "why_words": "CO in the room 40 ppm", "told_words": "the customer"}
    events = [event(1, "reading_taken", co), event(2, "left_off", off), event(3, "job_closed", {"state": "left_off"})]
    told = {"words": "ok", "left_off_ids": [events[1]["id"]]} | body
    events.append(event(4, "put_back", told, schema=schema, **FROM_THE_DESK))
    return both("fold_job", {"events": events})["ok"]


@pytest.mark.parametrize(
    "left_out",
    [
        *({name: words} for name in ("when_words", "work_words") for words in (None, "ok", "Ok, ok.")),
        *({"who_words": words} for words in ("ok", "Pipe", "ok ok", "068 555-0121")),
        {"work_words": "vented"},
        *({"co_room_ppm": ppm} for ppm in (None, 9, -5)),
    ],
)
def test_without_any_of_the_four_it_stays_off(left_out, both):
    said = record(both, FULL | left_out)
    assert (said["heater_off"], said["put_back"][0]["counts"]) == (True, False)


def test_a_bare_ok_ends_nothing(both):
    assert record(both, {"who_words": "somebody"})["heater_off"]


def test_with_who_when_what_and_the_co_it_is_back(both):
    back = record(both, FULL)
    assert (back["heater_off"], back["put_back"][0]["counts"]) == (False, True)
    assert record(both, FULL | {"co_room_ppm": 0})["heater_off"] is False
    assert record(both, FULL | {"who_words": "Pipe, 4711", "when_words": "Tuesday"})["heater_off"] is False


def test_what_the_office_noted_before_it_was_asked_counts_as_it_did(both):
    """Frozen: stored stories go on to fold as the golden files of schema 1 and 2 have it."""
    assert record(both, {}, schema=2)["heater_off"] is False
