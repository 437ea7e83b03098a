"""An earlier visit in a few lines, for the technician before the first check and for the dispatcher's page."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .figures import unsafe_by
from .figures_said import figure_said
from .looked_again import looked_again
from .record import fold_job
from .run_time import too_soon_words
from .standing import findings_of
from .unsafe_taken_back import unsafe_taken_back

if TYPE_CHECKING:
    from typing import Any

    from .history_types import CorrectedLine, DoneLine, FoundLine, HistoryEntry, NeverLine, ProofLine, ReadingLine
    from .procedure_types import Procedure
    from .record_types import CheckFinding, Corrected, ProofNote, Reading, Record

REASON_WORDS = {
    "no_access": "could not reach it",
    "no_tool": "tool not at hand",
    "unsafe": "not safe to check",
    "refused": "the customer did not want it",
    "cannot_tell": "could not tell",
    "not_fitted": "not fitted",
    "not_allowed": "needs somebody trained and allowed",
}


# Figures that try the instrument: missing, they are no gap in what is known of the heater.
OF_THE_TOOL = ("leads_ohm",)


def history_entry(procedure: Procedure | None, events: object) -> HistoryEntry:
    """The summary of one job's events, with the words of the procedure that it was walked with, where at hand.

    "Never measured" lists the readings that its procedure asks for and that nobody took: nothing is assumed normal.
    Range: any events. Example: a job without events has found nothing and measured nothing. Source: ours.
    """
    record = fold_job(events)
    findings = record["checks"]
    if procedure is not None:
        known = findings_of(procedure, record)
        findings = [known[check["id"]] for check in procedure["checks"] if check["id"] in known]
        findings = findings + [one for one in record["checks"] if one["check"] not in _titles(procedure)]
    lines = [_found(procedure, finding) for finding in findings]
    answered = [line for line in lines if line["state"] == "answered"]
    return {
        "job_id": record["job_id"],
        "booked_wall": _wall(record["booked"]),
        "opened_wall": _wall(record["opened"]),
        "closed_wall": _wall(record["closed"]),
        "close_state": record["closed"]["state"] if record["closed"] else None,
        "complaint_words": record["booked"]["complaint_words"] if record["booked"] else None,
        "people": who_went(record),
        "code_words": [_code_words(code) for code in record["codes"]],
        "found": [
            line for line in lines if line["state"] == "contradicted" or line in answered and line["verdict"] != "good"
        ],
        "normal": [line for line in answered if line["verdict"] == "good"],
        "looked_again": [] if procedure is None else looked_again(procedure, record, findings_of(procedure, record)),
        "corrected": [_corrected(procedure, one) for one in record["corrected"]]
        + [_corrected(procedure, one, taken_back=True) for one in unsafe_taken_back(record)],
        "could_not": [line for line in lines if line["state"] == "could_not"],
        "cause": record["cause"],
        "cause_words": _words_of(procedure, "causes", record["cause"]),
        "causes_disagree": record["causes_disagree"],
        "done": [_done(procedure, repair) for repair in record["repairs"]],
        "parts": [_part_words(part) for part in record["parts"]],
        "proof": _proof(procedure, record),
        "left_off": [line["what_words"] + ": " + line["why_words"] for line in record["left_off"]],
        "notes": [note["words"] for note in record["notes"]],
        "never_measured": never_measured(procedure, record),
        "never_checked": _never_checked(procedure, findings),
        "readings": [_reading(procedure, reading) for reading in record["readings"]],
        "photos": [
            {"sha256": photo["sha256"], "check": photo["check"], "words": photo["words"]} for photo in record["photos"]
        ],
        "unreadable": len(record["unreadable"]) + sum([line["count"] for line in record["unknown"]]),
    }


def who_went(record: Record) -> list[str]:
    """Who wrote what only somebody on site can write; booking, moving, a cause or a close may come from the office.

    Who came out went down, whoever heard of it.
    """
    on_site: list[Any] = [record["opened"]] if record["opened"] else []
    on_site = on_site + record["arrivals"] + record["codes"] + record["readings"]
    on_site = on_site + record["photos"] + record["vent_surveys"] + record["proofs"] + record["left_off"]
    for finding in record["checks"]:
        on_site = on_site + finding["entries"]
    went = {line["by"]["person_id"] for line in on_site}
    went = went | {line["person_id"] or line["by"]["person_id"] for line in record["came_out"]}
    return [person for person in record["people"] if person in went]


def _found(procedure: Procedure | None, finding: CheckFinding) -> FoundLine:
    check = _by_id(procedure, "checks", finding["check"])
    outcomes = check["outcomes"] if check else []
    of = {outcome["id"]: outcome for outcome in outcomes}
    verdict = None
    if finding["state"] == "contradicted":
        said = [str(entry["outcome"]) for entry in finding["entries"] if entry["outcome"] and entry["current"]]
        words = "seen differently: " + ", ".join([of[one]["words"] if one in of else _plain(one) for one in said])
    elif finding["state"] == "could_not":
        words = REASON_WORDS[str(finding["could_not"])]
    else:
        one = str(finding["outcome"])
        words = of[one]["words"] if one in of else _plain(one)
        verdict = of[one]["verdict"] if one in of else None
    return {
        "check": finding["check"],
        "part": check["part"] if check else None,
        "title": check["title"] if check else _plain(finding["check"]),
        "words": words,
        "verdict": verdict,
        "state": finding["state"],
    }


def _corrected(procedure: Procedure | None, one: Corrected, *, taken_back: bool = False) -> CorrectedLine:
    """A wrong tap, a wrong number, or what was taken back, as whoever comes next reads it."""
    check = _by_id(procedure, "checks", one["check"])
    of = {outcome["id"]: outcome["words"] for outcome in check["outcomes"]} if check else {}
    title = check["title"] if check else _plain(one["check"] or str(one["quantity"]))
    now: str | None
    if one["value"] is not None:
        was = figure_said(one["value"], "ppm")
        now = None if one["to_value"] is None else figure_said(one["to_value"], "ppm")
    else:
        said, then = str(one["outcome"]), one["to_outcome"]
        was = "“" + (of[said] if said in of else _plain(said)) + "”"
        now = "could not check" if then is None else "“" + (of[then] if then in of else _plain(then)) + "”"
    return {
        "title": title,
        "was": was,
        "wall": one["by"]["at_wall"],
        "now": None if taken_back else now,
        "now_wall": one["to_by"]["at_wall"],
    }


def _proof(procedure: Procedure | None, record: Record) -> ProofLine:
    """What was noted; where the clocks or its own figure speak against it, that it was noted, and what speaks so."""
    if not record["proofs"]:
        return {
            "result": "none",
            "words": "No hot run recorded",
            "minutes": None,
            "suction_before_in_wc": None,
            "suction_hot_in_wc": None,
        }
    proof = record["proofs"][-1]
    minutes = _count(int(proof["minutes"] + 0.5), "minute") + ", " + _count(proof["restarts"], "restart")
    against = _against(procedure, record, proof)
    held = ("Hot run noted as held, " if against else "Hot run held, ") if proof["passed"] else "Hot run did not hold, "
    doubted = "doubtful" if against else "passed"
    return {
        "result": doubted if proof["passed"] else "failed",  # type: ignore[typeddict-item]
        "words": held + minutes + "".join([". " + one for one in against]),
        "minutes": proof["minutes"],
        "suction_before_in_wc": proof["suction_before_in_wc"],
        "suction_hot_in_wc": proof["suction_hot_in_wc"],
    }


def _against(procedure: Procedure | None, record: Record, proof: ProofNote) -> list[str]:
    words = [] if proof["too_soon"] is None else [too_soon_words(proof["too_soon"], proof["minutes"])[:-1]]
    found = None if procedure is None else unsafe_by(procedure, record, proof["quantity"], proof["after_value"])
    if found is not None and proof["after_value"] is not None:
        unit = [field["unit"] for field in found[0]["readings"] if field["quantity"] == proof["quantity"]][0]
        words.append(found[0]["title"] + ": " + found[1]["words"] + ", " + figure_said(proof["after_value"], unit))
    return words


def never_measured(procedure: Procedure | None, record: Record) -> list[NeverLine]:
    """The readings that the procedure asks for and that nobody took. Range: any record. Source: ours."""
    if procedure is None:
        return []
    taken = {reading["quantity"] for reading in record["readings"]}
    taken = taken.union({line["quantity"] for line in record["sheet"]})
    if record["vent_surveys"]:
        taken = taken.union({"nominal_in", "straight_ft", "elbows_90", "elbows_45"})
    lines: list[NeverLine] = []
    listed: set[str] = set(OF_THE_TOOL)
    for check in procedure["checks"]:
        for field in check["readings"]:
            quantity = field["quantity"]
            if not field["optional"] and quantity not in taken and quantity not in listed:
                lines.append({"id": quantity, "words": field["words"]})
                listed.add(quantity)
    return lines


def _never_checked(procedure: Procedure | None, findings: list[CheckFinding]) -> list[NeverLine]:
    if procedure is None:
        return []
    seen = {finding["check"] for finding in findings}
    return [{"id": check["id"], "words": check["title"]} for check in procedure["checks"] if check["id"] not in seen]


def _reading(procedure: Procedure | None, reading: Reading) -> ReadingLine:
    check = _by_id(procedure, "checks", reading["check"])
    fields = [field for field in (check["readings"] if check else []) if field["quantity"] == reading["quantity"]]
    return {
        "quantity": reading["quantity"],
        "words": fields[0]["words"] if fields else _plain(reading["quantity"]),
        "value": reading["value"],
        "unit": fields[0]["unit"] if fields else None,
        "state": reading["state"],
        "place": reading["place"],
        "check": reading["check"],
    }


def _done(procedure: Procedure | None, repair: Any) -> DoneLine:
    words = _words_of(procedure, "repairs", repair["action"]) or _plain(repair["action"])
    return {"action": repair["action"], "words": words if repair["words"] is None else words + ": " + repair["words"]}


def _part_words(part: Any) -> str:
    return str(part["count"]) + " × " + str(part["part_words"]) + ", " + str(part["direction"])


def _code_words(code: Any) -> str:
    if code["shown"] == "flashes" and code["flashes"] is not None:
        words = str(code["flashes"]) + (" flash" if code["flashes"] == 1 else " flashes")
    else:
        words = code["text"] or code["shown"]
    return words if code["meaning_words"] is None else words + ": " + code["meaning_words"]


def _words_of(procedure: Procedure | None, group: str, one: str | None) -> str | None:
    if one is None:
        return None
    known = _by_id(procedure, group, one)
    return known["words"] if known else _plain(one)


def _by_id(procedure: Any, group: str, one: str | None) -> Any:
    found = [line for line in procedure[group] if line["id"] == one] if procedure is not None else []
    return found[0] if found else None


def _titles(procedure: Procedure) -> set[str]:
    return {check["id"] for check in procedure["checks"]}


def _wall(line: Any) -> str | None:
    return line["by"]["at_wall"] if line else None


def _count(number: int, one: str) -> str:
    return str(number) + " " + one + ("" if number == 1 else "s")


def _plain(slug: str) -> str:
    return slug.replace("_", " ")
