"""From a job's record: what was looked at. What was not right stands in full, what was fine in a few lines."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from webapp.jobsheet.looked_and_run import found_only, run_against
from webapp.jobsheet.plain_checks import answer_words, check_title
from webapp.jobsheet.plain_words import FIRST_LOOKS, UNTOLD, sentence
from webapp.jobsheet.sheet import Bullets, Facts, Section, Text, run_on
from webapp.jobsheet.telling_again import not_shown_right
from webapp.sites.beside_work import BEFORE, beside_work
from webapp.sites.call_seen import otherwise_words, seen_otherwise
from webapp.sites.left_off_told import shown_back
from webapp.sites.looked_again import corrected_lines, looked_again_words, seen_again
from webapp.sites.procedure_words import as_title, could_not, inside
from webapp.trade.gate import gate_advice
from webapp.trade.standing import findings_of

if TYPE_CHECKING:
    from webapp.jobsheet.sheet import Block
    from webapp.sites.procedure_words import ProcedureWords
    from webapp.sites.told_job import ToldJob
    from webapp.trade.record_types import Answer, CheckFinding

NOT_RIGHT = ("bad", "doubtful")
NOT_IN_ORDER, DIFFERENTLY = "Not in order, or worth noting", "Seen differently by two people"
ROOM_CO = "co_room"
IN_ORDER, COULD_NOT = "In order", "Could not be checked"
ANSWERED = "Answered, and not judged here"
"""The procedure it was walked with is not in this store, or judges no such answer: nobody may read that as right."""
BEFORE_IT_STOPPED = "Answered before the visit stopped"
NO_BLESSING = "These answers do not say that a heater is safe to use."


@dataclass(frozen=True)
class Looked:
    """One check, in which group it stands, and its line."""

    check: str
    group: str
    words: str


def at_the_start(told: ToldJob) -> list[str]:
    """What the first looks for safety found wrong, before anything else was done."""
    first = (told.words.body or {}).get("gate", [])
    return [one.words for one in _looked_at(told) if one.group == NOT_IN_ORDER and one.check in first]


def seen_otherwise_later(told: ToldJob) -> list[str]:
    """What was unsafe, and otherwise when it was looked at again; and what was called a wrong tap."""
    words = told.words
    again = [
        f"{looked_again_words(one, check_title(one['check'], words))}."
        for one in seen_again(words.procedure, told.record)
    ]
    corrected = corrected_lines(told.record, words, lambda check: check_title(check, words))
    return again + [f"{line}." for line in corrected]


def caller_and_site(told: ToldJob) -> list[str]:
    """Where the caller said otherwise than whoever was there, by the office's rule."""
    findings = {one["check"]: one for one in _findings(told)}
    return [
        f"Caller and site differ. {otherwise_words(one, answer_words(one.check, one.outcome, told.words))} Both stand."
        for one in seen_otherwise(told.record["calls"], findings, told.words)
    ]


def looked_at_section(told: ToldJob) -> Section | None:
    """Every check that a householder can use; what stands at the head of the findings is not said again."""
    said = at_the_start(told)
    looked = [one for one in _looked_at(told) if one.words not in said]
    blocks: list[Block] = []
    for group in (NOT_IN_ORDER, DIFFERENTLY, ANSWERED):
        if lines := [one.words for one in looked if one.group == group]:
            blocks += [Text(f"{group}:", "strong"), Bullets(lines)]
    if reasons := _by_reason(told):
        blocks.append(Facts([(COULD_NOT, " ".join(map(sentence, reasons)))]))
    blocks += _fine(told, [one for one in looked if one.group == IN_ORDER])
    return Section("What was looked at", blocks) if blocks else None


def _fine(told: ToldJob, looked: list[Looked]) -> list[Block]:
    """Few lines, and no blessing of a heater that was left off. Where the caller said otherwise, it stands above."""
    findings = {one["check"]: one for one in _findings(told)}
    disputed = {one.check for one in seen_otherwise(told.record["calls"], findings, told.words)}
    lines = [one.words for one in looked if one.check not in disputed]
    if not lines:
        return []
    stopped = _stopped(told)
    blocks = run_on(BEFORE_IT_STOPPED if stopped else IN_ORDER, [sentence(line) for line in lines])
    return [*blocks, Text(NO_BLESSING)] if stopped or told.counts_first or not_shown_right(told) else blocks


