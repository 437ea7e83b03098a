"""From a job's record: a heater that was left off, on this visit or another one. It stands first on the sheet."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.jobsheet.moments import full_moment, noted_words, told_when
from webapp.jobsheet.plain_checks import answer_words, check_title
from webapp.jobsheet.plain_words import FIRST_LOOKS, sentence
from webapp.jobsheet.sheet import Bullets, Facts, Section, Text
from webapp.sites.beside_work import last_room_co
from webapp.sites.left_off_told import said_back, said_only_words, shown_back, what_is_back
from webapp.sites.phrases import measured, quoted
from webapp.sites.stands_unsafe import stands_unsafe
from webapp.trade.found_running import found_words, says_found_in_service

if TYPE_CHECKING:
    from collections.abc import Mapping

    from webapp.jobsheet.sheet import Block
    from webapp.sites.off_here import FoundRunning, OffHere
    from webapp.sites.procedure_words import ProcedureWords
    from webapp.sites.told_job import ToldJob
    from webapp.trade.record_types import LeftOffNote, PutBackNote, Record

NOT_UNTIL = "Do not use the heater until somebody licensed for this work has put this right. Ring us."
HANDS_OFF = "Do not use it, light it or switch it on. Leave the tag where it is."
COUNTS_NOW = "; what stands above counts now"
SAID = "Said to be put back"
SHOWS_NOTHING = "Nothing is recorded that shows it safe: it stays off"
SHUT_IT = "It was found in service, and nobody has shown it to be safe. Do not use it. Ring us at once."
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
    found = [row for one in told.found_running[-1:] for row in _found(one, told)]
    if since := [*found, *_office_told(record, off=off), *_back(told, names)]:
        blocks.append(Facts(since))
    if off and told.found_running:
        return Section(
            "Your heater was left off, and was found in service", [Text(SHUT_IT, "strong"), *blocks], danger=True
        )
    if off:
        return Section("Your heater was left off", [Text(HANDS_OFF, "strong"), *blocks, Text(STAYS_OFF)], danger=True)
    when = "on" if told.elsewhere.back else "during"
    now = f"was put back in service{COUNTS_NOW}" if told.counts_first else "is back in service"
    return Section(f"Your heater was left off {when} this visit, and {now}", blocks)


def _office_told(record: Record, *, off: bool) -> list[tuple[str, str]]:
    """Each call about it; and that none is recorded, while the heater stands off."""
    told = [f"{one['who_words']}, {told_when(one)}" for one in record["office_told"]]
    not_yet = (
        ["not yet, by what is recorded here. Ring us if you hear nothing"] if off and record["office_not_told"] else []
    )
    return [("Our office was told", words) for words in told + not_yet]


def _back(told: ToldJob, names: Mapping[str, str]) -> list[tuple[str, str]]:
    here = [("Put back in service", _put_back(one, told.record, names)) for one in shown_back(told.record)]
    later = [(one, full_moment(one.at) if one.at else "at a time that is not known") for one in told.elsewhere.back]
    since_then = [
        ("Put back in service, on a later visit", f"{back.words} ({since}, noted by {back.by})")
        for back, since in later
    ]
    return here + since_then + _said(told, names)


def _said(told: ToldJob, names: Mapping[str, str]) -> list[tuple[str, str]]:
    """A word alone: while the heater stands off whoever has the sheet reads that it was said, and shows nothing."""
    if not told.standing_off and not told.off_here:
        return []
    return [_said_only(one, names) for one in said_back(told.record)]


def _said_only(note: PutBackNote, names: Mapping[str, str]) -> tuple[str, str]:
    if not says_found_in_service(note["words"]):
        return SAID, f"{quoted(note['words'])}{_noted(note, names)}. {SHOWS_NOTHING}"
    who = names.get(note["by"]["person_id"], "we")
    return said_only_words(note["words"], who), f"{quoted(found_words(note))}{_noted(note, names)}"


def _put_back(note: PutBackNote, record: Record, names: Mapping[str, str]) -> str:
    words = ": ".join(part for part in (what_is_back(record, note), note["words"]) if part)
    return words + _noted(note, names)


def _noted(note: PutBackNote, names: Mapping[str, str]) -> str:
    """` (Thursday, 5 March 2026, 10:40, noted by Tom Torch)`"""
    by = names.get(note["by"]["person_id"], "somebody whose name is not recorded here")
    return f" ({', '.join(part for part in (noted_words(note['by']), f'noted by {by}') if part)})"


def _left_off(note: LeftOffNote, names: Mapping[str, str], told: ToldJob) -> list[tuple[str, str]]:
    who = names.get(note["by"]["person_id"], "")
    is_back = bool(told.standing_off) and note["by"]["event_id"] not in told.standing_off
    return [
        ("What was left off, and is back in service" if is_back else "What was left off", note["what_words"]),
        ("Why", note["why_words"]),
        ("Who was told", note["told_words"]),
        ("Noted by", ", ".join(part for part in (who, noted_words(note["by"])) if part)),
    ]


def off_here_section(told: ToldJob, names: Mapping[str, str]) -> Section | None:
    """What another visit left off at this address, and nobody has put back: whatever this visit was about."""
    if not told.off_here:
        return None
    blocks = [Facts(_off_here(one) + _found(one.found, told)) for one in told.off_here]
    if said := _said(told, names):
        blocks.append(Facts(said))
    if any(one.found for one in told.off_here):
        title = "A heater at this address was left off on another visit, and was found in service"
        return Section(title, [Text(SHUT_IT, "strong"), *blocks], danger=True)
    title = "A heater at this address was left off on another visit, and stands off"
    return Section(title, [Text(HANDS_OFF, "strong"), *blocks, Text(STAYS_OFF)], danger=True)


def unsafe_section(told: ToldJob) -> Section | None:
    """What this visit found unsafe and left so: it may have ended as "fault not seen" beside such a figure."""
    found = stands_unsafe(told.words.procedure, told.record)
    if not found:
        return None
    lines = [found_unsafe(check, outcome, told.words, told.record) for check, outcome in found]
    title = "Found unsafe on this visit, and not put right by what is recorded"
    return Section(title, [Bullets(lines), Text(NOT_UNTIL, "strong")], danger=True)


def since_section(told: ToldJob) -> Section | None:
    """What another visit found unsafe after this one: an older sheet, printed anew, does not say otherwise."""
    if not told.unsafe_since:
        return None
    lines = [
        f"{found_unsafe(one.check, one.outcome, one.words, one.record)} ({full_moment(one.at)})"
        for one in told.unsafe_since
    ]
    title = "Since this visit: found unsafe at this address, and not put right by what is recorded"
    return Section(title, [Bullets(lines), Text(NOT_UNTIL, "strong")], danger=True)


def found_unsafe(check: str, outcome: str, words: ProcedureWords, record: Record) -> str:
    """The answer in plain words, and of CO in the room the figure."""
    plain = answer_words(check, outcome, words)
    line = sentence(plain if (check, outcome) in FIRST_LOOKS else f"{check_title(check, words)}: {plain}")
    read = last_room_co(record) if check == "co_room" else None
    return line if read is None else f"{line} It read {measured('co_ppm', read)}."


def put_back_section(told: ToldJob, names: Mapping[str, str]) -> Section | None:
    """What another visit left off and this one put back: whoever has its sheet reads that it is over, and by what."""
    if not told.put_back_here:
        return None
    back = [("Put back in service", one["words"] + _noted(one, names)) for one in shown_back(told.record)]
    now = (
        f"was put back in service on this one{COUNTS_NOW}" if told.counts_first else "is back in service since this one"
    )
    title = f"A heater that was left off on another visit {now}"
    return Section(title, [*(Facts(_off_here(one)) for one in told.put_back_here), Facts(back)])


def _found(found: FoundRunning | None, told: ToldJob) -> list[tuple[str, str]]:
    """By another visit than this one, which tells it in its own words."""
    if found is None or found.job_id == told.job.id:
        return []
    return [("Found in service", f"{full_moment(found.at or found.heard_at)}, on another visit")]


def _off_here(one: OffHere) -> list[tuple[str, str]]:
    return [
        ("What was left off", one.what_words or "not recorded. Ask us before anybody touches a heater"),
        ("Why", one.why_words or "not recorded"),
        ("When it was left off", full_moment(one.at)),
    ]
