"""Every invented number is read back by the trade's own rules as the outcome that it was made for."""

from __future__ import annotations

from collections import Counter
from typing import Any

import pytest

from webapp.invent.chance import stream
from webapp.invent.makers import make_model
from webapp.invent.readings import reading_value, vent_survey
from webapp.procedures import compiled
from webapp.trade.millivolts import millivolt_outcome
from webapp.trade.readings import co_outcome, limit_outcome, run_outcome, suction_outcome

CHECKS: dict[str, Any] = {
    check["id"]: check for name in ("standing_pilot", "power_vent") for check in compiled(name)["checks"]
}
TRIES = 60


def models() -> list[Any]:
    return [make_model(11, "power_vent", number) for number in range(TRIES)]


def value(check: str, outcome: str, quantity: str, number: int, **more: Any) -> float | None:
    spec = next(one for one in CHECKS[check]["readings"] if one["quantity"] == quantity)
    return reading_value(stream(number, check, outcome), spec, (check, outcome), models()[number], **more)


@pytest.mark.parametrize("outcome", ["enough", "marginal", "short", "none"])
def test_suction_reads_as_its_outcome_on_a_suction_tap(outcome: str) -> None:
    for number, model in enumerate(models()):
        suction = value("suction_at_switch", outcome, "suction_in_wc", number)
        assert suction is not None
        assert suction_outcome(suction, model.make_point_in_wc, "suction")["outcome"] == outcome


@pytest.mark.parametrize("outcome", ["enough", "marginal", "short"])
def test_pressure_reads_as_its_outcome_on_a_pressure_tap(outcome: str) -> None:
    for number, model in enumerate(models()):
        pressure = value("suction_at_switch", outcome, "suction_in_wc", number, pressure_tap=True)
        assert pressure is not None
        assert suction_outcome(pressure, model.make_point_in_wc, "pressure")["outcome"] == outcome


@pytest.mark.parametrize("outcome", ["closed", "poor", "open"])
def test_a_limit_reads_as_its_outcome(outcome: str) -> None:
    for number in range(TRIES):
        ohm = value("limit_continuity", outcome, "limit_ohm", number)
        leads = value("leads_beep", "beep", "leads_ohm", number)
        assert limit_outcome(ohm, leads)["outcome"] == outcome


@pytest.mark.parametrize("outcome", ["acceptable", "raised", "leave"])
def test_room_co_reads_as_its_outcome(outcome: str) -> None:
    for number in range(TRIES):
        ppm = value("co_room", outcome, "co_room_ppm", number)
        assert ppm is not None
        assert co_outcome(ppm, "code_appendix")["outcome"] == outcome


@pytest.mark.parametrize(
    ("check", "outcome"),
    [
        (check, outcome)
        for check, outcomes in {
            "couple_open": ("enough", "low", "none"),
            "couple_closed": ("enough", "low", "high_but_drops"),
            "pile_open": ("enough", "low", "none"),
            "pile_loaded": ("enough", "low", "lost_on_the_way"),
            "drop_out": ("in_time", "too_slow", "drops_early"),
            "tco_continuity": ("closed", "poor", "open"),
            "eco_continuity": ("closed", "poor", "open"),
        }.items()
        for outcome in outcomes
    ],
)
def test_millivolts_and_cut_outs_read_as_their_outcome(check: str, outcome: str) -> None:
    rule = "cutoff_outcome" if check.endswith("_continuity") else f"{check}_outcome"
    watched: Any = [{"check": "relight_watch", "outcome": "wont_hold" if outcome == "high_but_drops" else "runs"}]
    for number in range(TRIES):
        figures = {
            spec["quantity"]: value(check, outcome, spec["quantity"], number) for spec in CHECKS[check]["readings"]
        }
        figures["leads_ohm"] = value("leads_beep", "beep", "leads_ohm", number)
        figures.setdefault("couple_open_mv", value("couple_open", "enough", "couple_open_mv", number))
        assert millivolt_outcome(rule, figures, watched)["outcome"] == outcome, figures


@pytest.mark.parametrize(
    ("check", "good", "bad", "figure", "limit", "good_is_over"),
    [
        ("gas_pressure", "inside", "low_or_swings", "gas_inlet_in_wc", "gas_inlet_min_in_wc", True),
        ("flame_current", "steady", "low", "flame_ua", "flame_min_ua", True),
        ("flue_gas", "clean", "co_high_or_o2_low", "co_air_free_ppm", "co_air_free_limit_ppm", False),
    ],
)
def test_a_figure_stands_on_the_side_of_the_typed_one_that_its_answer_says(
    check: str, good: str, bad: str, figure: str, limit: str, *, good_is_over: bool
) -> None:
    for number in range(TRIES):
        for outcome in (good, bad):
            read, typed = (value(check, outcome, one, number) for one in (figure, limit))
            assert read is not None
            assert typed is not None
            assert (read > typed) is (good_is_over is (outcome == good)), (outcome, read, typed)


@pytest.mark.parametrize("over", [False, True])
def test_a_run_is_within_or_over_its_sheet_as_it_was_meant(over: bool) -> None:
    for number, model in enumerate(models()):
        survey = vent_survey(stream(number, "run"), model, over=over)
        survey.pop("nominal_in")
        assert run_outcome(**survey)["outcome"] == ("over" if over else "within")  # type: ignore[arg-type]


def test_every_number_lies_inside_its_hard_range_whatever_the_outcome() -> None:
    seen: Counter[str] = Counter()
    for check in CHECKS.values():
        for outcome in check["outcomes"]:
            for spec in check["readings"]:
                for number in range(10):
                    found = value(check["id"], outcome["id"], spec["quantity"], number)
                    if found is not None:
                        seen[spec["quantity"]] += 1
                        assert spec["hard_low"] <= found <= spec["hard_high"], (check["id"], outcome["id"], spec)
    assert len(seen) > 20


def test_a_normal_outcome_has_usual_numbers() -> None:
    for check in CHECKS.values():
        for spec in check["readings"]:
            found = value(check["id"], check["outcomes"][0]["id"], spec["quantity"], 3)
            if found is not None:
                assert spec["usual_low"] <= found <= spec["usual_high"], (check["id"], spec["quantity"], found)
