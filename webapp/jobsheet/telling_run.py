"""From a job's record: the heater run hot after the work, and what was looked at last."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.jobsheet.moments import hour_of
from webapp.jobsheet.plain_checks import answer_words, check_title
from webapp.jobsheet.plain_numbers import number_name
from webapp.jobsheet.plain_words import LOOKS, sentence
from webapp.jobsheet.replaced import is_replaced
from webapp.jobsheet.sheet import Bullets, Facts, Section, Text, run_on
from webapp.sites.beside_work import room_co_since_work
from webapp.sites.brought_in import is_brought_in
from webapp.sites.phrases import measured
from webapp.sites.procedure_words import inside, number_words
from webapp.trade.figures import unsafe_by
from webapp.trade.proof import looks_due, proof_for

if TYPE_CHECKING:
    from webapp.jobsheet.sheet import Block
    from webapp.sites.procedure_words import ProcedureWords
    from webapp.sites.told_job import ToldJob
    from webapp.trade.record_types import ProofNote, Record, TooSoon

READ_AGAIN = "co_again"
TITLE = "The test run after the work"
SOON = {
    "repair": "the repair",
    "run": "the run before it",
    "arrival": "the visit began",
    "left_off": "the heater was left off",
    "unsafe": "something unsafe was found",
}


def last_run_section(told: ToldJob) -> Section | None:
    """Did it hold, the same number before and after, what was looked at last."""
    record, words = told.record, told.words
    if not record["proofs"]:
        missing = (record["repairs"] or is_replaced(record)) and not is_brought_in(record)
        return Section(TITLE, [Text("No test run is recorded after this work.")]) if missing else None
    blocks: list[Block] = []
    for number, proof in enumerate(record["proofs"], 1):
        if len(record["proofs"]) > 1:
            blocks.append(Text(f"Run {number}:"))
        blocks += _run(proof, record, words)
    worked = record["repairs"] or is_replaced(record)
    return Section(TITLE if worked else "The test run", blocks + _looks(record, words))


def _run(proof: ProofNote, record: Record, words: ProcedureWords) -> list[Block]:
    again = {0: "not started again", 1: "started again 1 time"}
    starts = again.get(proof["restarts"], f"started again {proof['restarts']} times")
    ran = f"The heater was run for {number_words(proof['minutes'])} minutes and {starts}. "
    held = "It kept running as it should." if proof["passed"] else "It did not keep running as it should."
    against = _against(proof, record, words) if proof["passed"] else ""
    held = f"It was noted as running as it should. Its own figure says otherwise: {against}." if against else held
    flue = proof["co_air_free_ppm"]
    facts = [
        _before_and_after(proof, words, two_heaters=is_replaced(record)),
        ("CO in the room", _room_co(proof, record)),
        ("CO in burnt gas, air-free", measured("co_ppm", flue) if flue is not None else ""),
        ("Every fan and the dryer on", {True: "yes", False: "no", None: ""}[proof["fans_on"]]),
    ]
    soon = [Text(_too_soon(proof["too_soon"], proof["minutes"]))] if proof["too_soon"] else []
    return [Text(ran + held, "strong"), *soon, Facts([(name, value) for name, value in facts if value])]


def _against(proof: ProofNote, record: Record, words: ProcedureWords) -> str:
    """The answer that the run's own figure is, where that is an unsafe one."""
    if words.procedure is None:
        return ""
    found = unsafe_by(words.procedure, record, proof["quantity"], proof["after_value"])
    if found is None:
        return ""
    check, outcome = found
    return f"{inside(check_title(check['id'], words))}, {answer_words(check['id'], outcome['id'], words)}"


def _too_soon(soon: TooSoon, minutes: float) -> str:
    """Fair to both: the clock of a phone may be wrong, and so may what was typed."""
    passed = {0: "less than a minute", 1: "a minute"}.get(int(soon["minutes"]), f"{int(soon['minutes'])} minutes")
    return (
        f"By the clock this run was noted {passed} after {SOON[soon['since']]}: {number_words(minutes)} minutes do not "
        "lie between. The clock or the figure may be wrong; ask us."
    )


def _room_co(proof: ProofNote, record: Record) -> str:
    """Of the run; of the last one also what was read beside it. A figure of before the work says nothing of it."""
    if proof["co_room_ppm"] is not None:
        return measured("co_ppm", proof["co_room_ppm"])
    since = room_co_since_work(record) if proof is record["proofs"][-1] and record["repairs"] else None
    if since is None:
        return f"no figure is recorded{' after the work' if record['repairs'] else ''}"
    return f"{measured('co_ppm', since[0])}, {hour_of(since[1])}"


def _before_and_after(proof: ProofNote, words: ProcedureWords, *, two_heaters: bool) -> tuple[str, str]:
    """`Suction`, `0.31 in. w.c. before the work, 0.58 in. w.c. after it`: the number that told the fault.

    Of a heater that was taken out and of the one put in they are no pair.
    """
    quantity = proof["quantity"] or "suction_in_wc"
    name, unit = number_name(None, quantity, words)
    when = ("before the work", "after it")
    if two_heaters:
        when = ("with the heater that was taken out", "with the one put in: two heaters, so the two do not compare")
    values = ((proof["before_value"], when[0]), (proof["after_value"], when[1]))
    if all(value is None for value, _ in values):
        return name, ""
    return name, ", ".join(
        f"{measured(quantity, value, unit) if value is not None else 'not recorded'} {said}" for value, said in values
    )


def _looks(record: Record, words: ProcedureWords) -> list[Block]:
    """What this repair asked for, run on where it was done and in full where it is missing; then what else was."""
    done, due = record["proofs"][-1]["looks_done"], _due(record, words)
    if not done:
        return [Text("No closing looks are recorded.")]
    told = [look for look in done if look in due or not due]
    lines = [_look(look, words, record) for look in told]
    blocks = run_on("Looked at last", lines) if lines else []
    if more := [_look(look, words, record) for look in done if look not in told]:
        blocks += run_on("Also looked at" if lines else "Looked at last", more)
    if missing := [_look(look, words) for look in due if look not in done]:
        blocks += [Text("Not recorded as looked at, or not there to look at:", "strong"), Bullets(missing)]
    return blocks


def _due(record: Record, words: ProcedureWords) -> list[str]:
    """As the phone asks for them; a procedure of an earlier day asks for all that are not for some repairs alone."""
    procedure = words.procedure
    if procedure is None:
        return []
    if procedure.get("proofs"):
        return looks_due(procedure, record, proof_for(procedure, record["cause"]))
    return [look["id"] for look in procedure["closing_looks"] if look.get("always", True)]


def _look(look: str, words: ProcedureWords, done: Record | None = None) -> str:
    """Of the room's CO read again it is said where no figure stands: a tick is no reading."""
    plain = LOOKS.get(look) or words.closing_look(look)
    unread = look == READ_AGAIN and done is not None and room_co_since_work(done) is None
    return sentence(f"{plain}: no figure is recorded" if unread else plain)
