"""Ranking the causes: naive Bayes with floored likelihoods, in words first and numbers second."""

from __future__ import annotations

from math import log, sqrt
from typing import TYPE_CHECKING

from .ordering import in_order

if TYPE_CHECKING:
    from .advice_types import Evidence, Fit, RankedCause, Ranking
    from .procedure_types import Check, Procedure

# No likelihood is taken to be smaller: one wrong tap must not kill a cause (expert guess; trade.md 8d says 0.5-1 %).
FLOOR = 0.005
# Checks are not quite independent, so a screen never says more than this until a proof run has passed (expert guess).
SHOWN_CAP = 0.95
# A failed proof run speaks against the cause that was repaired, and hardly against the others (expert guess).
FAILED_PROOF_SAME = 0.03
FAILED_PROOF_OTHER = 0.9
# Words (expert guesses): "likely" from one in two; "ruled out" below 2 in 100 and at a fifth or less of what it began with.
LIKELY_P = 0.5
RULED_OUT_P = 0.02
RULED_OUT_RATIO = 0.2
# Soft alarm: the findings fit no single cause well (measured on a toy: 1.4 % false alarms at -2).
STRAINED_Z = -2.0
LN_2 = 0.6931471805599453


def rank(
    procedure: Procedure, evidence: list[Evidence], *, failed: list[str] | None = None, proven: str | None = None
) -> Ranking:
    """Causes from the most to the least probable, given what was found.

    p(cause | found) is proportional to prior(cause) x product of P(outcome | cause), each at least FLOOR.
    A check that stands with two different outcomes counts as not asked. Probabilities, 0 to 1.
    Range: any subset of the procedure's checks; what the procedure does not know is given back as ignored.
    Example: with no evidence the priors come back.
    Source: Bayes' rule; the numbers in the procedures are expert guesses. Checked against pgmpy.
    """
    used, ignored = _usable(procedure, evidence)
    p = posterior(procedure, used, failed or [])
    causes = procedure["causes"]
    by_p = in_order(list(range(len(causes))), key=lambda h: (-p[h], causes[h]["id"]))
    return {
        "causes": [_ranked(procedure, used, p, h, proven) for h in by_p],
        "entropy_bits": entropy_bits(p),
        "fit": _fit(procedure, used, p, by_p[0]),
        "used": used,
        "ignored": ignored,
    }


def posterior(procedure: Procedure, used: list[Evidence], failed: list[str]) -> list[float]:
    """p(cause | found), in the procedure's order of causes."""
    p = [cause["prior"] for cause in procedure["causes"]]
    for one in used:
        row = outcome_row(check_of(procedure, one["check"]), one["outcome"])
        p = _normal([p[h] * row[h] for h in range(len(p))])
    for cause_id in failed:
        same = [cause["id"] == cause_id for cause in procedure["causes"]]
        if True in same:
            p = _normal([p[h] * (FAILED_PROOF_SAME if same[h] else FAILED_PROOF_OTHER) for h in range(len(p))])
    return p


def entropy_bits(p: list[float]) -> float:
    """-sum p log2 p: 0 when one cause is certain."""
    return -sum([one * log(one) for one in p if one > 0.0]) / LN_2


def check_of(procedure: Procedure, check_id: str) -> Check:
    """The check with this id, which must be one of the procedure's."""
    return [check for check in procedure["checks"] if check["id"] == check_id][0]


def outcome_row(check: Check, outcome_id: str) -> list[float]:
    """P(outcome | cause), floored."""
    return [max(one, FLOOR) for one in check["rows"][outcome_id]]


def _usable(procedure: Procedure, evidence: list[Evidence]) -> tuple[list[Evidence], list[Evidence]]:
    known = {check["id"]: check for check in procedure["checks"]}
    said: dict[str, set[str]] = {}
    for one in evidence:
        said.setdefault(one["check"], set()).add(one["outcome"])
    used: list[Evidence] = []
    ignored: list[Evidence] = []
    seen: set[str] = set()
    for one in evidence:
        check = one["check"]
        if check in known and one["outcome"] in known[check]["rows"] and len(said[check]) == 1:
            if check not in seen:
                used.append(one)
            seen.add(check)
        else:
            ignored.append(one)
    return used, ignored


def _ranked(procedure: Procedure, used: list[Evidence], p: list[float], h: int, proven: str | None) -> RankedCause:
    cause = procedure["causes"][h]
    state = "possible"
    if p[h] >= LIKELY_P:
        state = "likely"
    elif p[h] < RULED_OUT_P and p[h] <= RULED_OUT_RATIO * cause["prior"]:
        state = "ruled_out"
    shown = p[h] if proven == cause["id"] else min(p[h], SHOWN_CAP)
    by = _moved_by(procedure, used, h, state)
    return {"cause": cause["id"], "p": p[h], "p_shown": shown, "state": state, "by": by}  # type: ignore[typeddict-item]


def _moved_by(procedure: Procedure, used: list[Evidence], h: int, state: str) -> list[Evidence]:
    """Up to three outcomes that spoke loudest: against a cause ruled out, for a likely one, either way for the rest."""
    weights = []
    for position in range(len(used)):
        row = outcome_row(check_of(procedure, used[position]["check"]), used[position]["outcome"])
        average = sum([procedure["causes"][one]["prior"] * row[one] for one in range(len(row))])
        weights.append(log(row[h] / average))
    positions = list(range(len(used)))
    if state == "ruled_out":
        positions = [one for one in positions if weights[one] < -0.5]
    elif state == "likely":
        positions = [one for one in positions if weights[one] > 0.25]
    else:
        positions = [one for one in positions if abs(weights[one]) > 0.7]
    return [used[one] for one in in_order(positions, key=lambda one: (-_steps(abs(weights[one])), one))[:3]]


def _fit(procedure: Procedure, used: list[Evidence], p: list[float], best: int) -> Fit:
    """z = (LL - E[LL]) / sd for the best cause: how surprised it would be by these findings.

    Source: goodness of fit by the log-likelihood's own mean and variance, check by check; the alarm level is measured
    on an invented model, not on field data.
    """
    surprise = mean = variance = 0.0
    worst: list[tuple[int, str]] = []
    for one in used:
        check = check_of(procedure, one["check"])
        rows = [outcome_row(check, outcome["id"])[best] for outcome in check["outcomes"]]
        total = sum(rows)
        shares = [row / total for row in rows]
        expected = sum([share * log(share) for share in shares])
        got = log(outcome_row(check, one["outcome"])[best] / total)
        surprise += got
        mean += expected
        variance += sum([share * log(share) * log(share) for share in shares]) - expected * expected
        worst.append((_steps(got - expected), one["check"]))
    z = (surprise - mean) / sqrt(variance) if variance > 1e-9 else 0.0
    strained = z < STRAINED_Z
    again = [check for _gap, check in in_order(worst, key=lambda line: line)[:2]] if strained else []
    return {"z": z, "strained": strained, "none_p": p[-1], "look_again": again}


def _normal(weights: list[float]) -> list[float]:
    total = sum(weights)
    return [one / total for one in weights]


def _steps(value: float) -> int:
    """Rounded to a billionth, so that equal weights tie alike on both engines."""
    return int(value * 1e9 + (0.5 if value >= 0 else -0.5))
