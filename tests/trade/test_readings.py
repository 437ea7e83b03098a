"""Readings against what was typed from the label or the sheet. Steps are common practice or expert guesses."""

from __future__ import annotations

import pytest

from webapp.trade.co_ladders import LADDERS
from webapp.trade.propose import CERTAIN, RULES
from webapp.trade.readings import RANGES, suction_outcome


@pytest.mark.parametrize(
    ("suction", "point", "tap", "expected"),
    [
        (0.60, 0.36, "suction", "enough"),
        (-0.60, -0.36, "suction", "enough"),  # noted with its sign
        (-0.60, 0.36, "suction", "enough"),
        (0.414, 0.36, "suction", "enough"),  # exactly 15 % over
        (0.413, 0.36, "suction", "marginal"),
        (0.36, 0.36, "suction", "marginal"),
        (0.359, 0.36, "suction", "short"),
        (0.02, 0.36, "suction", "short"),
        (0.01, 0.36, "suction", "none"),
        (0.0, 0.36, "differential", "none"),
        (0.30, 0.36, "differential", "short"),
        (0.36, 0.36, "pressure", "short"),  # after the blower it rises when the vent is blocked
        (0.34, 0.36, "pressure", "marginal"),
        (0.20, 0.36, "pressure", "enough"),
        (0.0, 0.36, "pressure", "enough"),
        (0.5, 0.0, "suction", None),
    ],
)
def test_suction_is_judged_by_its_make_point_and_its_tap(suction, point, tap, expected, both):
    answer = both("suction_outcome", {"suction_in_wc": suction, "make_point_in_wc": point, "tap": tap})["ok"]
    assert answer["outcome"] == expected
    assert answer["words"]


def test_more_suction_is_never_judged_worse_and_more_back_pressure_never_better():
    order = ["none", "short", "marginal", "enough"]
    steps = [n / 100 for n in range(101)]
    pulled = [order.index(suction_outcome(one, 0.36, "suction")["outcome"]) for one in steps]
    pushed = [order.index(suction_outcome(one, 0.36, "pressure")["outcome"]) for one in steps]
    assert pulled == sorted(pulled)
    assert pushed == sorted(pushed, reverse=True)


@pytest.mark.parametrize(
    ("limit", "leads", "expected"),
    [
        (0.4, 0.3, "closed"),
        (1.3, 0.3, "closed"),
        (1.31, 0.3, "poor"),
        (10.3, 0.3, "poor"),
        (11.0, 0.3, "open"),
        (None, 0.3, "open"),
        (0.1, 0.3, "closed"),  # below its own leads: still closed
        (0.4, None, None),
        (0.4, 5.0, None),
    ],
)
def test_a_limit_is_read_less_its_leads_and_only_when_they_beeped(limit, leads, expected, both):
    assert both("limit_outcome", {"limit_ohm": limit, "leads_ohm": leads})["ok"]["outcome"] == expected


@pytest.mark.parametrize(
    ("ppm", "ladder", "expected"),
    [
        (0, "code_appendix", "acceptable"),
        (29, "code_appendix", "acceptable"),
        (30, "code_appendix", "raised"),
        (69, "code_appendix", "raised"),
        (70, "code_appendix", "leave"),
        (12, "protocol_9_36_70", "raised"),
        (12, "protocol_9_35_100", "raised"),
        (9, "protocol_9_35_100", "acceptable"),
        (99, "protocol_9_35_100", "outside"),
        (40, "protocol_9_36_70", "outside"),
        (100, "protocol_9_35_100", "leave"),
    ],
)
def test_room_co_follows_the_rule_set_of_the_firm(ppm, ladder, expected, both):
    answer = both("co_outcome", {"co_room_ppm": ppm, "ladder": ladder})["ok"]
    assert answer["outcome"] == expected


def test_every_co_ladder_names_its_source_at_each_step_and_rises():
    for ladder in LADDERS:
        assert ladder["source"]
        assert [step["from_ppm"] for step in ladder["steps"]] == sorted({step["from_ppm"] for step in ladder["steps"]})
        assert [ladder["steps"][0]["outcome"], ladder["steps"][-1]["outcome"]] == ["acceptable", "leave"]
        for step in ladder["steps"]:
            assert step["source"]
            assert step["mark"] in ("source", "from memory")


