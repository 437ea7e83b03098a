"""From a job's record: what was wrong. Nobody's asides and guesses are told."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.jobsheet.plain_words import CAUSES, sentence
from webapp.jobsheet.sheet import Section, Text
from webapp.jobsheet.telling_looked import at_the_start, caller_and_site, seen_otherwise_later

if TYPE_CHECKING:
    from webapp.jobsheet.sheet import Block
    from webapp.sites.procedure_words import ProcedureWords
    from webapp.sites.told_job import ToldJob
    from webapp.trade.record_types import CauseNote, Code, Record


def found_section(told: ToldJob) -> Section:
    """What was found to be wrong, in plain words; the trade's own words behind them."""
    causes = [cause_words(note, told.words) for note in _standing_causes(told.record)]
    blocks: list[Block] = [Text(f"At the start: {words}", "strong") for words in at_the_start(told)]
    blocks += [Text(words, "strong") for words in seen_otherwise_later(told)]
    blocks += [Text(words, "strong") for words in caller_and_site(told)]
    blocks += [Text(words, "strong") for words in causes]
    if len(causes) > 1:
        blocks.append(Text("Two people named different causes. Both are told here."))
    if not causes:
        blocks.append(Text("No cause was named on this visit."))
    shown = [f"The heater's own light or display showed: {_code(code)}." for code in told.record["codes"]]
    return Section("What was found", [*blocks, *(Text(words) for words in shown)])


def cause_words(note: CauseNote, words: ProcedureWords) -> str:
    """A cause as a householder understands it."""
    if note["cause"] == "other":
        return sentence(note["words"] or "Another cause than those that are usual")
    trade = words.cause(note["cause"])
    plain = CAUSES.get(note["cause"])
    return f"{plain} (In the trade's words: {trade}.)" if plain else sentence(trade)


def _standing_causes(record: Record) -> list[CauseNote]:
    """Each person's last word; where they agree, once."""
    last = {note["by"]["person_id"]: note for note in record["causes"]}
    return list(
        {(note["cause"], note["words"] if note["cause"] == "other" else ""): note for note in last.values()}.values()
    )


def _code(code: Code) -> str:
    if code["shown"] == "flashes" and code["flash_groups"]:
        shown = f"flashes in groups of {code['flash_groups']}"
    elif code["shown"] == "flashes" and code["flashes"] is not None:
        shown = f"{code['flashes']} {'flash' if code['flashes'] == 1 else 'flashes'}"
    elif code["shown"] == "text":
        shown = f"“{code['text'] or ''}”"
    else:
        shown = {"dark": "nothing, it was dark", "steady": "a steady light"}.get(code["shown"], "flashes")
    return f"{shown}, by its label: {code['meaning_words']}" if code["meaning_words"] else shown
