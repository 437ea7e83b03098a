"""From a job's record: what was wrong, what was looked at and measured. Nobody's asides and guesses are told."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.jobsheet.moments import hour_of
from webapp.jobsheet.plain_words import CAUSES, FIRST_LOOKS, INSTRUMENTS, STATES, sentence
from webapp.jobsheet.sheet import Bullets, Section, Table, Text
from webapp.sites.clock import date_words
from webapp.sites.event_words import read_from
from webapp.sites.phrases import measured
from webapp.sites.procedure_words import as_title, could_not, number_words
from webapp.trade.gate import findings_of

if TYPE_CHECKING:
    from webapp.jobsheet.sheet import Block
    from webapp.sites.procedure_words import ProcedureWords
    from webapp.sites.told_job import ToldJob
    from webapp.trade.record_types import CauseNote, CheckFinding, Code, InstrumentNote, Reading, Record, VentSurvey

NOT_RIGHT = ("bad", "doubtful")
DASH = "\u2013"
NOT_IN_ORDER, DIFFERENTLY = "Not in order, or worth noting", "Seen differently by two people"
IN_ORDER, COULD_NOT = "In order", "Could not be checked"


def found_section(told: ToldJob) -> Section:
    """What was found to be wrong, in plain words; the trade's own words behind them."""
    causes = [cause_words(note, told.words) for note in _standing_causes(told.record)]
    blocks: list[Block] = [Text(f"At the start: {words}", "strong") for words in _at_the_start(told)]
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


def _at_the_start(told: ToldJob) -> list[str]:
    """What the first looks for safety found wrong, before anything else was done."""
    first = (told.words.body or {}).get("gate", [])
    looked = [(one["check"], *_looked(one, told.words)) for one in _findings(told)]
    return [words for check, group, words in looked if group == NOT_IN_ORDER and check in first]


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


def looked_at_section(told: ToldJob) -> Section | None:
    """Every check that was made, those that were not right first."""
    groups: dict[str, list[str]] = {NOT_IN_ORDER: [], DIFFERENTLY: [], IN_ORDER: [], COULD_NOT: []}
    said = _at_the_start(told)
    for finding in _findings(told):
        group, words = _looked(finding, told.words)
        if words not in said:  # it stands at the head of the findings
            groups[group].append(words)
    blocks: list[Block] = [Text("The technician's own short words for each check.", "soft")]
    for name, lines in groups.items():
        if lines:
            blocks += [Text(f"{name}:", "strong"), Bullets(lines)]
    return Section("What was looked at", blocks) if len(blocks) > 1 else None


def _findings(told: ToldJob) -> list[CheckFinding]:
    procedure = told.words.procedure
    found = list(findings_of(procedure, told.record).values()) if procedure else told.record["checks"]
    return [one for one in found if not (told.record["codes"] and told.words.reads_code(one["check"]))]


def _looked(finding: CheckFinding, words: ProcedureWords) -> tuple[str, str]:
    """In which group it stands, and the line."""
    name = words.check(finding["check"])
    if finding["state"] == "could_not":
        return COULD_NOT, f"{name}: {could_not(finding['could_not']).words}"
    if finding["state"] == "contradicted":
        said = [words.outcome(finding["check"], one["outcome"]).words for one in finding["entries"] if one["current"]]
        return DIFFERENTLY, f"{name}: {' / '.join(dict.fromkeys(said))}"
    outcome = words.outcome(finding["check"], finding["outcome"])
    group = NOT_IN_ORDER if outcome.verdict in NOT_RIGHT else IN_ORDER
    plain = FIRST_LOOKS.get((finding["check"], finding["outcome"] or ""))
    line = plain or f"{name}: {outcome.words}"
    if (now := finding["now_outcome"]) not in (None, finding["outcome"]):
        told = FIRST_LOOKS.get((finding["check"], now or "")) or words.outcome(finding["check"], now).words
        line += f"{' After' if plain else '; after'} the repair: {told}"
    return group, line


def numbers_section(told: ToldJob) -> Section | None:
    """Every reading with its unit, where and when it was taken, and with what."""
    record, words = told.record, told.words
    blocks: list[Block] = []
    rows = [_reading_row(reading, words) for reading in record["readings"]]
    if rows:
        blocks.append(Table(("Measured", "Reading", "Where and when", "With"), rows))
    limits: list[tuple[str, ...]] = [
        (
            as_title(words.reading(None, one["quantity"])[0]),
            measured(one["quantity"], one["value"]),
            read_from(one),
        )
        for one in record["sheet"]
    ]
    if limits:
        blocks.append(Table(("Maker's figure", "Value", "Read from"), limits))
    blocks += [Text(_vent(survey)) for survey in record["vent_surveys"][-1:]]
    if carried := [_instrument(one) for one in record["instruments"]]:
        blocks += [Text("Instruments on this visit:"), Bullets(carried)]
    return Section("The numbers", blocks) if blocks else None


def _reading_row(reading: Reading, words: ProcedureWords) -> tuple[str, ...]:
    name, unit = words.reading(reading["check"], reading["quantity"])
    where = ", ".join(
        part
        for part in (reading["place"] or "", STATES.get(reading["state"] or "", ""), hour_of(reading["by"]))
        if part
    )
    return (
        name,
        measured(reading["quantity"], reading["value"], unit),
        where or DASH,
        reading["instrument_words"] or DASH,
    )


def _vent(survey: VentSurvey) -> str:
    feet, elbows = survey["limit_equivalent_ft"], survey["limit_elbows"]
    allowed = [
        f"{number_words(feet)} ft long, its bends reckoned in" if feet is not None else "",
        f"{elbows} bends" if elbows is not None else "",
    ]
    sheet = " and ".join(part for part in allowed if part)
    return (
        f"The vent pipe as counted: {number_words(survey['nominal_in'])} in. wide, "
        f"{number_words(survey['straight_ft'])} ft straight, "
        f"{survey['elbows_90']} bends of 90°, {survey['elbows_45']} of 45°."
        + (f" The most that the maker's sheet allows, as read here: {sheet}." if sheet else "")
    )


def _instrument(one: InstrumentNote) -> str:
    said = [
        INSTRUMENTS[one["instrument_kind"]],
        f"serial {one['serial_words']}" if one["serial_words"] else "",
        f"calibrated {date_words(one['calibrated_on'])}" if one["calibrated_on"] else "no calibration date recorded",
        {True: "tried on test gas before use", False: "not tried on test gas", None: ""}[one["bump_tested"]],
        {True: "set to zero before use", False: "not set to zero", None: ""}[one["zeroed"]],
    ]
    return as_title(", ".join(part for part in said if part))
