"""What one person found unsafe and another one's look has lifted: it stands for the first until they have read that."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .figures import left_unanswered
from .figures_said import figures_said
from .findings import last_said
from .ordering import NEVER, fold_place
from .unmarked import is_safe

if TYPE_CHECKING:
    from typing import Any

    from .advice_types import GateAdvice, Lifted
    from .gate import Findings
    from .procedure_types import Check, Procedure
    from .record_types import Answer, CheckFinding, Record


def lifted_for(procedure: Procedure, record: Record, raw: Findings, now: Findings, person_id: str) -> list[Lifted]:
    """This person's last unsafe word on each check that no longer stands, by no look of their own.

    No phone goes on by itself because somebody else tapped: until its holder answers anew, or says that they have read
    the other one's answer (an entry that names it), the visit stands for them as they left it. An arrival of somebody
    else alone, which asks safety anew, lifts no stop for them either (`now_words` null); their own does.
    Range: any record. Example: "Smell of gas" at 06:36, another's "No smell" at 06:37. Source: docs/adr/0228.
    """
    if len(record["people"]) < 2:
        return []
    arrived = [fold_place(one["by"]) for one in record["arrivals"] if one["by"]["person_id"] == person_id]
    here_since = max([NEVER] + arrived)
    found: list[Lifted] = []
    for check in procedure["checks"]:
        finding = raw.get(check["id"])
        if finding is None or len(finding["entries"]) == 1 and _is_normal(check, finding):
            continue  # as most are
        word = _last_unsafe(check, record, finding, person_id)
        if word is None or _still_stands(check, word, now.get(check["id"])):
            continue
        by = _lifted_by(word, now.get(check["id"]))
        stop_words = _outcome(check, word)["stop_words"]
        if by is None and (stop_words is None or fold_place(word["by"]) < here_since):
            continue  # asked anew: what is unsafe and no stop counts as it was found
        if not _has_read(record, finding, word, person_id):
            found.append(_line(check, record, word, by))
    return found


def gate_for(gate: GateAdvice, lifted: list[Lifted]) -> GateAdvice:
    """The gate with what this person stopped for: it stops them still."""
    for one in lifted:
        if gate["state"] != "stopped" and one["stop_words"] is not None:
            return {"state": "stopped", "next_check": one["check"], "stop_words": one["stop_words"]}
    return gate


def as_left(findings: Findings, lifted: list[Lifted]) -> Findings:
    """The findings less what another person's look has made of these checks."""
    checks = [one["check"] for one in lifted]
    return {check: findings[check] for check in findings if check not in checks}


def _is_normal(check: Check, finding: CheckFinding) -> bool:
    return finding["entries"][0]["outcome"] == check["outcomes"][0]["id"] and check.get("rule") != "co_outcome"


def _last_unsafe(check: Check, record: Record, finding: CheckFinding, person_id: str) -> Answer | None:
    """This person's last word, or figure that they did not answer, where it is unsafe or stops."""
    mine = [one for one in finding["entries"] if one["outcome"] is not None and one["by"]["person_id"] == person_id]
    if check.get("rule") == "co_outcome":
        mine = mine + left_unanswered(check, record, mine, [], person_id)
    if not mine or is_safe(check, _outcome(check, mine[-1])):
        return None
    return mine[-1]


def _outcome(check: Check, entry: Answer) -> Any:
    known: list[Any] = [one for one in check["outcomes"] if one["id"] == entry["outcome"]]
    return known[0] if known else {"id": "", "words": "", "stop_words": None, "unsafe": False}


def _still_stands(check: Check, word: Answer, stands: CheckFinding | None) -> bool:
    """Or something as bad does: a stop in place of a stop, anything unsafe in place of what does not stop."""
    if stands is None or stands["now_state"] == "could_not":
        return False
    said = [one for one in check["outcomes"] if one["id"] in last_said(stands)]
    if _outcome(check, word)["stop_words"] is not None:
        said = [one for one in said if one["stop_words"] is not None]
    return len([one for one in said if not is_safe(check, one)]) > 0


def _lifted_by(word: Answer, stands: CheckFinding | None) -> Answer | None:
    if stands is None or stands["now_state"] == "could_not":
        return None
    later = [one for one in stands["entries"] if one["outcome"] is not None and _is_others_since(one, word)]
    return later[-1] if later else None


def _is_others_since(entry: Answer, word: Answer) -> bool:
    return entry["by"]["person_id"] != word["by"]["person_id"] and fold_place(entry["by"]) > fold_place(word["by"])


def _has_read(record: Record, finding: CheckFinding, word: Answer, person_id: str) -> bool:
    """Once read it stays read, also where the other one answers the same again."""
    theirs = [one["by"]["event_id"] for one in finding["entries"] if _is_others_since(one, word)]
    mine = [one for one in record["heard"] if one["by"]["person_id"] == person_id and one["event_id"] in theirs]
    return len(mine) > 0


def _line(check: Check, record: Record, word: Answer, by: Answer | None) -> Lifted:
    return {
        "check": check["id"],
        "title": check["title"],
        "found_words": _outcome(check, word)["words"] + figures_said(check, record, word),
        "found_by": word["by"],
        "unsafe_words": check["title"] + ": " + _outcome(check, word)["words"],
        "stop_words": _outcome(check, word)["stop_words"],
        "now_words": None if by is None else _outcome(check, by)["words"] + figures_said(check, record, by),
        "now_own_words": None if by is None else by["words"],
        "now_by": None if by is None else by["by"],
        "repaired": len([one for one in record["repairs"] if fold_place(one["by"]) > fold_place(word["by"])]) > 0,
    }
