"""Everything that a procedure must have before it is shipped to a basement."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from webapp.procedures.compile import NONE_OF_THESE, SENSES, compile_procedure
from webapp.procedures.validate_chain import chain_problems
from webapp.procedures.validate_numbers import number_problems
from webapp.procedures.validate_power_back import power_back_problems
from webapp.procedures.validate_proofs import proof_problems
from webapp.procedures.validate_safety import safety_problems
from webapp.procedures.validate_words import safety_word_problems

if TYPE_CHECKING:
    from collections.abc import Iterator

VERDICTS = ("good", "doubtful", "bad")
MOST_HOW_LINES = 3
LONGEST_HOW_LINE = 110
# Whence the steps of a check are: a source by name, a maker's paper, or that there is none.
SAYS_WHENCE = re.compile(
    r"no source|from memory|expert guess|\b(read|printed)\b|\b(the sheet|plate|label)\b|Ohm's law|Kirchhoff|rule sets",
)
WAITS = {"five": 5, "ten": 10, "fifteen": 15, "thirty": 30}
_KEYS = ("name", "title", "kind_words", "likelihood_source", "second_trip_minutes", "complaints", "causes", "repairs",
         "gate", "may_fire", "checks", "closing_looks", "proofs", "chain_words", "chain", "parts")  # fmt: skip
_CHECK_KEYS = (
    "id",
    "part",
    "sense",
    "minutes",
    "title",
    "question",
    "how",
    "normal",
    "why",
    "sketch",
    "source",
    "outcomes",
)


def problems(source: dict[str, Any]) -> list[str]:
    """What is wrong, one line each; empty when the procedure passes."""
    found = list(_shape(source))
    if found:
        return found
    found += _identities(source)
    for check in source["checks"]:
        found += [f"{check['id']}: {problem}" for problem in _check(check, source)]
    found += proof_problems(source)
    found += chain_problems(source)
    found += safety_problems(source)
    found += power_back_problems(source)
    found += safety_word_problems(source)
    if not found:
        found += number_problems(compile_procedure(source))
    return found


def _shape(source: dict[str, Any]) -> Iterator[str]:
    for name in _KEYS:
        if not source.get(name):
            yield f"missing: {name}"
    for check in source.get("checks") or []:
        for name in _CHECK_KEYS:
            if not check.get(name):
                yield f"{check.get('id', 'a check')}: missing {name}"
    if source.get("causes") and source["causes"][-1]["id"] != NONE_OF_THESE:
        yield f"the last cause must be {NONE_OF_THESE}"


def _identities(source: dict[str, Any]) -> Iterator[str]:
    """Ids are slugs, used once, and every name that is referred to exists."""
    known = {
        group: [one["id"] for one in source[group]] for group in ("causes", "repairs", "checks", "parts", "complaints")
    }
    for group, ids in known.items():
        for one in ids:
            if not re.fullmatch(r"[a-z][a-z0-9_]*", str(one)):
                yield f"{group}: {one!r} is not a slug"
            if ids.count(one) > 1:
                yield f"{group}: {one} is there twice"
    for cause in source["causes"]:
        yield from (
            f"{cause['id']}: unknown repair {one}" for one in cause.get("repairs", []) if one not in known["repairs"]
        )
        if not cause.get("repairs") and cause["id"] != NONE_OF_THESE:
            yield f"{cause['id']}: no repair"
        if not cause.get("proof_words") or cause.get("weight", 0) <= 0:
            yield f"{cause['id']}: needs a weight above 0 and proof words"
    yield from (f"gate: unknown check {one}" for one in source["gate"] if one not in known["checks"])
    yield from _needs("may_fire", source["may_fire"], source)


def _needs(owner: str, needs: list[dict[str, Any]], source: dict[str, Any]) -> Iterator[str]:
    outcomes = {check["id"]: [one["id"] for one in check["outcomes"]] for check in source["checks"]}
    for need in needs:
        if need.get("check") not in outcomes:
            yield f"{owner}: needs unknown check {need.get('check')}"
        elif not need.get("words") or not need.get("outcomes") or set(need["outcomes"]) - set(outcomes[need["check"]]):
            yield f"{owner}: the need of {need['check']} has no words or unknown outcomes"


def _check(check: dict[str, Any], source: dict[str, Any]) -> Iterator[str]:
    if check["sense"] not in SENSES or not 0 < check["minutes"] <= 60:
        yield "needs a sense and minutes between 0 and 60"
    if check["part"] not in [part["id"] for part in source["parts"]]:
        yield f"unknown part {check['part']}"
    if not 1 <= len(check["how"]) <= MOST_HOW_LINES or any(len(line) > LONGEST_HOW_LINE for line in check["how"]):
        yield f"how: 1 to {MOST_HOW_LINES} lines of at most {LONGEST_HOW_LINE} characters"
    if not SAYS_WHENCE.search(check["source"]):
        yield "source: says neither whence its steps are nor that there is no source"
    if check.get("undone_by") not in (None, "power", "firing", "parting", "flame"):
        yield "undone_by is power, firing, parting or flame"
    before_firing = [need["check"] for need in source["may_fire"] if not need.get("if_answered")]
    if check.get("fires") and check["id"] in before_firing:
        yield "fires, and is itself needed before firing"
    yield from _wait(check)
    yield from _needs(check["id"], check.get("needs", []) + check.get("flame_stays", []), source)
    met = check.get("met_by")
    if met is not None:
        words = [{"check": met["check"], "outcomes": [met["outcome"]], "words": "met"}]
        words.append({"check": check["id"], "outcomes": [met["gives"]], "words": "gives"})
        yield from _needs(check["id"], words, source)
    yield from _outcomes(check, source)


def _wait(check: dict[str, Any]) -> Iterator[str]:
    """A clock runs for what the steps state, and for nothing else."""
    steps = " ".join([check["question"], *check["how"]]).lower()
    stated = sorted({WAITS[word] for word in re.findall(rf"\b({'|'.join(WAITS)}) minutes", steps)})
    if (stated or "wait_minutes" in check) and check.get("wait_minutes") not in stated:
        yield f"wait_minutes must be a wait that its steps state: {stated or 'none'}"


def _outcomes(check: dict[str, Any], source: dict[str, Any]) -> Iterator[str]:
    ids = [outcome["id"] for outcome in check["outcomes"]]
    if len(ids) < 2 or len(set(ids)) != len(ids):
        yield "needs at least two outcomes with ids of their own"
    for outcome in check["outcomes"]:
        if not outcome.get("words") or outcome.get("verdict") not in VERDICTS:
            yield f"outcome {outcome['id']} needs words and a verdict"
    if check["outcomes"][0]["verdict"] == "bad":
        yield "the first outcome is the normal one and cannot be bad"
    yield from _likelihoods(check, ids[1:], source)


def _likelihoods(check: dict[str, Any], abnormal: list[str], source: dict[str, Any]) -> Iterator[str]:
    table = check.get("likelihoods")
    if table is None:
        if check["id"] not in source["gate"] and not check.get("always") and not check.get("record_only"):
            yield "no likelihoods: only gate, always and record_only checks may be flat"
        return
    if set(table) != set(abnormal):
        yield "likelihoods name every outcome but the first, and no other"
        return
    causes = {cause["id"] for cause in source["causes"]} - {NONE_OF_THESE}
    for outcome, row in table.items():
        if "else" not in row or set(row) - causes - {"else"}:
            yield f"likelihoods of {outcome}: needs 'else', knows only the procedure's causes"
        elif not all(0 <= one <= 1 for one in row.values()):
            yield f"likelihoods of {outcome}: between 0 and 1"
