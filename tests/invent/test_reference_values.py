"""The yardsticks themselves: what we check invented companies with gives the published answers on published data."""

from __future__ import annotations

import json
import math
from pathlib import Path
from typing import Any

import pytest
import scipy

FOLDER = Path(__file__).parents[2] / "fixtures" / "reference"


def reference(name: str) -> dict[str, Any]:
    found: dict[str, Any] = json.loads((FOLDER / name).read_text(encoding="utf-8"))
    return found


def test_the_product_limit_estimate_of_the_remission_data_is_the_published_one() -> None:
    data = reference("remission_6mp.json")
    sample = scipy.stats.CensoredData(uncensored=data["weeks"], right=data["censored_weeks"])
    curve = scipy.stats.ecdf(sample).sf
    for week, share in data["still_in_remission"].items():
        assert float(curve.evaluate(float(week))) == pytest.approx(share, abs=6e-5)


def test_its_standard_errors_are_those_of_greenwood() -> None:
    data = reference("remission_6mp.json")
    total = 0.0
    for week, error in data["standard_error"].items():
        at_risk = sum(one >= float(week) for one in data["weeks"] + data["censored_weeks"])
        failed = data["weeks"].count(int(week))
        total += failed / (at_risk * (at_risk - failed))
        share = data["still_in_remission"][week]
        assert share * math.sqrt(total) == pytest.approx(error, abs=1e-4)


@pytest.mark.parametrize("case", reference("one_rate.json")["cases"], ids=lambda case: f"{case['k']}/{case['n']}")
def test_limits_of_one_rate_are_the_published_ones(case: dict[str, Any]) -> None:
    for method in ("wilson", "exact"):
        found = scipy.stats.binomtest(case["k"], case["n"]).proportion_ci(0.95, method=method)
        assert (found.low, found.high) == pytest.approx(case[method], abs=6e-5)


def test_the_hospitals_add_up() -> None:
    data = reference("surgical_12_hospitals.json")
    assert len(data["operations"]) == len(data["deaths"]) == 12
    assert sum(data["deaths"]) / sum(data["operations"]) == pytest.approx(data["pooled_rate"], abs=1e-6)


def test_every_file_of_reference_values_names_its_source_and_is_listed() -> None:
    listed = (FOLDER.parent / "README.md").read_text(encoding="utf-8")
    files = sorted(FOLDER.iterdir())
    assert files
    for file in files:
        assert reference(file.name)["source"]
        assert f"`{file.name}`" in listed
