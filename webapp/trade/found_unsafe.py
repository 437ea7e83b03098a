"""What a visit that is not closed found unsafe, or stopped for: for whoever else has a visit at the address."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .figures_said import figures_said
from .findings import last_said
from .moments import moment_ms
from .ordering import fold_place, in_order
from .standing import as_it_stands, findings_of, standing
from .unmarked import UNMARKED, is_safe

if TYPE_CHECKING:
    from .advice_types import FoundElsewhere
    from .procedure_types import Procedure
    from .record_types import Answer, CheckFinding, Record


def found_unsafe(procedure: Procedure | None, record: Record) -> list[FoundElsewhere]:
    """One line for each check and each of its answers that is unsafe, or stops, and stands; by its last entry.

    A repair alone takes nothing away: it is said, and somebody looks again. A closed visit has none: it closed as it
    stood, or the heater was left off, and that is said itself. Without the procedure, what is unsafe by its id alone.
    Range: any record. Example: 90 ppm typed and not answered is "CO in the room: Leave, 90 ppm".
    Source: trade practice, as what is marked unsafe; an expert guess.
    """
    if record["closed"] is not None:
        return []
    if procedure is None:
        return _by_id_alone(record)
    raw = findings_of(procedure, record)
    now = standing(procedure, record, raw)
    found: list[FoundElsewhere] = []
    for check in procedure["checks"]:
        finding = as_it_stands(check["id"], raw, now)
        said = [] if finding is None else last_said(finding)
        for outcome in check["outcomes"]:
            if finding is not None and outcome["id"] in said and not is_safe(check, outcome):
                entry = _last_entry(finding, outcome["id"])
                words = check["title"] + ": " + outcome["words"] + figures_said(check, record, entry)
                found.append(_line(record, check["id"], words, entry, outcome.get("stop_words")))
    return found


def _by_id_alone(record: Record) -> list[FoundElsewhere]:
    found: list[FoundElsewhere] = []
    for finding in record["checks"]:
        for outcome in last_said(finding):
            if outcome in UNMARKED.get(finding["check"], []):
                words = (finding["check"] + ": " + outcome).replace("_", " ")
                found.append(_line(record, finding["check"], words, _last_entry(finding, outcome), None))
    return found


def _last_entry(finding: CheckFinding, outcome: str) -> Answer:
    return [entry for entry in finding["entries"] if entry["outcome"] == outcome][-1]


def _line(record: Record, check: str, words: str, entry: Answer, stop_words: str | None) -> FoundElsewhere:
    by = entry["by"]
    return {
        "event_id": by["event_id"],
        "job_id": record["job_id"],
        "check": check,
        "words": words,
        "stop_words": stop_words,
        "person_id": by["person_id"],
        "wall": by["at_wall"],
        "at_ms": moment_ms(by),
        "repaired": len([one for one in record["repairs"] if fold_place(one["by"]) > fold_place(by)]) > 0,
        "appliance_ids": in_order(list({line["appliance_id"] for line in record["appliances"]}), key=lambda one: one),
    }