def test_a_step_says_when_its_figure_is_from_memory(both):
    read = both("co_outcome", {"co_room_ppm": 30, "ladder": "code_appendix"})["ok"]["words"]
    remembered = both("co_outcome", {"co_room_ppm": 70, "ladder": "code_appendix"})["ok"]["words"]
    assert "appendix D.2" in read
    assert "from memory" not in read
    assert "from memory" in remembered


@pytest.mark.parametrize(
    ("ladder", "steps"),
    [
        ("code_appendix", [0, 30, 70]),  # IRC 2018 appendix D.2(3) for 30; 70 from memory
        ("protocol_9_36_70", [0, 9, 36, 70]),  # ANSI/BPI-1200, from memory
        ("protocol_9_35_100", [0, 10, 36, 100]),  # 0-9, 10-35, 36-99 and 100 up, as trade pages print it
    ],
)
def test_the_steps_of_each_rule_set(ladder, steps):
    assert [step["from_ppm"] for one in LADDERS if one["id"] == ladder for step in one["steps"]] == steps


def test_more_co_never_stands_on_a_lower_step():
    order = ["acceptable", "raised", "outside", "leave"]
    for ladder in LADDERS:
        outcomes = [order.index(step["outcome"]) for step in ladder["steps"]]
        assert outcomes == sorted(outcomes)


@pytest.mark.parametrize(
    ("run", "expected"),
    [
        ({"straight_ft": 30, "elbows_90": 4, "elbows_45": 0, "limit_ft": 50, "feet_per_90": 5}, "within"),
        ({"straight_ft": 30.1, "elbows_90": 4, "elbows_45": 0, "limit_ft": 50, "feet_per_90": 5}, "over"),
        (
            {"straight_ft": 30, "elbows_90": 4, "elbows_45": 2, "limit_ft": 55, "feet_per_90": 5, "feet_per_45": 2.5},
            "within",
        ),
        (
            {"straight_ft": 10, "elbows_90": 5, "elbows_45": 1, "limit_ft": 90, "feet_per_90": 5, "limit_elbows": 5},
            "over",
        ),
        ({"straight_ft": 30, "elbows_90": 4, "elbows_45": 0, "limit_ft": 50}, None),  # the sheet's feet are missing
        ({"straight_ft": 30, "elbows_90": 0, "elbows_45": 0, "limit_ft": 30}, "within"),
        ({"straight_ft": 30, "elbows_90": 0, "elbows_45": 0}, None),
    ],
)
def test_the_run_is_counted_the_sheets_way(run, expected, both):
    assert both("run_outcome", run)["ok"]["outcome"] == expected


@pytest.mark.parametrize(
    ("quantity", "value", "expected"),
    [
        ("suction_in_wc", 0.36, "usual"),
        ("suction_in_wc", -0.36, "usual"),
        ("suction_in_wc", 3.0, "unusual"),
        ("suction_in_wc", 36, "implausible"),  # the point was forgotten
        ("suction_in_wc", -6.1, "implausible"),
        ("flue_o2_percent", 21, "implausible"),
        ("flue_o2_percent", 19, "unusual"),
        ("flame_ua", 0.5, "unusual"),
        ("input_btu_h", 40, "implausible"),  # typed in thousands
        ("nobody_knows", 1, "unknown_quantity"),
    ],
)
def test_a_number_out_of_its_range_warns_and_is_kept(quantity, value, expected, both):
    assert both("plausible", {"quantity": quantity, "value": value})["ok"]["state"] == expected


def test_every_usual_range_lies_inside_its_hard_range():
    for name, _unit, hard_low, hard_high, usual_low, usual_high in RANGES:
        assert hard_low <= usual_low < usual_high <= hard_high, name


def propose(both, power_vent, check, readings, answers=(), **more):
    given = [{"quantity": name, "value": value} for name, value in readings.items()]
    args = {"procedure_hash": power_vent["hash"], "check": check, "readings": given, "answers": list(answers), **more}
    return both("propose_outcome", args)["ok"]["outcome"]


