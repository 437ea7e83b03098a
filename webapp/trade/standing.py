"""How findings stand: read from the record, less what something later has undone."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .figures import by_figures
from .findings import find_again
from .gate import stops, unmet
from .heard import still_said
from .ordering import NEVER, fold_place, in_order

if TYPE_CHECKING:
    from typing import Any

    from .gate import Findings
    from .ordering import FoldPlace
    from .procedure_types import Check, MetBy, Procedure
    from .record_types import CheckFinding, Record

_SMELLS = ("smell_of_gas", "low_smell")


def findings_of(procedure: Procedure, record: Record) -> Findings:
    """What stands for each check, by its figures; one that an event answers by itself is read from the lines."""
    findings = by_figures(procedure, record)
    for check in procedure["checks"]:
        known = findings.get(check["id"])
        if known is not None and len(known["entries"]) > 1:
            findings[check["id"]] = still_said(check, record, known, known)
        if check["from_event"] != "code_read" or not record["codes"]:
            continue
        if known is None or known["state"] == "could_not":  # read after all
            findings[check["id"]] = _as_answered(check["id"], record["codes"][-1]["shown"])
    return findings


def as_it_stands(check_id: str, raw: Findings, now: Findings) -> CheckFinding | None:
    """As it stands; what a later arrival asks anew counts as it was found until it is answered anew."""
    finding = now.get(check_id)
    if finding is None or finding["now_state"] == "could_not":
        return raw.get(check_id)
    return finding


def _as_answered(check_id: str, outcome: str) -> CheckFinding:
    """A finding that no answer of its own stands behind."""
    return {
        "check": check_id,
        "state": "answered",
        "outcome": outcome,
        "could_not": None,
        "now_state": "answered",
        "now_outcome": outcome,
        "entries": [],
    }


def standing(procedure: Procedure, record: Record, findings: Findings) -> Findings:
    """The findings less what something later has undone.

    Plug out by a check under power, gas off by one that fires, joints seen sound by one that parts the vent, gas gone
    by one after which no pilot is known to burn; and the gate, plug and gas by whoever arrives after them: on another
    day, or to help, safety is looked at anew.

    What made the heater safe to touch is not taken for granted after it was switched on again: it is asked anew. What
    stopped the visit (a panel still live, gas that cannot be shut) is lifted by a new look: neither by going on nor by
    arriving, and not by saying that it could not be looked at. Another person's word is lifted by one who had heard it.
    """
    last = _last_done(procedure, findings, _arrived(record))
    stand = dict(findings)
    stand.update(_since(last["arrival"], procedure, findings))
    for check in procedure["checks"]:
        finding = findings.get(check["id"])
        if finding is None or not _is_undone(check, finding, last):
            continue
        if stops(check, finding):
            stand[check["id"]] = _not_looked_at_since(finding)
            continue
        never_done = last_place(finding) == NEVER  # then only whoever comes anew is asked anew
        since = last["arrival"] if never_done else last[check["undone_by"] or ""]
        later = [entry for entry in finding["entries"] if fold_place(entry["by"]) > since]
        if later:  # could not be done, or not again: that is not asked over and over
            stand[check["id"]] = find_again(finding, later)
        else:
            stand.pop(check["id"])
    for check in procedure["checks"]:
        finding, stands = findings.get(check["id"]), stand.get(check["id"])
        if finding is None or stands is None or stands is finding or stands["now_state"] == "could_not":
            continue  # as most are; or asked anew, and nobody has answered
        stand[check["id"]] = still_said(check, record, finding, stands)
    for check in procedure["checks"]:
        met = check.get("met_by")
        if met is not None and check["id"] not in stand and _meets(met, stand.get(met["check"]), last):
            stand[check["id"]] = _as_answered(check["id"], met["gives"])
    return stand


def parted_since(procedure: Procedure, record: Record) -> list[str]:
    """What must stand before the burner runs and was not looked at again since the vent was parted, in words.

    Whatever was seen before: a joint that was opened is not the joint that was seen.
    """
    findings = findings_of(procedure, record)
    last = _last_done(procedure, findings, _arrived(record))
    parting = [check["id"] for check in procedure["checks"] if check["undone_by"] == "parting"]
    known = {check["id"]: check for check in procedure["checks"]}
    return [
        need["words"]
        for need in procedure["may_fire"]
        if need["check"] in parting and _is_undone(known[need["check"]], findings.get(need["check"]), last)
    ]


def _arrived(record: Record) -> FoldPlace:
    return max([NEVER] + [fold_place(line["by"]) for line in record["arrivals"]])


def _last_done(procedure: Procedure, findings: Findings, arrived: FoldPlace) -> dict[str, FoldPlace]:
    """When each kind of work that undoes something was last done; an arrival undoes as power and flame do."""
    last = {"arrival": arrived, "power": arrived, "firing": arrived, "parting": NEVER}
    last["smell"] = _smelled(findings, arrived)
    last["flame"] = max(_flame_out(procedure, findings, arrived), last["smell"])
    for check in procedure["checks"]:
        if check["id"] not in findings or not (check["powered"] or check["fires"] or check["parts_vent"]):
            continue
        when = last_place(findings[check["id"]])
        if check["powered"]:
            last["power"] = max(last["power"], when)
        if check["fires"]:
            last["firing"] = max(last["firing"], when)
        if check["parts_vent"]:
            last["parting"] = max(last["parting"], when)
    return last


def _flame_out(procedure: Procedure, findings: Findings, arrived: FoldPlace) -> FoldPlace:
    """When the pilot was last put out, or may have gone out: then gas may have escaped.

    After a check that fires it is known to burn on only where all of its `flame_stays` was answered so, and since the
    last time that it went out. What nobody said so of has left it out.
    """
    out = arrived
    done = [
        check
        for check in procedure["checks"]
        if check["id"] in findings and (check["fires"] or check.get("puts_out", False))
    ]
    for check in in_order(done, key=lambda check: (last_place(findings.get(check["id"])), check["id"])):
        stays = check.get("flame_stays") or []
        since = [need for need in stays if last_place(findings.get(need["check"])) > out]
        if not stays or len(since) < len(stays) or unmet(stays, findings):
            out = max(out, last_place(findings.get(check["id"])))
    return out


def _smelled(findings: Findings, arrived: FoldPlace) -> FoldPlace:
    """When gas was last smelled, and not waited for since: without a smell at the next look it is so all the same.

    Whoever comes after another's smell is there a minute later or on another day: nothing but the wait tells.
    """
    since = min(arrived, last_place(findings.get("gas_cleared")))
    last = NEVER
    for check_id in _SMELLS:
        for entry in findings[check_id]["entries"] if check_id in findings else []:
            if entry["outcome"] == "smell" and fold_place(entry["by"]) > since:
                last = max(last, fold_place(entry["by"]))
    return last


def _meets(met: MetBy, finding: CheckFinding | None, last: dict[str, FoldPlace]) -> bool:
    """A pilot seen burning stands for the wait, until something may have put it out; never where gas was smelled."""
    if last["smell"] != NEVER:
        return False
    if finding is None or finding["now_state"] != "answered" or finding["now_outcome"] != met["outcome"]:
        return False
    return last_place(finding) > last["flame"]


def _is_undone(check: Check, finding: CheckFinding | None, last: dict[str, FoldPlace]) -> bool:
    if check["undone_by"] is None:
        return False
    by = "arrival" if stops(check, finding) else check["undone_by"]
    return last[by] > last_place(finding)


def _not_looked_at_since(finding: CheckFinding) -> CheckFinding:
    """What stopped an earlier visit: no answer of today's, and all that was said still stands against it."""
    again: Any = dict(finding)
    again["now_state"], again["now_outcome"] = "could_not", None
    return again  # type: ignore[no-any-return]


def _since(arrived: FoldPlace, procedure: Procedure, findings: Findings) -> Findings:
    """What an arrival asks anew, by what was answered since the last one; without such an answer it is open."""
    found: Findings = {}
    if arrived == NEVER:
        return found  # nobody was here before
    for check in procedure["checks"]:
        finding = findings.get(check["id"])
        asked_anew = check["id"] in procedure["gate"] or check["undone_by"] in ("power", "firing", "flame")
        if finding is None or not asked_anew:
            continue
        entries = [entry for entry in finding["entries"] if fold_place(entry["by"]) > arrived]
        if len(entries) < len(finding["entries"]):
            found[check["id"]] = find_again(finding, entries)
    return found


def last_place(finding: CheckFinding | None) -> FoldPlace:
    """When it was last answered; one that could not be done was not done."""
    if finding is None:
        return NEVER
    if len(finding["entries"]) == 1 and finding["entries"][0]["outcome"] is not None:  # as most are
        return fold_place(finding["entries"][0]["by"])
    return max([NEVER] + [fold_place(entry["by"]) for entry in finding["entries"] if entry["outcome"] is not None])
