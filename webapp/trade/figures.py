"""What the figures noted say: a maker's figure as typed, and an answer that its own figures exclude."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .co_ladders import LADDERS
from .errors import TradeError
from .findings import fold_checks
from .heard import has_heard
from .ordering import LAST, NEVER, fold_place, in_order
from .propose import CERTAIN, propose

if TYPE_CHECKING:
    from typing import Any

    from .advice_types import ByFigure, Evidence
    from .ordering import FoldPlace
    from .procedure_types import Check, Outcome, Procedure
    from .record_types import Answer, CheckFinding, Mark, Record

    Findings = dict[str, CheckFinding]

COULD_NOT = "Could not check"
NOT_ANSWERED = "not_answered"


def typed_figure(record: Record, quantity: str | None) -> float | None:
    """A maker's figure as typed on site, or as the office read it from the photo; null where nobody typed it."""
    if quantity is None:
        return None
    last: tuple[FoldPlace, float | None] = (NEVER, None)
    for line in record["sheet"]:
        if line["quantity"] == quantity and fold_place(line["by"]) > last[0]:
            value = line["value"]
            for read in record["sheet_confirmed"]:
                if read["sheet_event_id"] == line["by"]["event_id"] and read["read_value"] is not None:
                    value = read["read_value"]
            last = (fold_place(line["by"]), value)
    for reading in record["readings"]:
        if reading["quantity"] == quantity and fold_place(reading["by"]) > last[0]:
            last = (fold_place(reading["by"]), reading["value"])
    return last[1]


def by_figures(procedure: Procedure, record: Record) -> Findings:
    """The findings, each answer as its own figures let it count: what they exclude counts as what they say.

    The phone takes no tap on an excluded answer; an older one does. The fact stays as it was noted, and what follows
    from it goes by the figure. Of room CO only what every rule set says counts here: which one the firm chose is not
    in the record. Range: any record. Example: "Acceptable" noted with 69 ppm counts as "Raised".
    Source: `CERTAIN` in propose.py.
    """
    said: list[Evidence] = [
        {"check": finding["check"], "outcome": finding["now_outcome"]}
        for finding in record["checks"]
        if finding["now_outcome"] is not None
    ]
    findings = {finding["check"]: finding for finding in record["checks"]}
    for check in procedure["checks"]:
        if check.get("rule") not in CERTAIN:
            continue
        given = findings[check["id"]]["entries"] if check["id"] in findings else []
        if not given and not record["readings"] and not record["proofs"]:
            continue
        entries = [_as_it_counts(check, record, entry, said) for entry in given] + _not_answered(
            check, record, given, said
        )
        if [entry for entry in entries if "tapped" in entry]:
            by_place = in_order(entries, key=lambda entry: fold_place(entry["by"]))
            findings[check["id"]] = fold_checks([(check["id"], entry) for entry in by_place])[0]
    return findings


def _not_answered(check: Check, record: Record, given: list[Answer], said: list[Evidence]) -> list[Answer]:
    """Unsafe figures that nobody has answered for since they were read; of CO in the room also beside a hot run.

    Each person's last figure, over by any rule set, counts as the strictest has it; until the same person answers, or
    somebody who had heard it and read anew. Nobody is led on, or closes, past a figure because no answer was tapped.
    """
    found: list[Answer] = []
    figures = figures_of(check, record)
    for figure in figures:
        by = figure["by"]
        newer = [one["by"]["person_id"] for one in figures if fold_place(one["by"]) > fold_place(by)]
        since = [one["by"] for one in given if one["outcome"] and _is_since(one, by)]
        if [one for one in since if one["person_id"] in newer and has_heard(record, by["event_id"], one)]:
            continue
        found += left_unanswered(check, record, given, said, by["person_id"]) if by["person_id"] not in newer else []
    return found


