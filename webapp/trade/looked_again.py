"""What a visit found unsafe, and otherwise when it looked again: and whether anything shows that it was put right."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .co_ladders import least_raised_ppm
from .figures import figures_of
from .figures_said import figure_said, figures_said
from .findings import last_said
from .ordering import LAST, NEVER, fold_place
from .standing import as_it_stands, standing
from .unmarked import is_safe

if TYPE_CHECKING:
    from typing import Any

    from .advice_types import LookedAgain
    from .gate import Findings
    from .ordering import FoldPlace
    from .procedure_types import Check, Procedure
    from .record_types import Answer, CheckFinding, Record


NOBODY_NOTED = "nobody noted what put it right"
NO_RUN_SINCE = "no hot run after the repair has held with its number"
REPAIRED = "a repair was noted after it"
RAN_SINCE = "a hot run held with its number after it"


def looked_again(procedure: Procedure, record: Record, raw: Findings) -> list[LookedAgain]:
    """One line for each check that nobody calls unsafe now: the worst that was found, and what was said last.

    Left out is what was put right: a repair was noted after it; of CO in the room only a hot run that held, with its
    number. What still stands unsafe is none either. `raw`: the findings by their figures.
    Range: any record. Example: 90 ppm, then 2 ppm: "Leave now, 90 ppm", and "Acceptable, 2 ppm".
    Source: trade practice (a room that was aired still has whatever made the CO, and a repair is no proof that it was
    that); an expert guess as a rule.
    """
    return [one for one in otherwise_now(procedure, record, raw) if one["is_open"]]


def otherwise_now(procedure: Procedure, record: Record, raw: Findings) -> list[LookedAgain]:
    """Those, and what was put right since, which stays as found. Range, source: as `looked_again`."""
    repaired = max([NEVER] + [fold_place(one["by"]) for one in record["repairs"]])
    found: list[LookedAgain] = []
    for check in procedure["checks"]:
        of_co = check.get("rule") == "co_outcome"
        finding = raw.get(check["id"])
        if finding is None or len(finding["entries"]) < 2 and not of_co:
            continue  # as most are
        if _is_unsafe_now(check, finding) and _is_unsafe_now(check, _as_it_stands(procedure, record, raw, finding)):
            continue
        since = _held_run(record) if of_co else repaired
        line = _line(check, record, finding, since, of_co=of_co)
        if line is not None:
            is_repaired = of_co and fold_place(line["found_by"]) < repaired
            line["since_words"] = NO_RUN_SINCE if is_repaired else NOBODY_NOTED
        elif since != NEVER and _was_safe(check, finding):
            line = _line(check, record, finding, NEVER, of_co=of_co)
            if line is not None:
                line["is_open"], line["since_words"] = False, RAN_SINCE if of_co else REPAIRED
        if line is not None:
            found.append(line)
    return found


def looked_again_words(found: list[LookedAgain]) -> str:
    """Why a visit does not end as if nothing had been seen: "CO in the room was 90 ppm on this visit and …"."""
    return " ".join([one["was_words"] + " on this visit and " + one["since_words"] + "." for one in found])


def _was_safe(check: Check, finding: CheckFinding) -> bool:
    """What the check was found to be before the repair says nothing of it: else that stands as the finding."""
    return finding["outcome"] in [outcome["id"] for outcome in check["outcomes"] if is_safe(check, outcome)]


def _is_unsafe_now(check: Check, finding: CheckFinding) -> bool:
    safe = [outcome["id"] for outcome in check["outcomes"] if is_safe(check, outcome)]
    return len([one for one in last_said(finding) if one not in safe]) > 0


def _as_it_stands(procedure: Procedure, record: Record, raw: Findings, finding: CheckFinding) -> CheckFinding:
    """What one person found and another one, who came after it, has seen otherwise does not stand either."""
    return as_it_stands(finding["check"], raw, standing(procedure, record, raw)) or finding


def _line(check: Check, record: Record, finding: CheckFinding, since: FoldPlace, *, of_co: bool) -> LookedAgain | None:
    safe = [outcome["id"] for outcome in check["outcomes"] if is_safe(check, outcome)]
    given = [one for one in finding["entries"] if one["outcome"] is not None]
    if not given:
        return None
    unsafe = [one for one in given if one["outcome"] not in safe and fold_place(one["by"]) > since]
    figure = _raised(check, record, given, since) if of_co else None
    if not unsafe and figure is None:
        return None
    stops = [outcome["id"] for outcome in check["outcomes"] if outcome.get("stop_words") is not None]
    worst = ([one for one in unsafe if one["outcome"] in stops] or unsafe)[-1:]
    words = {outcome["id"]: outcome["words"] for outcome in check["outcomes"]}
    found = "".join([words[str(one["outcome"])] for one in worst])
    if figure is not None:
        said = figure_said(figure["value"], "ppm")
        by, was = figure["by"], check["title"] + " was " + said
        found = found + ", " + said if found else said
    else:
        by, was = (
            worst[0]["by"],
            check["title"] + " was found" + ("" if found == check["title"] else " “" + found + "”"),
        )
        found += figures_said(check, record, worst[0])
    last = given[-1]
    return {
        "check": check["id"],
        "title": check["title"],
        "found_words": found,
        "found_by": by,
        "was_words": was,
        "now_words": words[str(last["outcome"])] + figures_said(check, record, last),
        "now_own_words": last["words"],
        "now_by": last["by"],
        "is_open": True,
        "since_words": "",
    }


def _raised(check: Check, record: Record, given: list[Answer], since: FoldPlace) -> Any:
    """The highest raised figure that its reader did not call safe before they read the next one."""
    safe = [outcome["id"] for outcome in check["outcomes"] if is_safe(check, outcome)]
    figures = figures_of(check, record)
    worst: Any = None
    for one in figures:
        if one["value"] < least_raised_ppm() or fold_place(one["by"]) <= since:
            continue
        person_id = one["by"]["person_id"]
        later = [fold_place(other["by"]) for other in figures if other["by"]["person_id"] == person_id]
        until = min([place for place in later if place > fold_place(one["by"])] + [LAST])
        said = [other for other in given if other["by"]["person_id"] == person_id]
        said = [other for other in said if fold_place(one["by"]) < fold_place(other["by"]) < until]
        called_safe = said and said[-1]["outcome"] in safe
        if not called_safe and (worst is None or one["value"] > worst["value"]):
            worst = one
    return worst


def _held_run(record: Record) -> FoldPlace:
    """When the last hot run was noted that held, with the room's CO as a number that no rule set calls raised."""
    held = [one for one in record["proofs"] if one["passed"] and one["co_room_ppm"] is not None]
    return max([NEVER] + [fold_place(one["by"]) for one in held if one["co_room_ppm"] < least_raised_ppm()])  # type: ignore[operator]
