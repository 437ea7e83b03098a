"""An earlier visit in a few lines: what was found, what was done, did it hold, what was never measured."""

from __future__ import annotations

from tests.trade.making import answered, event


def entry(both, power_vent, events, **more):
    return both("history_entry", {"procedure_hash": power_vent["hash"], "events": events, **more})["ok"]


BOOKED = event(
    1,
    "job_booked",
    {
        "complaint": "no_hot_water",
        "complaint_words": "Cold since Sunday",
        "technician_id": "ann",
        "procedure_name": "power_vent",
    },
)


def visit(power_vent):
    return [
        BOOKED,
        event(2, "job_opened", {"procedure_hash": power_vent["hash"]}),
        event(3, "code_read", {"shown": "flashes", "flashes": 3, "meaning_words": "Vent blocked"}),
        answered(4, "sensing_tube", "seated"),
        answered(5, "terminal", "nest_or_debris"),
        answered(6, "slope", None, "no_access"),
        event(
            7,
            "reading_taken",
            {"check": "suction_at_switch", "quantity": "suction_in_wc", "value": 0.31, "state": "cold"},
        ),
        event(
            8,
            "photo_taken",
            {
                "sha256": "a" * 64,
                "length_bytes": 1,
                "media_type": "image/jpeg",
                "width_px": 1,
                "height_px": 1,
                "check": "terminal",
            },
        ),
        event(9, "cause_named", {"cause": "terminal_blocked"}),
        event(10, "repair_made", {"action": "clear_terminal", "words": "wasps"}),
        event(11, "part_used", {"part_words": "Screen", "count": 1, "direction": "fitted"}),
        answered(12, "terminal", "clear"),
        event(
            13,
            "proof_run",
            {"passed": True, "minutes": 12, "restarts": 2, "looks_done": [], "suction_hot_in_wc": 0.5},
            at_wall="2026-11-25T08:35:00.000Z",
        ),
        event(14, "job_closed", {"state": "proven"}),
    ]


def test_a_visit_tells_what_was_found_as_found(both, power_vent):
    one = entry(both, power_vent, visit(power_vent))
    assert [(line["title"], line["words"], line["verdict"]) for line in one["found"]] == [
        ("What the control shows", "Flashes", "doubtful"),
        ("Terminal and screen", "Nest or debris", "bad"),
    ]
    assert [line["check"] for line in one["normal"]] == ["sensing_tube"]
    assert one["code_words"] == ["3 flashes: Vent blocked"]


def test_a_visit_tells_what_was_done_and_whether_it_held(both, power_vent):
    one = entry(both, power_vent, visit(power_vent))
    assert one["done"] == [{"action": "clear_terminal", "words": "Terminal cleared: wasps"}]
    assert one["cause_words"] == "Terminal blocked"
    assert one["proof"]["result"] == "passed"
    assert one["proof"]["words"] == "Hot run held, 12 minutes, 2 restarts"
    assert one["parts"] == ["1 × Screen, fitted"]
    assert one["close_state"] == "proven"


def test_a_visit_tells_what_was_never_measured_and_assumes_nothing(both, power_vent):
    one = entry(both, power_vent, visit(power_vent))
    never = [line["id"] for line in one["never_measured"]]
    assert "make_point_in_wc" in never
    assert "straight_ft" in never
    assert "suction_in_wc" not in never
    assert len(never) == len(set(never))
    assert "vent_warmth" in [line["id"] for line in one["never_checked"]]
    assert "control_code" not in [line["id"] for line in one["never_checked"]]
    assert [(line["title"], line["words"]) for line in one["could_not"]] == [("Slope and sags", "could not reach it")]


def test_the_leads_of_the_meter_are_no_figure_of_the_heater_that_was_missed(both, power_vent):
    never = [line["id"] for line in entry(both, power_vent, [BOOKED])["never_measured"]]
    assert "leads_ohm" not in never
    assert "co_room_ppm" in never
    assert "suction_in_wc" in never


def test_a_figure_from_the_sheet_and_a_survey_count_as_measured(both, power_vent):
    events = [
        event(1, "sheet_number", {"quantity": "make_point_in_wc", "value": 0.36, "where": "part_label"}),
        event(2, "vent_surveyed", {"nominal_in": 2, "straight_ft": 20, "elbows_90": 2, "elbows_45": 0}),
    ]
    never = [line["id"] for line in entry(both, power_vent, events)["never_measured"]]
    assert "make_point_in_wc" not in never
    assert "straight_ft" not in never


