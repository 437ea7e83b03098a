"""Ranking the causes: naive Bayes with floored likelihoods, in words first and numbers second."""

from __future__ import annotations

from math import log
from typing import TYPE_CHECKING

from .fit import fit_of
from .ordering import in_order, in_steps
from .tables import tables_of

if TYPE_CHECKING:
    from .advice_types import Evidence, RankedCause, Ranking
    from .procedure_types import Procedure
    from .tables import Tables

# Checks are not quite independent, so a screen never says more than this until a proof run has passed (expert guess).
SHOWN_CAP = 0.95
# A failed proof run speaks against the cause that was repaired, and hardly against the others (expert guess).
FAILED_PROOF_SAME = 0.03
FAILED_PROOF_OTHER = 0.9
# Words (expert guesses): "likely" from one in two; "ruled out" below 2 in 100, at a fifth or less of its beginning, and
# by findings that alone make it a fifth as likely beside most others: that one cause is found takes no other away.
LIKELY_P = 0.5
RULED_OUT_P = 0.02
RULED_OUT_RATIO = 0.2
# How loudly an outcome must speak (log of likelihood over average) to be named as the reason (expert guesses).
SPEAKS_AGAINST = -0.5
SPEAKS_FOR = 0.25
SPEAKS_AT_ALL = 0.7
LN_2 = 0.6931471805599453


def rank(
    procedure: Procedure, evidence: list[Evidence], *, failed: list[str] | None = None, proven: str | None = None
) -> Ranking:
    """Causes from the most to the least probable, given what was found.

    p(cause | found) is proportional to prior(cause) x product of P(outcome | cause), each at least 0.005.
    A check that stands with two different outcomes counts as not asked. Probabilities, 0 to 1.
    Range: any subset of the procedure's checks; what the procedure does not know is given back as ignored.
    Example: with no evidence the priors come back.
    Source: Bayes' rule; the numbers in the procedures are expert guesses. Checked against pgmpy.
    """
    tables = tables_of(procedure)
    used, ignored = _usable(tables, evidence)
    p = posterior(procedure, used, failed or [])
    causes = procedure["causes"]
    by_p = in_order(list(range(len(causes))), key=lambda h: (-p[h], causes[h]["id"]))
    return {
        "causes": [_ranked(tables, used, p, h, failed or [], proven) for h in by_p],
        "entropy_bits": entropy_bits(p),
        "fit": fit_of(tables, used, p, by_p[0]),
        "used": used,
        "ignored": ignored,
    }


def posterior(procedure: Procedure, used: list[Evidence], failed: list[str]) -> list[float]:
    """p(cause | found), in the procedure's order of causes: prior times the rows of the outcomes, made to sum to 1.

    A cause whose proof failed is weighed down, the others up. Range: 0 to 1. Example: with nothing found, the priors.
    Source: Bayes' rule with independent findings; priors, rows and the weights of a failed proof are expert guesses.
    """
    tables = tables_of(procedure)
    p = tables.prior
    for one in used:
        row = tables.rows[one["check"]][one["outcome"]]
        p = _normal([p[h] * row[h] for h in range(len(p))])
    for cause_id in failed:
        same = [cause["id"] == cause_id for cause in procedure["causes"]]
        if True in same:
            p = _normal([p[h] * (FAILED_PROOF_SAME if same[h] else FAILED_PROOF_OTHER) for h in range(len(p))])
    return p


def entropy_bits(p: list[float]) -> float:
    """-sum p log2 p, in bits: 0 when one cause is certain.

    Range: 0 to log2 of the number of causes. Example: two causes alike give 1. Source: Shannon 1948, from memory.
    """
    return -sum([one * log(one) for one in p if one > 0.0]) / LN_2


def _usable(tables: Tables, evidence: list[Evidence]) -> tuple[list[Evidence], list[Evidence]]:
    said: dict[str, set[str]] = {}
    for one in evidence:
        said.setdefault(one["check"], set()).add(one["outcome"])
    used: list[Evidence] = []
    ignored: list[Evidence] = []
    seen: set[str] = set()
    for one in evidence:
        check = one["check"]
        if check in tables.rows and one["outcome"] in tables.rows[check] and len(said[check]) == 1:
            if check not in seen:
                used.append(one)
            seen.add(check)
        else:
            ignored.append(one)
    return used, ignored


def _ranked(
    tables: Tables, used: list[Evidence], p: list[float], h: int, failed: list[str], proven: str | None
) -> RankedCause:
    cause = tables.procedure["causes"][h]
    state = "possible"
    if p[h] >= LIKELY_P:
        state = "likely"
    elif p[h] < RULED_OUT_P and p[h] <= RULED_OUT_RATIO * cause["prior"]:
        state = "ruled_out" if _left_by_its_own(tables, used, h, failed) <= RULED_OUT_RATIO else "possible"
    shown = p[h] if proven == cause["id"] else min(p[h], SHOWN_CAP)
    by = _moved_by(tables, used, h, state)
    return {"cause": cause["id"], "p": p[h], "p_shown": shown, "state": state, "by": by}  # type: ignore[typeddict-item]


def _moved_by(tables: Tables, used: list[Evidence], h: int, state: str) -> list[Evidence]:
    """Up to three outcomes that spoke loudest: against a cause ruled out, for a likely one, either way for the rest."""
    loud: list[tuple[int, int]] = []
    for position in range(len(used)):
        check, outcome = used[position]["check"], used[position]["outcome"]
        weight = log(tables.rows[check][outcome][h] / tables.average[check][outcome])
        if state == "ruled_out":
            weight = _against_most(tables, used[position], h)
            speaks = weight < SPEAKS_AGAINST
        elif state == "likely":
            speaks = weight > SPEAKS_FOR
        else:
            speaks = abs(weight) > SPEAKS_AT_ALL
        if speaks:
            loud.append((-in_steps(abs(weight)), position))
    loud.sort()
    return [used[position] for _weight, position in loud[:3]]


def _left_by_its_own(tables: Tables, used: list[Evidence], h: int, failed: list[str]) -> float:
    """What the findings that speak against this cause leave of it, beside the one in the middle. 1 where none does."""
    left = 1.0
    for one in used:
        row, typical = tables.rows[one["check"]][one["outcome"]][h], tables.typical[one["check"]][one["outcome"]]
        if row < typical:
            left *= row / typical
    return left * FAILED_PROOF_SAME if tables.procedure["causes"][h]["id"] in failed else left


def _against_most(tables: Tables, one: Evidence, h: int) -> float:
    """How loudly it speaks for this cause beside the one in the middle: under 0 it speaks against it."""
    return log(tables.rows[one["check"]][one["outcome"]][h] / tables.typical[one["check"]][one["outcome"]])


def _normal(weights: list[float]) -> list[float]:
    total = sum(weights)
    return [one / total for one in weights]
