"""Wilson's interval against what was published, and against another library."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from webapp.audit.rates import FEWEST, Share, wilson

REFERENCE = Path(__file__).parents[2] / "fixtures" / "reference" / "one_rate.json"
CASES: list[dict[str, Any]] = json.loads(REFERENCE.read_text(encoding="utf-8"))["cases"]


@pytest.mark.parametrize("case", CASES, ids=lambda case: f"{case['k']}/{case['n']}")
def test_the_interval_is_the_published_one(case: dict[str, Any]) -> None:
    """Newcombe, Statistics in Medicine 17 (1998) 857, table I: four decimals, as other projects' tests quote it."""
    assert wilson(case["k"], case["n"]) == pytest.approx(case["wilson"], abs=6e-5)


def theirs(count: int, of: int) -> tuple[float, float]:
    """Wilson's interval as statsmodels has it, which takes seconds to import."""
    from statsmodels.stats.proportion import proportion_confint  # noqa: PLC0415

    low, high = proportion_confint(count, of, method="wilson")
    return low, high


@pytest.mark.parametrize("of", [1, 7, 30, 148, 263, 5000])
def test_the_interval_is_that_of_another_library(of: int) -> None:
    for count in sorted({0, 1, of // 20, of // 3, of - 1, of}):
        assert wilson(count, of) == pytest.approx(theirs(count, of), abs=1e-9)


def test_the_words_are_rounded_outwards() -> None:
    assert Share(15, 148).words == "between 6 and 17 in 100"  # 0.0624 to 0.1605
    assert Share(81, 263).words == "between 25 and 37 in 100"  # 0.2553 to 0.3662


@pytest.mark.parametrize("of", range(FEWEST, 200, 7))
def test_the_words_never_promise_more_than_the_interval(of: int) -> None:
    for count in range(0, of + 1, 5):
        low, high = (int(number) for number in re.findall(r"\d+", Share(count, of).words)[:2])
        assert low <= Share(count, of).interval[0] * 100 + 1e-6
        assert high >= Share(count, of).interval[1] * 100 - 1e-6
        assert 0 <= low <= high <= 100


def test_below_the_fewest_nothing_is_said() -> None:
    assert Share(3, FEWEST - 1).words == "too few to say"
    assert Share(0, 0).words == "too few to say"
    assert Share(3, FEWEST).words != "too few to say"


def test_the_fewest_are_as_uncertain_as_the_page_says() -> None:
    """rates.FEWEST: "with one return in 30 the interval already runs from 1 to 17 in 100"."""
    assert Share(1, 30).interval == pytest.approx(theirs(1, 30))
    low, high = (round(limit * 100) for limit in Share(1, FEWEST).interval)
    assert (low, high) == (1, 17)


def test_a_server_brings_scipy_in_beside_itself_and_no_command_waits_for_it() -> None:
    program = (
        "import sys, webapp.cli, webapp.serving\n"
        "from webapp.audit.rates import warm_up\n"
        "assert not [name for name in sys.modules if name.startswith('scipy')]\n"
        "warm_up().join()\n"
        "assert 'scipy.stats' in sys.modules\n"
    )
    subprocess.run([sys.executable, "-c", program], check=True, timeout=120)
