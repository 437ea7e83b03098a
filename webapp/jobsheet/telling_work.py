"""From a job's record: what was agreed and done."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.jobsheet.moments import noted_words
from webapp.jobsheet.plain_words import REPAIRS, sentence
from webapp.jobsheet.replaced import is_replaced
from webapp.jobsheet.sheet import Bullets, Facts, Section, Signature, Text
from webapp.jobsheet.signature import strokes_of

if TYPE_CHECKING:
    from webapp.jobsheet.sheet import Block
    from webapp.sites.procedure_words import ProcedureWords
    from webapp.sites.told_job import ToldJob
    from webapp.trade.record_types import AgreementNote, PartNote, RepairNote


REPLACED = "The heater was replaced. No other work is recorded on this visit."


def agreed_section(told: ToldJob) -> Section | None:
    """What the customer was told and answered, with the signature."""
    blocks: list[Block] = []
    for one in told.record["agreements"]:
        blocks.append(Facts(_agreed(one)))
        strokes = strokes_of(one["signature_path"])
        blocks.append(
            Signature(strokes, one["name_words"] or "") if strokes else Text("Not signed on the screen.", "soft")
        )
    return Section("What was agreed before the work", blocks) if blocks else None


def _agreed(one: AgreementNote) -> list[tuple[str, str]]:
    answer = "Agreed: the work may be done" if one["decision"] == "authorised" else "Declined: the work is not wanted"
    return [
        ("The customer was told", one["told_words"]),
        ("The work", one["scope_words"]),
        ("Price", one["price_words"] or "none recorded"),
        ("Answer", answer),
        ("Given by", one["name_words"] or "no name recorded"),
        ("When", noted_words(one["by"]) or "not known"),
    ]


def done_section(told: ToldJob) -> Section:
    """Repairs, and parts fitted and removed."""
    record = told.record
    repairs = [repair_words(note, told.words) for note in record["repairs"]]
    none = REPLACED if is_replaced(record) else "No repair is recorded on this visit."
    blocks: list[Block] = [Bullets(repairs)] if repairs else [Text(none)]
    if record["parts"]:
        blocks.append(Facts([(f"Part {one['direction']}", _part(one)) for one in record["parts"]]))
    return Section("What was done", blocks)


def repair_words(note: RepairNote, words: ProcedureWords) -> str:
    """A repair as a householder understands it, with what the technician added."""
    if note["action"] == "other":
        return sentence(note["words"] or "Another repair than those that are usual")
    plain = REPAIRS.get(note["action"]) or sentence(words.repair(note["action"]))
    return f"{plain} {sentence(note['words'])}" if note["words"] else plain


def _part(one: PartNote) -> str:
    return f"{one['count']} × {one['part_words']}"  # noqa: RUF001 (the sign that people read on a bill)
