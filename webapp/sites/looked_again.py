"""What a visit found unsafe and looked at again, and what it called a wrong tap: told wherever it was found."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.sites.clock import hour_words, noted_at
from webapp.sites.phrases import measured, quoted
from webapp.trade.looked_again import otherwise_now
from webapp.trade.standing import findings_of
from webapp.trade.unsafe_taken_back import unsafe_taken_back

if TYPE_CHECKING:
    from collections.abc import Callable

    from webapp.sites.procedure_words import ProcedureWords
    from webapp.trade.advice_types import LookedAgain
    from webapp.trade.procedure_types import Procedure
    from webapp.trade.record_types import Corrected, Mark, Record


def seen_again(procedure: Procedure | None, record: Record) -> list[LookedAgain]:
    """By the rules that the phone goes by; nearly always nothing of the kind was noted."""
    figures = len(record["readings"]) + len(record["proofs"])  # the room's CO is read beside a hot run too
    if procedure is None or not (figures > 1 or any(len(f["entries"]) > 1 for f in record["checks"])):
        return []
    return otherwise_now(procedure, record, findings_of(procedure, record))


def looked_again_words(one: LookedAgain, title: str = "") -> str:
    """`CO in the room: Leave now, 90 ppm 06:16; looked at again 06:24: Acceptable, 2 ppm; nobody noted what put …`."""
    found = one["found_words"]
    first = found if found == (title or one["title"]) else f"{title or one['title']}: {found}"
    own = f", {quoted(one['now_own_words'])}" if one["now_own_words"] else ""
    again = f"looked at again {_at(one['now_by'])}: {one['now_words']}{own}"
    return f"{first} {_at(one['found_by'])}; {again}; {one['since_words']}"


def looked_again_lines(procedure: Procedure | None, record: Record, *, is_open: bool = True) -> list[str]:
    """A line each of what nothing shows to be put right, or of what was."""
    return [looked_again_words(one) for one in seen_again(procedure, record) if one["is_open"] is is_open]


def corrected_lines(record: Record, words: ProcedureWords, title: Callable[[str], str] | None = None) -> list[str]:
    """`CO in the room was noted as 90 ppm at 06:16, corrected to 9 ppm at 06:17`, or `taken back at 06:17`."""
    corrected = [_said(one, words, title or words.check, back=False) for one in record["corrected"]]
    return corrected + [_said(one, words, title or words.check, back=True) for one in unsafe_taken_back(record)]


def _said(one: Corrected, words: ProcedureWords, title: Callable[[str], str], *, back: bool) -> str:
    check, now = one["check"] or "", "could not check"
    if one["quantity"] is not None and one["value"] is not None:
        name, unit = words.reading(one["check"], one["quantity"])
        name, was = title(check) if check else name, measured(one["quantity"], one["value"], unit)
        now = measured(one["quantity"], one["to_value"], unit) if one["to_value"] is not None else now
    else:
        name, was = title(check), f"“{words.outcome(check, one['outcome']).words}”"
        now = f"“{words.outcome(check, one['to_outcome']).words}”" if one["to_outcome"] else now
    then = "taken back" if back else f"corrected to {now}"
    return f"{name} was noted as {was} at {_at(one['by'])}, {then} at {_at(one['to_by'])}"


def _at(by: Mark) -> str:
    noted = noted_at(by, None).noted
    return hour_words(noted) if noted else by["at_wall"]