def left_unanswered(
    check: Check, record: Record, given: list[Answer], said: list[Evidence], person_id: str
) -> list[Answer]:
    """A person's last figure where it is unsafe and they have not answered since, as an answer; else nothing."""
    figures = [one for one in figures_of(check, record) if one["by"]["person_id"] == person_id]
    answered = [one for one in given if one["outcome"] and one["by"]["person_id"] == person_id]
    if not figures or [one for one in answered if _is_since(one, figures[-1]["by"])]:
        return []
    values, known = _values(check, record, person_id, LAST), _not_good(check)
    over = [] if values is None else _over(check, values, said, None)
    if not over or not _is_unsafe(check, known[max(over)]):
        return []
    return [_for_nobody(check, record, figures[-1]["by"], max(over))]


def _is_unsafe(check: Check, outcome_id: str) -> bool:
    named = [one for one in check["outcomes"] if one["id"] == outcome_id]
    return len([one for one in named if one.get("unsafe", False) or one["stop_words"] is not None]) > 0


def _is_since(entry: Answer, by: Mark) -> bool:
    return fold_place(entry["by"]) > fold_place(by)


def _for_nobody(check: Check, record: Record, by: Mark, outcome: int) -> Answer:
    """An entry that no event is; in the record there is only the figure."""
    known = _not_good(check)
    words = [one["words"] for one in check["outcomes"] if one["id"] == known[outcome]]
    return {
        "outcome": known[outcome],
        "could_not": None,
        "words": _figure_line(NOT_ANSWERED, words[0]),
        "minutes_since_fired": None,
        "after_repair": len([one for one in record["repairs"] if fold_place(one["by"]) < fold_place(by)]) > 0,
        "current": True,
        "tapped": NOT_ANSWERED,
        "by": by,
    }


def figures_of(check: Check, record: Record) -> list[Any]:
    """What was read for this check, in the fold's order; the room's CO, and what convicted, in a hot run too."""
    found: list[Any] = [one for one in record["readings"] if one["check"] == check["id"]]
    read = _read_on_site(check) if record["proofs"] else []
    for run in record["proofs"]:
        for quantity, value in (("co_room_ppm", run["co_room_ppm"]), (run["quantity"], run["after_value"])):
            if value is not None and quantity in read:
                found = found + [{"quantity": quantity, "value": value, "by": run["by"]}]
    return in_order(found, key=lambda one: fold_place(one["by"]))


def _read_on_site(check: Check) -> list[str]:
    return [field["quantity"] for field in check["readings"] if not field["from_sheet"]]


def unsafe_in_run(procedure: Procedure, record: Record, quantity: str | None, value: float | None) -> str | None:
    """Why no run with that figure held: the check that reads it calls it unsafe, whoever said what; null otherwise."""
    found = unsafe_by(procedure, record, quantity, value)
    if found is None:
        return None
    return found[0]["title"] + ": " + found[1]["words"] + ". Leave it off and tag it."


def unsafe_by(
    procedure: Procedure, record: Record, quantity: str | None, value: float | None
) -> tuple[Check, Outcome] | None:
    """The check that reads this figure, and which unsafe answer it says; null where it says none.

    Range: any record. Example: 300 s until the pilot's gas shuts off is "Too slow". Source: `CERTAIN` in propose.py.
    """
    for check in [] if value is None else procedure["checks"]:
        if check.get("rule") not in CERTAIN or quantity not in _read_on_site(check):
            continue
        values = {field["quantity"]: typed_figure(record, field["quantity"]) for field in check["readings"]}
        values[quantity] = value
        over, known = _over(check, values, [], None), _not_good(check)
        if over and _is_unsafe(check, known[max(over)]):
            return check, [one for one in check["outcomes"] if one["id"] == known[max(over)]][0]
    return None