def test_two_people_who_saw_it_differently_are_both_told(both, power_vent):
    events = [answered(1, "terminal", "iced"), answered(2, "terminal", "clear", person_id="bo")]
    found = entry(both, power_vent, events)["found"]
    assert found[0]["state"] == "contradicted"
    assert found[0]["words"] == "seen differently: Iced or snowed in, Clear"


def test_without_its_procedure_the_ids_are_made_into_words(both):
    one = both(
        "history_entry",
        {"events": [answered(1, "old_check", "gone_bad"), event(2, "repair_made", {"action": "new_part"})]},
    )
    assert one["ok"]["found"][0]["title"] == "old check"
    assert one["ok"]["found"][0]["words"] == "gone bad"
    assert one["ok"]["done"][0]["words"] == "new part"
    assert one["ok"]["never_measured"] == []


def test_a_job_in_which_nothing_happened_says_so(both, power_vent):
    one = entry(both, power_vent, [BOOKED])
    assert one["proof"]["result"] == "none"
    assert one["found"] == []
    assert one["close_state"] is None
    assert one["complaint_words"] == "Cold since Sunday"


def test_what_could_not_be_read_is_counted(both, power_vent):
    assert entry(both, power_vent, [event(1, "note", {}), event(2, "of_tomorrow", {}), 3])["unreadable"] == 3


def test_an_outcome_that_this_procedure_does_not_know_is_still_told(both, power_vent):
    one = entry(both, power_vent, [answered(1, "terminal", "painted_over"), answered(2, "never_heard_of", "odd_thing")])
    assert [(line["check"], line["words"]) for line in one["found"]] == [
        ("terminal", "painted over"),
        ("never_heard_of", "odd thing"),
    ]


def test_who_only_booked_moved_or_closed_is_not_among_those_who_went(both, power_vent):
    events = [
        event(1, "job_booked", BOOKED["body"], person_id="desk"),
        event(2, "job_opened", {"procedure_hash": power_vent["hash"]}, person_id="ann"),
        answered(3, "terminal", "clear", person_id="bo"),
        event(4, "arrived", {}, person_id="cy"),
        event(5, "note", {"words": "Rang twice"}, person_id="desk"),
        event(6, "job_closed", {"state": "proven"}, person_id="desk"),
    ]
    assert entry(both, power_vent, events)["people"] == ["ann", "bo", "cy"]


def test_a_visit_that_was_only_told_to_the_office_names_nobody_as_having_gone(both, power_vent):
    told = [BOOKED, event(2, "repair_made", {"action": "clear_terminal"}), event(3, "job_closed", {"state": "proven"})]
    assert entry(both, power_vent, told)["people"] == []


def test_who_rang_and_heard_somebody_come_out_did_not_go_and_the_one_who_came_out_did(both, power_vent):
    heard = event(2, "came_out", {"person_id": "ann"}, schema=2, person_id="desk", device_id="office")
    assert entry(both, power_vent, [BOOKED, heard])["people"] == ["ann"]
    assert entry(both, power_vent, [BOOKED, event(2, "came_out", {})])["people"] == ["ann"]


def test_one_restart_is_not_some_restarts(both, power_vent):
    def words(minutes, restarts):
        run = {"passed": True, "minutes": minutes, "restarts": restarts, "looks_done": []}
        return entry(both, power_vent, [event(1, "proof_run", run)])["proof"]["words"]

    assert words(15, 1) == "Hot run held, 15 minutes, 1 restart"
    assert words(1, 0) == "Hot run held, 1 minute, 0 restarts"


def test_a_run_that_clocks_or_its_own_figure_speak_against_is_not_told_as_one_that_held(both, standing_pilot):
    run = {"passed": True, "minutes": 10, "restarts": 3, "looks_done": [], "words": "x"}
    run |= {"quantity": "drop_out_seconds", "after_value": 200}
    events = [
        event(1, "repair_made", {"action": "other"}),
        event(2, "proof_run", run, schema=2, at_wall="2026-11-25T08:19:30.000Z"),
    ]
    proof = entry(both, standing_pilot, events)["proof"]
    assert proof["result"] == "doubtful"
    assert proof["words"] == (
        "Hot run noted as held, 10 minutes, 3 restarts. Noted less than a minute after the repair: 10 minutes cannot "
        "have passed. Drop-out: Too slow, 200 s"
    )
