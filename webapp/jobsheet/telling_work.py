"""From a job's record: what was agreed, done and left off, and how the visit ended."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.jobsheet.moments import full_moment, noted_words, told_when
from webapp.jobsheet.plain_words import CANCELLED_UNDER_WAY, ENDED, NOT_ENDED, REPAIRS, sentence
from webapp.jobsheet.sheet import Bullets, Facts, Section, Signature, Text
from webapp.jobsheet.signature import strokes_of
from webapp.sites.brought_in import held_said, is_brought_in
from webapp.sites.left_off_told import what_is_back

if TYPE_CHECKING:
    from collections.abc import Mapping

    from webapp.jobsheet.sheet import Block
    from webapp.sites.procedure_words import ProcedureWords
    from webapp.sites.told_job import ToldJob
    from webapp.trade.record_types import (
        AgreementNote,
        LeftOffNote,
        PartNote,
        PutBackNote,
        Record,
        RepairNote,
    )


HANDS_OFF = "Do not use it, light it or switch it on. Leave the tag where it is."
STAYS_OFF = "It stays off until somebody licensed for this work has put right what is named here and tried it out."


def left_off_section(told: ToldJob, names: Mapping[str, str]) -> Section | None:
    """First on the sheet where a heater was left off: what, why, who was told."""
    record = told.record
    closed_off = record["closed"] is not None and record["closed"]["state"] == "left_off"
    off = bool(told.standing_off)
    if not off and not record["left_off"] and not closed_off:
        return None
    blocks: list[Block] = [Facts(_left_off(note, names, told)) for note in record["left_off"]]
    if not blocks:
        blocks = [Text("What was left off, and why, is not recorded. Ask us before anybody touches the heater.")]
    if since := [*_office_told(record, off=off), *_back(told)]:
        blocks.append(Facts(since))
    if off:
        return Section("Your heater was left off", [Text(HANDS_OFF, "strong"), *blocks, Text(STAYS_OFF)], danger=True)
    when = "on" if told.elsewhere.back else "during"
    return Section(f"Your heater was left off {when} this visit, and is back in service", blocks)


def _office_told(record: Record, *, off: bool) -> list[tuple[str, str]]:
    """Each call about it; and that none is recorded, while the heater stands off."""
    told = [f"{one['who_words']}, {told_when(one)}" for one in record["office_told"]]
    not_yet = (
        ["not yet, by what is recorded here. Ring us if you hear nothing"] if off and record["office_not_told"] else []
    )
    return [("Our office was told", words) for words in told + not_yet]


def _back(told: ToldJob) -> list[tuple[str, str]]:
    here = [("Put back in service", _put_back(one, told.record)) for one in told.record["put_back"]]
    later = [(one, full_moment(one.at) if one.at else "at a time that is not known") for one in told.elsewhere.back]
    return here + [
        ("Put back in service, on a later visit", f"{back.words} ({since}, {back.by})") for back, since in later
    ]


def _put_back(note: PutBackNote, record: Record) -> str:
    words = ": ".join(part for part in (what_is_back(record, note), note["words"]) if part)
    return f"{words} ({noted_words(note['by'])})"


def _left_off(note: LeftOffNote, names: Mapping[str, str], told: ToldJob) -> list[tuple[str, str]]:
    who = names.get(note["by"]["person_id"], "")
    is_back = bool(told.standing_off) and note["by"]["event_id"] not in told.standing_off
    return [
        ("What was left off, and is back in service" if is_back else "What was left off", note["what_words"]),
        ("Why", note["why_words"]),
        ("Who was told", note["told_words"]),
        ("Noted by", ", ".join(part for part in (who, noted_words(note["by"])) if part)),
    ]


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
    blocks: list[Block] = [Bullets(repairs)] if repairs else [Text("No repair is recorded on this visit.")]
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


def ended_words(record: Record) -> str:
    """How the visit ended, in one sentence."""
    if record["state"] == "closed" and record["closed"] and is_brought_in(record):
        return f"This visit stands in our old files only. {held_said(record['closed']['words']).words}."
    if record["state"] == "closed" and record["closed"]:
        return ENDED[record["closed"]["state"]]
    under_way = record["state"] == "cancelled" and (record["arrived"] or record["opened"])
    return CANCELLED_UNDER_WAY if under_way else NOT_ENDED[record["state"]]