def figure_words(procedure: Procedure, findings: Findings) -> list[ByFigure]:
    """What is said of each answer that stands and counts as another: never silently."""
    told: list[ByFigure] = []
    for check in procedure["checks"]:
        entries = findings[check["id"]]["entries"] if check["id"] in findings else []
        for entry in [one for one in entries if "tapped" in one]:
            if entry["current"] and entry["outcome"] is not None:
                words = {outcome["id"]: outcome["words"] for outcome in check["outcomes"]}
                tapped = NOT_ANSWERED if entry["tapped"] == NOT_ANSWERED else words.get(entry["tapped"], COULD_NOT)
                line = _figure_line(tapped, words[entry["outcome"]])
                told.append({"check": check["id"], "words": line})
    return told


def _figure_line(tapped: str, counts: str) -> str:
    if tapped == NOT_ANSWERED:
        return "Not answered. By the figure noted, it counts as “" + counts + "”."
    return "Answered “" + tapped + "”. By the figures noted with it, it counts as “" + counts + "”."


def _as_it_counts(check: Check, record: Record, entry: Answer, said: list[Evidence]) -> Answer:
    """A copy: the record stays."""
    counts: Any = dict(entry)
    by_figure = _by_its_figures(check, record, entry, said)
    if by_figure is None:
        return counts  # type: ignore[no-any-return]
    words = {outcome["id"]: outcome["words"] for outcome in check["outcomes"]}
    counts["tapped"] = entry["outcome"] or "could_not"
    counts["outcome"], counts["could_not"] = by_figure, None
    line = _figure_line(words.get(counts["tapped"], COULD_NOT), words[by_figure])
    counts["words"] = line if entry["words"] is None else entry["words"] + ". " + line
    return counts  # type: ignore[no-any-return]


def _by_its_figures(check: Check, record: Record, entry: Answer, said: list[Evidence]) -> str | None:
    """What its figures make of it, never anything good; null where the answer stands as it was given.

    An answer is set aside only where every rule set shuts it out, and for the mildest of what they say. Beside "could
    not check" one that is over by any of them stands, as the strictest has it: it was read, and nobody answered.
    """
    values = _values(check, record, entry["by"]["person_id"], fold_place(entry["by"]))
    if values is None:
        return None
    over, known = _over(check, values, said, entry["outcome"]), _not_good(check)
    if not over or entry["outcome"] is not None and len(over) < len(_rule_sets(check)):
        return None
    return known[max(over) if entry["outcome"] is None else min(over)]  # milder ones come first


def _over(check: Check, values: dict[str, float | None], said: list[Evidence], tapped: str | None) -> list[int]:
    """What each rule set that shuts the answer out says instead, by its place among those that are not good."""
    known = _not_good(check)
    try:
        proposed = [propose(check, values, said, ladder) for ladder in _rule_sets(check)]
    except TradeError:
        return []  # out of the rule's range, as another program may send it: nobody could go on, or close the job
    return [
        known.index(one["outcome"])
        for one in proposed
        if one["outcome"] in known and one["excluded"] and tapped in [None] + one["excluded"]
    ]


def _rule_sets(check: Check) -> list[str | None]:
    return [one["id"] for one in LADDERS] if check["rule"] == "co_outcome" else [None]


def _not_good(check: Check) -> list[str]:
    return [outcome["id"] for outcome in check["outcomes"] if outcome["verdict"] != "good"]


def _values(check: Check, record: Record, person_id: str, place: FoldPlace) -> dict[str, float | None] | None:
    """The figures that stood at that place, as when it was answered; null where this person noted none of the check's.

    What another check measured counts too (the leads' own ohms). No continuity is kept as no number, so without one
    nothing is said of a contact.
    """
    before = [one for one in record["readings"] if fold_place(one["by"]) < place]
    values: dict[str, float | None] = {one["quantity"]: one["value"] for one in before}
    for field in check["readings"]:
        quantity = field["quantity"]
        if field["from_sheet"]:
            values[quantity] = typed_figure(record, quantity)
            continue
        own = [
            one["value"]
            for one in figures_of(check, record)
            if fold_place(one["by"]) < place and one["quantity"] == quantity and one["by"]["person_id"] == person_id
        ]
        if own:
            values[quantity] = own[-1]
        elif quantity.endswith("_ohm") or not field["optional"]:
            return None
    return values
