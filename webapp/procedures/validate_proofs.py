"""What a procedure's proofs must have: each cause has one, the convicting figure is one that a check reads."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator

MOST_HOW_LINES = 3
LONGEST_HOW_LINE = 60
_KEYS = ("id", "words", "how", "minutes", "fans_on")
RECOVERS = (None, "up", "down")
SIDES = (None, "over", "under", "near")


def proof_problems(source: dict[str, Any]) -> Iterator[str]:
    """What is wrong with proofs, closing looks and what is marked unsafe; one line each."""
    yield from _looks(source)
    defaults = [proof["id"] for proof in source["proofs"] if proof.get("default")]
    if len(defaults) != 1:
        yield f"proofs: one default, not {len(defaults)}"
    causes = [cause["id"] for cause in source["causes"]]
    named = [cause for proof in source["proofs"] for cause in proof.get("causes", [])]
    yield from (f"proofs: unknown cause {cause}" for cause in named if cause not in causes)
    yield from (f"proofs: {cause} is proven in two ways" for cause in sorted(set(named)) if named.count(cause) > 1)
    for proof in source["proofs"]:
        yield from (f"proof {proof.get('id')}: {problem}" for problem in _proof(proof, source))
    yield from _unsafe(source)


def _looks(source: dict[str, Any]) -> Iterator[str]:
    checks = {check["id"]: check for check in source["checks"]}
    ids = [look["id"] for look in source["closing_looks"]]
    if len(set(ids)) < len(ids):
        yield "closing_looks: one is there twice"
    after: set[str] = set()
    for look in source["closing_looks"]:
        after.update(look.get("after_checks", []))
    yield from (f"closing_looks: unknown check {one}" for one in sorted(after) if one not in checks)
    for check in checks.values():
        if check.get("parts_vent") and check["id"] not in after:
            yield f"{check['id']}: parts the vent, and no closing look tests the joint"
    if not any(look.get("always") for look in source["closing_looks"]):
        yield "closing_looks: none is compulsory"


def _proof(proof: dict[str, Any], source: dict[str, Any]) -> Iterator[str]:
    for name in _KEYS:
        if proof.get(name) in (None, "", []):
            yield f"missing {name}"
            return
    if not 1 <= len(proof["how"]) <= MOST_HOW_LINES or any(len(line) > LONGEST_HOW_LINE for line in proof["how"]):
        yield f"how: 1 to {MOST_HOW_LINES} lines of at most {LONGEST_HOW_LINE} characters"
    if not proof["minutes"] > 0 or not isinstance(proof.get("restarts"), int) or proof["restarts"] < 0:
        yield "needs minutes above 0 and restarts"
    looks = [look["id"] for look in source["closing_looks"]]
    yield from (f"unknown closing look {look}" for look in proof.get("looks", []) if look not in looks)
    if not proof.get("measures") and not proof.get("looks") and not proof.get("default") and proof["restarts"] < 2:
        yield "neither a figure nor a look of its own"
    for measure in proof.get("measures", []):
        yield from _measure(measure, source)


def _measure(measure: dict[str, Any], source: dict[str, Any]) -> Iterator[str]:
    fields = {field["quantity"]: field for check in source["checks"] for field in check.get("readings", [])}
    for name, typed in ((measure["quantity"], False), (measure.get("limit"), True)):
        if name is None:
            continue
        if name not in fields:
            yield f"no check reads {name}"
        elif typed and not fields[name].get("from_sheet"):
            yield f"{name} is a limit, and is not typed from the sheet"
    if measure["quantity"] in fields and fields[measure["quantity"]]["unit"] != measure["unit"]:
        yield f"{measure['quantity']} has another unit"
    if measure.get("recovers") not in RECOVERS or measure.get("side") not in SIDES:
        yield f"{measure['quantity']}: recovers up or down; side over, under or near"
    if (measure.get("limit") is None) != (measure.get("side") is None):
        yield f"{measure['quantity']}: a limit and a side belong together"
    if measure.get("recovers") is None and measure.get("limit") is None:
        yield f"{measure['quantity']}: nothing to compare it with"
    yield from _turned_by(measure, source)


def _turned_by(measure: dict[str, Any], source: dict[str, Any]) -> Iterator[str]:
    turn = measure.get("turned_by")
    if turn is None:
        return
    outcomes = {check["id"]: [one["id"] for one in check["outcomes"]] for check in source["checks"]}
    if turn.get("outcome") not in outcomes.get(turn.get("check"), []):
        yield f"{measure['quantity']}: turned by an answer that does not exist"


def _unsafe(source: dict[str, Any]) -> Iterator[str]:
    """An outcome that stops the visit says whether the heater is unsafe; the normal one never is."""
    for check in source["checks"]:
        for position, outcome in enumerate(check["outcomes"]):
            if outcome.get("stop_words") and "unsafe" not in outcome:
                yield f"{check['id']}: {outcome['id']} stops the visit and does not say whether it is unsafe"
            if outcome.get("unsafe") and (position == 0 or outcome["verdict"] == "good"):
                yield f"{check['id']}: {outcome['id']} is normal or good, and marked unsafe"
    if not any(outcome.get("unsafe") for check in source["checks"] for outcome in check["outcomes"]):
        yield "nothing is marked unsafe"