def _stopped(told: ToldJob) -> bool:
    """Whether the visit ended with the heater left off, or at the first looks for safety."""
    record, procedure = told.record, told.words.procedure
    left_off = record["left_off"] or (record["closed"] and record["closed"]["state"] == "left_off")
    if left_off and (told.standing_off or not shown_back(record)):
        return True
    gate = procedure.get("gate") if procedure else None
    return bool(procedure and gate) and gate_advice(procedure, findings_of(procedure, record))["state"] == "stopped"  # type: ignore[arg-type]


def _findings(told: ToldJob) -> list[CheckFinding]:
    procedure = told.words.procedure
    found = list(findings_of(procedure, told.record).values()) if procedure else told.record["checks"]
    return [one for one in found if not (told.record["codes"] and told.words.reads_code(one["check"]))]


def _looked_at(told: ToldJob) -> list[Looked]:
    again = {one["check"] for one in seen_again(told.words.procedure, told.record)}  # told at the head of the findings
    found = [one for one in _findings(told) if one["state"] != "could_not" and one["check"] not in again]
    return [_looked(one, told) for one in found if not _untold(one)]


def _looked(finding: CheckFinding, told: ToldJob) -> Looked:
    """What the last test run spoke against is not in order, whatever was answered before it."""
    group, words = _group(finding, told.words), _line(finding, told)
    if group == DIFFERENTLY:
        return Looked(finding["check"], group, words)
    against = "" if group == NOT_IN_ORDER else run_against(finding, told)
    return Looked(finding["check"], NOT_IN_ORDER if against else group, words + (against or found_only(finding, told)))


def _untold(finding: CheckFinding) -> bool:
    """All its answers, also those after a repair, tell nothing of the heater."""
    said = {entry["outcome"] for entry in finding["entries"] if entry["current"]}
    return bool(said) and said <= set(UNTOLD.get(finding["check"], ()))


def _group(finding: CheckFinding, words: ProcedureWords) -> str:
    if "contradicted" in (finding["state"], finding["now_state"]):
        return DIFFERENTLY
    said = [words.outcome(finding["check"], one) for one in (finding["outcome"], finding["now_outcome"]) if one]
    if any(one.verdict in NOT_RIGHT for one in said):
        return NOT_IN_ORDER
    return IN_ORDER if all(one.verdict == "good" for one in said) else ANSWERED


def _line(finding: CheckFinding, told: ToldJob) -> str:
    words, check, outcome, now = told.words, finding["check"], finding["outcome"], finding["now_outcome"]
    title = check_title(check, words)
    if "contradicted" in (finding["state"], finding["now_state"]):
        said = [_said(one, check, words) for one in finding["entries"] if one["current"]]
        return f"{title}: {' / '.join(dict.fromkeys(said))}"
    found = answer_words(check, outcome, words)
    line = sentence(found) if (check, outcome) in FIRST_LOOKS else f"{title}: {found}"
    if check == ROOM_CO and {beside_work(one["by"], told.record) for one in finding["entries"]} == {BEFORE}:
        return f"Before the work, {inside(line)}"  # nobody is to read that as said of what the work left behind
    if now in (None, outcome):
        return line
    return f"{sentence(line)} After the repair: {inside(answer_words(check, now, words))}"


def _said(answer: Answer, check: str, words: ProcedureWords) -> str:
    reason = answer["could_not"]
    return inside(could_not(reason).words if reason else answer_words(check, answer["outcome"], words))


def _by_reason(told: ToldJob) -> list[str]:
    """`Could not reach it: Limit, dead; Wiring`."""
    reasons: dict[str, list[str]] = {}
    for one in _findings(told):
        if one["state"] == "could_not":
            reasons.setdefault(could_not(one["could_not"]).words, []).append(check_title(one["check"], told.words))
    return [f"{as_title(reason)}: {'; '.join(checks)}" for reason, checks in reasons.items()]