def test_a_check_proposes_by_its_own_rule(both, power_vent):
    tap = [{"check": "tap_type", "outcome": "suction"}]
    suction = {"suction_in_wc": 0.3, "make_point_in_wc": 0.36}
    assert propose(both, power_vent, "suction_at_switch", suction, tap) == "short"
    assert propose(both, power_vent, "suction_at_switch", suction) is None  # the tap is not known yet
    assert propose(both, power_vent, "suction_at_switch", {"suction_in_wc": 0.3}, tap) is None
    assert propose(both, power_vent, "limit_continuity", {"limit_ohm": None, "leads_ohm": 0.2}) == "open"
    assert propose(both, power_vent, "co_room", {"co_room_ppm": 12}, ladder="protocol_9_36_70") == "raised"
    assert propose(both, power_vent, "sensing_tube", {}) is None


def test_where_the_firm_chose_no_rules_the_result_says_whose_steps_these_are(both, shipped):
    args = {
        "procedure_hash": shipped["hash"],
        "check": "co_room",
        "readings": [{"quantity": "co_room_ppm", "value": 12}],
    }
    unchosen = both("propose_outcome", {**args, "answers": [], "ladder": None})["ok"]
    chosen = both("propose_outcome", {**args, "answers": [], "ladder": "code_appendix"})["ok"]
    assert unchosen["outcome"] == chosen["outcome"] == "acceptable"
    assert unchosen["words"].startswith(chosen["words"])
    assert "No CO rules chosen by your company are known here: these are the code appendix's." in unchosen["words"]
    assert "appendix's" not in chosen["words"]


def test_every_rule_of_a_shipped_procedure_proposes_outcomes_that_its_check_has(both, shipped):
    relit = [{"check": "relight_watch", "outcome": one} for one in ("runs", "wont_hold")]
    sweeps = {
        "couple_open_outcome": [{"couple_open_mv": one} for one in (0.0, 8.0, 30.0)],
        "couple_closed_outcome": [{"couple_closed_mv": one, "couple_open_mv": 30.0} for one in (5.0, 12.0, 18.75)],
        "drop_out_outcome": [{"drop_out_seconds": one, "drop_out_mv": mv} for one, mv in ((30, 3), (200, 3), (5, 12))],
        "pile_open_outcome": [{"pile_open_mv": one} for one in (0.0, 380.0, 700.0)],
        "pile_loaded_outcome": [
            {"pile_loaded_mv": one, "valve_loaded_mv": at} for one, at in ((325, 325), (371, 279), (100, 99))
        ],
        "cutoff_outcome": [{"cutoff_ohm": one, "leads_ohm": 0.2} for one in (None, 0.3, 5.0, 1e6)],
        "suction_outcome": [{"suction_in_wc": one / 50, "make_point_in_wc": 0.36} for one in range(60)],
        "limit_outcome": [{"limit_ohm": one, "leads_ohm": 0.2} for one in (None, 0.3, 5.0, 1e6)],
        "co_outcome": [{"co_room_ppm": one} for one in range(0, 200, 10)],
        "run_outcome": [
            {"nominal_in": 2, "straight_ft": one, "elbows_90": 0, "elbows_45": 0, "limit_ft": 50, "limit_min_ft": 5}
            for one in (2, 10, 90)
        ],
        "terminal_outcome": [{"above_ground_in": one} for one in (0, 11)],
    }
    answers = [{"check": "tap_type", "outcome": "suction"}]
    for check in shipped["checks"]:
        ids = [one["id"] for one in check["outcomes"]]
        if check["rule"] is None:
            continue
        for readings in sweeps[check["rule"]]:
            for relight in relit:
                assert propose(both, shipped, check["id"], readings, [*answers, relight]) in ids, check["id"]


