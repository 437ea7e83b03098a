"""Ranking the causes: naive Bayes with floored likelihoods, in words first and numbers second."""

from __future__ import annotations

from math import log
from typing import TYPE_CHECKING

from .fit import fit_of
from .tables import tables_of
from .voices import voice_of

if TYPE_CHECKING:
    from .advice_types import Evidence, RankedCause, Ranking
    from .procedure_types import Procedure
    from .tables import Tables
    from .voices import Voice

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
# After so many outcomes the weights are made to sum to 1 again: 0.005 to the power of 40 is 1e-92, far from no number.
MANY = 40
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
    by_p = [(-p[h], causes[h]["id"], h) for h in range(len(causes))]
    by_p.sort()  # the id makes every key unique
    voices = [voice_of(tables, one["check"], one["outcome"]) for one in used]
    states = _states(tables, voices, p, failed or [])
    by = _moved_by(voices, used, states)
    return {
        "causes": [_ranked(causes[h]["id"], p[h], states[h], by[h], proven) for _p, _id, h in by_p],
        "entropy_bits": entropy_bits(p),
        "fit": fit_of(tables, used, p, by_p[0][2]),
        "used": used,
        "ignored": ignored,
    }


def posterior(procedure: Procedure, used: list[Evidence], failed: list[str]) -> list[float]:
    """p(cause | found), in the procedure's order of causes: prior times the rows of the outcomes, made to sum to 1.

    A cause whose proof failed is weighed down, the others up. Range: 0 to 1. Example: with nothing found, the priors.
    Source: Bayes' rule with independent findings; priors, rows and the weights of a failed proof are expert guesses.
    """
    tables = tables_of(procedure)
    p = list(tables.prior)
    for first in range(0, len(used), MANY):
        for one in used[first : first + MANY]:
            for h, times in voice_of(tables, one["check"], one["outcome"]).times:
                p[h] *= times
        p = _normal(p)
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


def _states(tables: Tables, voices: list[Voice], p: list[float], failed: list[str]) -> list[str]:
    left = _left_by_their_own(tables, voices, failed)
    states = []
    for h in range(len(p)):
        out = p[h] < RULED_OUT_P and p[h] <= RULED_OUT_RATIO * tables.prior[h] and left[h] <= RULED_OUT_RATIO
        states.append("likely" if p[h] >= LIKELY_P else "ruled_out" if out else "possible")
    return states


def _left_by_their_own(tables: Tables, voices: list[Voice], failed: list[str]) -> list[float]:
    """What the findings that speak against a cause leave of it, beside the one in the middle. 1 where none does."""
    left = [FAILED_PROOF_SAME if cause["id"] in failed else 1.0 for cause in tables.procedure["causes"]]
    for voice in voices:
        for h, ratio in voice.leaves:
            left[h] *= ratio
    return left


def _moved_by(voices: list[Voice], used: list[Evidence], states: list[str]) -> list[list[Evidence]]:
    """Up to three outcomes that spoke loudest: against a cause ruled out, for a likely one, either way for the rest."""
    loud: list[list[tuple[int, int]]] = [[] for _state in states]
    for position in range(len(used)):
        for state in ("possible", "likely", "ruled_out"):
            for h, loudness in voices[position].loud[state]:
                if states[h] == state:
                    loud[h].append((loudness, position))
    for one in loud:
        one.sort()
    return [[used[position] for _loudness, position in one[:3]] for one in loud]


def _ranked(cause: str, p: float, state: str, by: list[Evidence], proven: str | None) -> RankedCause:
    shown = p if proven == cause else min(p, SHOWN_CAP)
    return {"cause": cause, "p": p, "p_shown": shown, "state": state, "by": by}  # type: ignore[typeddict-item]


def _normal(weights: list[float]) -> list[float]:
    total = sum(weights)
    return [one / total for one in weights]
