"""Answers into findings: what a check was found to be, what it is now, and where two people saw it differently."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .ordering import in_order

if TYPE_CHECKING:
    from typing import Any

    from .record_types import Answer, CheckFinding


def fold_checks(answers: list[tuple[str, Answer]]) -> list[CheckFinding]:
    """One finding for each check, in the order of its first answer. `answers` come in fold order.

    A person's last word counts for that person. Two people's words that differ stand side by side: "contradicted".
    What was found before the first repair is the finding; what was answered after it tells how things stand now.
    """
    order: dict[str, int] = {}
    groups: dict[str, list[Answer]] = {}
    for check, answer in answers:
        if check not in groups:
            order[check] = len(order)
            groups[check] = []
        groups[check].append(answer)
    return [_finding(check, groups[check]) for check in in_order(list(groups), key=lambda check: order[check])]


def _finding(check: str, entries: list[Answer]) -> CheckFinding:
    before = [entry for entry in entries if not entry["after_repair"]]
    after = [entry for entry in entries if entry["after_repair"]]
    state, outcome, could_not = now_state, now_outcome, _ = _weigh(before or after)
    if before and after:
        now_state, now_outcome, _ = _weigh(after)
    finding: Any = {
        "check": check,
        "state": state,
        "outcome": outcome,
        "could_not": could_not,
        "now_state": now_state,
        "now_outcome": now_outcome,
        "entries": entries,
    }
    return finding  # type: ignore[no-any-return]


def find_again(finding: CheckFinding, entries: list[Answer]) -> CheckFinding:
    """How a check stands by some of its answers alone; by none of them it could not be told."""
    again: Any = dict(finding)
    again["entries"] = entries = [dict(entry) for entry in entries]  # type: ignore[misc]  # copies: the record stays
    again["now_state"], again["now_outcome"] = "could_not", None
    if entries:
        again["now_state"], again["now_outcome"], _ = _weigh(entries)
    return again  # type: ignore[no-any-return]


def last_said(finding: CheckFinding) -> list[str]:
    """How a check stands, by each person's last outcome after the repair, or before it where nobody looked again.

    "Could not check" takes nothing back: what was seen stands until somebody sees it otherwise.
    """
    if len(finding["entries"]) == 1 and finding["entries"][0]["outcome"] is not None:  # as most are
        return [finding["entries"][0]["outcome"]]
    for entries in (
        [entry for entry in finding["entries"] if entry["after_repair"] and entry["outcome"] is not None],
        [entry for entry in finding["entries"] if entry["outcome"] is not None],
    ):
        by_person: dict[str, str] = {}
        for entry in entries:
            by_person[entry["by"]["person_id"]] = entry["outcome"]  # type: ignore[assignment]
        if by_person:
            return list(by_person.values())
    return [] if finding["now_outcome"] is None else [finding["now_outcome"]]


def _weigh(entries: list[Answer]) -> tuple[str, str | None, str | None]:
    """State, outcome and reason out of the last words of each person; marks those as current."""
    if len(entries) == 1:
        only = entries[0]
        only["current"] = True
        return "could_not" if only["outcome"] is None else "answered", only["outcome"], only["could_not"]
    last: dict[str, Answer] = {}
    for entry in entries:
        last[entry["by"]["person_id"]] = entry
    for entry in entries:
        entry["current"] = last[entry["by"]["person_id"]] is entry
    outcomes = {entry["outcome"] for entry in last.values() if entry["outcome"] is not None}
    if len(outcomes) > 1:
        return "contradicted", None, None
    if outcomes:
        return "answered", list(outcomes)[0], None
    reasons = [entry["could_not"] for entry in entries if entry["current"]]
    return "could_not", None, reasons[-1]
