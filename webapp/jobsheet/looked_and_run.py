"""What was looked at before the work, beside what the test run after it showed: neither is read for the other."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.jobsheet.plain_numbers import number_name
from webapp.sites.beside_work import BEFORE, beside_work
from webapp.sites.phrases import measured
from webapp.trade.ordering import fold_place

if TYPE_CHECKING:
    from webapp.sites.procedure_words import ProcedureWords
    from webapp.sites.told_job import ToldJob
    from webapp.trade.record_types import CheckFinding, ProofNote

ROOM_CO = "co_room"
"""It has words of its own, for it is read again beside every run."""
FOUND_BEFORE = " (found before the repair)"
HOW_IT_CAME = ("as_found", "always_so", "control_code", "moved_lately", "none_or_short", "only_with", "worked_on")
"""Checks that tell how it came to this: no repair changes that."""


def run_against(finding: CheckFinding, told: ToldJob) -> str:
    """Where the last run did not hold, by the very number that this check reads, and was made after it."""
    run = _last_run(finding, told)
    if run is None or run["passed"] or not _reads(finding, run, told.words):
        return ""
    return f", looked at before the test run; in that run {_figure(run, told.words)}, and it did not hold"


def found_only(finding: CheckFinding, told: ToldJob) -> str:
    """Of what was not right before a repair and was not looked at again: that, and what the run read of it since."""
    verdict = told.words.outcome(finding["check"], finding["outcome"]).verdict
    if verdict not in ("bad", "doubtful") or finding["check"] in (ROOM_CO, *HOW_IT_CAME):
        return ""
    if {beside_work(one["by"], told.record) for one in finding["entries"]} != {BEFORE}:
        return ""
    run = _last_run(finding, told)
    if run is None or not _reads(finding, run, told.words):
        return FOUND_BEFORE
    return f" (found before the repair; in the test run after it {_figure(run, told.words)})"


def _last_run(finding: CheckFinding, told: ToldJob) -> ProofNote | None:
    """The last one, where it came after the last answer."""
    last = told.record["proofs"][-1] if told.record["proofs"] else None
    seen = max((fold_place(one["by"]) for one in finding["entries"]), default=None)
    return last if last and seen and fold_place(last["by"]) > seen else None


def _reads(finding: CheckFinding, run: ProofNote, words: ProcedureWords) -> bool:
    fields = words.checks.get(finding["check"], {}).get("readings", [])
    return run["after_value"] is not None and any(one["quantity"] == _quantity(run) for one in fields)


def _quantity(run: ProofNote) -> str:
    return run["quantity"] or "suction_in_wc"


def _figure(run: ProofNote, words: ProcedureWords) -> str:
    return measured(_quantity(run), run["after_value"], number_name(None, _quantity(run), words)[1])
