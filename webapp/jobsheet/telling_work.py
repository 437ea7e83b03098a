"""From a job's record: what was agreed, done, tried out and left off, and how the visit ended."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.jobsheet.moments import full_moment, noted_words, told_when
from webapp.jobsheet.plain_words import ENDED, LOOKS, NOT_ENDED, PHOTOS, REPAIRS, sentence
from webapp.jobsheet.sheet import Bullets, Facts, Picture, Pictures, Section, Signature, Table, Text
from webapp.jobsheet.signature import strokes_of
from webapp.sites.left_off_told import what_is_back
from webapp.sites.phrases import measured
from webapp.sites.procedure_words import as_title, number_words

if TYPE_CHECKING:
    from collections.abc import Mapping

    from webapp.jobsheet.sheet import Block
    from webapp.sites.procedure_words import ProcedureWords
    from webapp.sites.told_job import ToldJob
    from webapp.trade.record_types import (
        AgreementNote,
        LeftOffNote,
        PartNote,
        PhotoNote,
        ProofNote,
        PutBackNote,
        Record,
        RepairNote,
    )

MOST_PICTURES = 12


def left_off_section(told: ToldJob, names: Mapping[str, str]) -> Section | None:
    """First on the sheet where a heater was left off: what, why, who was told."""
    record = told.record
    closed_off = record["closed"] is not None and record["closed"]["state"] == "left_off"
    off = told.standing_off
    if not off and not record["left_off"] and not closed_off:
        return None
    blocks: list[Block] = []
    if off:
        blocks.append(Text("Do not use it, light it or switch it on. Leave the tag where it is.", "strong"))
    blocks += [Facts(_left_off(note, names, told)) for note in record["left_off"]]
    if not record["left_off"]:
        blocks.append(Text("What was left off, and why, is not recorded. Ask us before anybody touches the heater."))
    told_office = [f"{one['who_words']}, {told_when(one)}" for one in record["office_told"]]
    blocks += [Facts([("Our office was told", words)]) for words in told_office]
    blocks += [Facts([("Put back in service", _put_back(one, record))]) for one in record["put_back"]]
    for back in told.elsewhere.back:
        since = full_moment(back.at) if back.at else "at a time that is not known"
        blocks.append(Facts([("Put back in service, on a later visit", f"{back.words} ({since}, {back.by})")]))
    if off:
        blocks.append(
            Text(
                "It stays off until somebody licensed for this work has put right what is named here and tried it out."
            )
        )
        return Section("Your heater was left off", blocks, danger=True)
    when = "on" if told.elsewhere.back else "during"
    return Section(f"Your heater was left off {when} this visit, and is back in service", blocks)


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
    rows = [(_part(one), {"fitted": "Fitted", "removed": "Removed"}[one["direction"]]) for one in record["parts"]]
    if rows:
        blocks.append(Table(("Part", "Fitted or removed"), rows))
    return Section("What was done", blocks)


def repair_words(note: RepairNote, words: ProcedureWords) -> str:
    """A repair as a householder understands it, with what the technician added."""
    if note["action"] == "other":
        return sentence(note["words"] or "Another repair than those that are usual")
    plain = REPAIRS.get(note["action"]) or sentence(words.repair(note["action"]))
    return f"{plain} {sentence(note['words'])}" if note["words"] else plain


def _part(one: PartNote) -> str:
    return f"{one['count']} × {one['part_words']}"  # noqa: RUF001 (the sign that people read on a bill)


def last_run_section(told: ToldJob) -> Section | None:
    """The heater run hot after the work: did it hold, the same number before and after, what was looked at last."""
    if not told.record["proofs"]:
        if not told.record["repairs"]:
            return None
        return Section("The test run after the work", [Text("No test run is recorded after this work.")])
    blocks: list[Block] = []
    for number, proof in enumerate(told.record["proofs"], 1):
        if len(told.record["proofs"]) > 1:
            blocks.append(Text(f"Run {number}:"))
        blocks += _run(proof, told.words)
    last = told.record["proofs"][-1]
    looks = [_look(look, told.words) for look in last["looks_done"]]
    blocks += [Text("Looked at last:"), Bullets(looks)] if looks else [Text("No closing looks are recorded.")]
    looks_asked = (told.words.body or {}).get("closing_looks", [])
    asked = [look["id"] for look in looks_asked if look.get("always", True)]  # the others fit some repairs alone
    if missing := [_look(look, told.words) for look in asked if look not in last["looks_done"]]:
        blocks += [Text("Not recorded as looked at, or not there to look at:"), Bullets(missing)]
    return Section("The test run after the work", blocks)


def _run(proof: ProofNote, words: ProcedureWords) -> list[Block]:
    starts = f"{proof['restarts']} {'time' if proof['restarts'] == 1 else 'times'}"
    ran = f"The heater was run for {number_words(proof['minutes'])} minutes and started again {starts}. "
    held = "It kept running as it should." if proof["passed"] else "It did not keep running as it should."
    blocks: list[Block] = [Text(ran + held, "strong")]
    quantity = proof["quantity"] or "suction_in_wc"
    before, after = (proof["before_value"], proof["after_value"])
    if before is not None or after is not None:
        name, unit = words.reading(None, quantity)
        told = [measured(quantity, value, unit) if value is not None else "not recorded" for value in (before, after)]
        blocks.append(Table(("The same number", "Before the work", "After, heater hot"), [(name, *told)]))
    room, flue = proof["co_room_ppm"], proof["co_air_free_ppm"]
    facts = [
        ("Carbon monoxide (CO) in the room", measured("co_ppm", room) if room is not None else "not recorded"),
        ("CO in the burnt gas, air-free", measured("co_ppm", flue) if flue is not None else ""),
        ("Every fan and the dryer on", {True: "yes", False: "no", None: ""}[proof["fans_on"]]),
    ]
    blocks.append(Facts([(name, value) for name, value in facts if value]))
    return blocks


def _look(look: str, words: ProcedureWords) -> str:
    return LOOKS.get(look) or as_title(words.closing_look(look))


def ended_section(told: ToldJob) -> Section:
    """How the visit ended, in one sentence."""
    record = told.record
    if record["state"] != "closed" or record["closed"] is None:
        return Section("How the visit ended", [Text(NOT_ENDED[record["state"]], "strong")])
    blocks: list[Block] = [Text(ENDED[record["closed"]["state"]], "strong")]
    return Section("How the visit ended", blocks)


def pictures_section(told: ToldJob) -> Section | None:
    """The first photos, small; the others stay with the company."""
    photos = _once(told.record)
    if not photos:
        return None
    shown = [
        Picture(one["sha256"], photo_words(one, told.words), one["sha256"] in told.stored_photos)
        for one in photos[:MOST_PICTURES]
    ]
    blocks: list[Block] = [Pictures(shown)]
    if len(photos) > MOST_PICTURES:
        blocks.append(Text(f"{len(photos) - MOST_PICTURES} more are kept with the record of this visit.", "soft"))
    return Section("Photos", blocks)


def _once(record: Record) -> list[PhotoNote]:
    return list({photo["sha256"]: photo for photo in record["photos"]}.values())


def photo_words(photo: PhotoNote, words: ProcedureWords) -> str:
    """What it is of. The technician's own words only where they tell of damage that was there before."""
    if photo["about"] == "damage_before" and photo["words"]:
        return f"{PHOTOS['damage_before']}: {photo['words']}"
    return PHOTOS.get(photo["about"] or "") or (words.check(photo["check"]) if photo["check"] else "Photo")