# Check, readings, answers before it, and the answers that the figures exclude; limits are typed.
TAP = [{"check": "tap_type", "outcome": "suction"}]
RUN = {"straight_ft": 60, "elbows_90": 4, "elbows_45": 0, "feet_per_90": 5, "nominal_in": 3}
EXCLUDES = [
    ("co_room", {"co_room_ppm": 200}, [], ["acceptable", "raised", "outside", "not_measured"]),
    ("co_room", {"co_room_ppm": 70}, [], ["acceptable", "raised", "outside", "not_measured"]),
    ("co_room", {"co_room_ppm": 69}, [], ["acceptable", "not_measured"]),
    (
        "co_room",
        {"co_room_ppm": 30},
        [],
        ["acceptable", "not_measured"],
    ),  # the appendix: below 30 ppm the visit goes on
    ("co_room", {"co_room_ppm": 29}, [], []),
    ("co_room", {"co_room_ppm": 0}, [], []),
    ("suction_at_switch", {"suction_in_wc": 0.30, "make_point_in_wc": 0.36}, TAP, ["enough"]),
    ("suction_at_switch", {"suction_in_wc": 0.38, "make_point_in_wc": 0.36}, TAP, []),
    ("suction_at_switch", {"suction_in_wc": 0.30, "make_point_in_wc": 0.36}, [], []),  # the tap is not known yet
    ("limit_continuity", {"limit_ohm": None, "leads_ohm": 0.3}, [], ["closed"]),
    ("limit_continuity", {"limit_ohm": 5, "leads_ohm": 0.3}, [], []),
    ("run_length", {**RUN, "limit_ft": 70}, [], ["within"]),
    ("run_length", {**RUN, "limit_ft": 90}, [], []),
]
PILOT_EXCLUDES = [
    ("couple_open", {"couple_open_mv": 8}, [], ["enough"]),
    ("couple_open", {"couple_open_mv": 20}, [], []),  # sources disagree, and nobody typed the maker's
    ("couple_open", {"couple_open_mv": 20, "couple_open_min_mv": 25}, [], ["enough"]),
    ("couple_closed", {"couple_closed_mv": 18.7, "couple_open_mv": 30}, [("relight_watch", "wont_hold")], []),
    ("drop_out", {"drop_out_seconds": 200}, [], ["in_time", "drops_early"]),  # too slow is unsafe: nothing milder
    ("drop_out", {"drop_out_seconds": 60, "drop_out_mv": 12}, [], []),
    ("tco_continuity", {"cutoff_ohm": None, "leads_ohm": 0.3}, [], ["closed", "not_fitted"]),
]


@pytest.mark.parametrize(("check", "readings", "answers", "excluded"), EXCLUDES)
def test_certain_figures_exclude_what_is_called_good_and_doubtful_ones_nothing(
    check, readings, answers, excluded, both, power_vent
):
    assert excluded_by(both, power_vent, check, readings, answers) == excluded


@pytest.mark.parametrize(("check", "readings", "answers", "excluded"), PILOT_EXCLUDES)
def test_so_they_do_on_a_standing_pilot(check, readings, answers, excluded, both, standing_pilot):
    known = [{"check": one, "outcome": outcome} for one, outcome in answers]
    assert excluded_by(both, standing_pilot, check, readings, known) == excluded


def excluded_by(both, procedure, check, readings, answers):
    listed = [{"quantity": name, "value": value} for name, value in readings.items()]
    args = {"check": check, "readings": listed, "answers": answers, "ladder": "code_appendix"}
    return both("propose_outcome", {"procedure_hash": procedure["hash"], **args})["ok"]["excluded"]


def test_every_rule_says_which_of_its_outcomes_are_certain():
    assert sorted(CERTAIN) == sorted(RULES)


@pytest.mark.parametrize(
    ("known", "expected"),
    [
        ({"straight_ft": 42, "limit_ft": 2}, "over"),
        ({"straight_ft": 42, "limit_ft": 42}, None),  # the elbows may still make it over
        ({"straight_ft": 42}, None),
        ({"elbows_90": 4, "limit_elbows": 3}, "over"),
        ({"straight_ft": 10, "elbows_90": 4, "feet_per_90": 5, "limit_ft": 29}, "over"),
        ({"straight_ft": 1, "limit_ft": 50, "limit_min_ft": 5}, None),  # under is said of a whole run alone
    ],
)
def test_a_run_that_is_over_by_what_is_known_of_it_is_called_over_before_the_rest_is_counted(
    known, expected, both, power_vent
):
    readings = [{"quantity": name, "value": value} for name, value in {"nominal_in": 3, **known}.items()]
    args = {"check": "run_length", "readings": readings, "ladder": "code_appendix"}
    found = both("propose_outcome", {"procedure_hash": power_vent["hash"], **args})["ok"]
    assert found["outcome"] == expected
    assert found["excluded"] == (["within"] if expected else [])
    assert expected or found["words"].startswith("Still to note: ")
