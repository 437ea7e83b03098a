"""A code means what the model's own table says, or nothing; the chain is drawn with what could be open."""

from __future__ import annotations

import pytest

from tests.trade.making import answered, event, small_procedure

# Invented for these tests: no maker's table.
TABLE = [
    {"flash_groups": "2", "text": None, "meaning_words": "switch open on a call", "could_be": ["pressure_switch"]},
    {"flash_groups": "2-4", "text": None, "meaning_words": "a limit open", "could_be": ["vent_limit", "tank_limit"]},
    {"flash_groups": "2-4", "text": None, "meaning_words": "a limit opened before", "could_be": ["vent_limit"]},
    {"flash_groups": None, "text": "E5", "meaning_words": "no flame seen", "could_be": []},
    {"text": "e 05", "meaning_words": "something else"},
]


def meaning(both, **seen):
    return both("code_meaning", {"codes": TABLE, **seen})["ok"]


@pytest.mark.parametrize(
    ("seen", "expected"),
    [
        ({"flashes": 2}, ["switch open on a call"]),
        ({"flash_groups": "2"}, ["switch open on a call"]),
        ({"flash_groups": "2-4"}, ["a limit open", "a limit opened before"]),
        ({"flash_groups": "2, 4"}, ["a limit open", "a limit opened before"]),
        ({"flash_groups": "4-2"}, []),
        ({"flash_groups": "24"}, []),
        ({"flashes": 24}, []),
        ({"flash_groups": "2-4-1"}, []),
        ({"text": "e5"}, ["no flame seen"]),
        ({"text": " E 5 "}, ["no flame seen"]),
        ({"text": "E05"}, ["something else"]),
        ({"text": "E50"}, []),
        ({"text": "E"}, []),
        ({}, []),
        ({"text": ""}, []),
        ({"flash_groups": ""}, []),
        ({"text": "é5"}, []),
    ],
)
def test_a_code_finds_exactly_the_lines_it_stands_on(seen, expected, both):
    found = meaning(both, **seen)
    assert [row["meaning_words"] for row in found["rows"]] == expected
    assert found["words"]


def test_several_lines_give_all_and_what_each_could_be_once(both):
    found = meaning(both, flash_groups="2-4")
    assert found["could_be"] == ["vent_limit", "tank_limit"]
    assert "all are shown" in found["words"]


def test_no_table_is_said_apart_from_no_line(both):
    assert "No table" in both("code_meaning", {"codes": [], "flashes": 3})["ok"]["words"]
    assert "Not in this model's table" in meaning(both, flashes=9)["words"]


@pytest.mark.parametrize("row", [{"text": 5}, {"flash_groups": 2}, {"meaning_words": []}, {"could_be": "all"}])
def test_a_table_of_another_shape_is_refused(row, both):
    assert both("code_meaning", {"codes": [row], "text": "E5"})["error"]["code"] == "bad_argument"


def picture(both, procedure, answers=(), named=()):
    events = [event(1, "job_opened", {"procedure_hash": procedure["hash"]})]
    events += [answered(number, check, outcome) for number, (check, outcome) in enumerate(answers, start=2)]
    args = {"procedure_hash": procedure["hash"], "events": events, "named": list(named)}
    return both("open_could_be", args)["ok"]


def states(found):
    return {one["id"]: one["state"] for one in found["parts"]}


def test_the_chain_is_drawn_in_order_and_nothing_is_known_at_first(both, power_vent):
    found = picture(both, power_vent)
    assert [one["id"] for one in found["parts"]] == [
        "call",
        "tank_limit",
        "vent_limit",
        "roll_out",
        "pressure_switch",
        "plugs",
    ]
    assert set(states(found).values()) == {"not_known"}
    assert found["could_be_open"] == []
    assert found["words"]


def test_volts_that_stop_at_the_switch_show_it_open_and_all_before_it_closed(both, power_vent):
    found = states(picture(both, power_vent, [("chain_volts", "stops_at_switch")]))
    assert found == {
        "call": "closed",
        "tank_limit": "closed",
        "vent_limit": "closed",
        "roll_out": "closed",
        "pressure_switch": "open",
        "plugs": "not_known",
    }


def test_volts_that_stop_at_a_limit_leave_each_limit_in_doubt(both, power_vent):
    found = picture(both, power_vent, [("chain_volts", "stops_at_limit")])
    assert found["could_be_open"] == ["tank_limit", "vent_limit", "roll_out"]


def test_a_limit_closed_at_rest_is_not_cleared(both, power_vent):
    assert states(picture(both, power_vent, [("limit_continuity", "closed")]))["vent_limit"] == "closed_now"
    hot = picture(both, power_vent, [("limit_continuity", "closed"), ("vent_warmth", "too_hot")])
    assert states(hot)["vent_limit"] == "could_be_open"


def test_a_limit_read_open_outweighs_every_hint(both, power_vent):
    found = picture(both, power_vent, [("vent_warmth", "too_hot"), ("limit_continuity", "open")])
    assert states(found)["vent_limit"] == "open"


def test_a_code_points_at_a_contact_or_at_a_part_and_a_measurement_outweighs_it(both, power_vent):
    assert states(picture(both, power_vent, named=["pressure_switch"]))["pressure_switch"] == "could_be_open"
    assert states(picture(both, power_vent, named=["limit"]))["vent_limit"] == "could_be_open"
    measured = picture(both, power_vent, [("chain_volts", "to_the_end")], named=["pressure_switch"])
    assert measured["could_be_open"] == []


def test_full_volts_to_the_end_close_the_whole_chain(both, power_vent):
    assert set(states(picture(both, power_vent, [("chain_volts", "to_the_end")])).values()) == {"closed"}


def test_a_high_reading_with_a_dropped_pilot_puts_every_contact_of_the_loop_in_doubt(both, standing_pilot):
    found = picture(both, standing_pilot, [("couple_closed", "high_but_drops")])
    assert found["could_be_open"] == ["tco", "eco", "contact"]
    read = picture(both, standing_pilot, [("couple_closed", "high_but_drops"), ("tco_continuity", "open")])
    assert states(read)["tco"] == "open"


def test_a_procedure_without_a_chain_draws_none(both):
    plain = small_procedure({"a": 1.0}, {"c": {"good": {"a": 1.0}}})
    assert both("open_could_be", {"procedure": plain, "events": []})["ok"]["parts"] == []
