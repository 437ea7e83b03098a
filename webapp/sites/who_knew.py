"""Who knew what of a visit, and when: who noted it, who was told, what two people said otherwise."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.sites.call_seen import alarm_words
from webapp.sites.clock import (
    hour_words,
    moment_words,
    noted_at,
    noted_words,
    reckoned,
    span_words,
    wall_words,
)
from webapp.sites.left_off_told import said_back as said_back_notes
from webapp.sites.left_off_told import said_only_words, shown_back, what_is_back
from webapp.sites.phrases import joined, quoted
from webapp.sites.procedure_words import CLOSE_WORDS
from webapp.sites.ringing import phone_words, rang_in_vain, rang_words
from webapp.sites.timeline import SOMEBODY
from webapp.sites.visit import Below
from webapp.trade.found_running import found_words

if TYPE_CHECKING:
    from datetime import datetime

    from webapp.sites.timeline import Arrived
    from webapp.trade.record_types import Mark, PutBackNote, Record

CO_METER = "co_meter"
"""The check of the first looks that asks for it, in every procedure."""


def by_whom(by: Mark, arrived: list[Arrived], names: dict[str, str], act: str = "noted") -> str:
    """Who noted it, when, and when it got here where that was later: whoever asks who knew of it needs both."""
    one = next((one for one in arrived if one.event["id"] == by["event_id"]), None)
    when = noted_words(noted_at(one.event, one.received_at)) if one else ""
    return f"{act} by {names.get(by['person_id'], SOMEBODY)}" + (f", {when}" if when else "")


def call_by(by: Mark, arrived: list[Arrived], names: dict[str, str]) -> str:
    """Who took the call and when, and when its words were corrected since by the same person."""
    taken = [one for one in arrived if one.event["kind"] == "call_taken" and one.event["person_id"] == by["person_id"]]
    first = min(taken, key=lambda one: one.event["lamport"], default=None)
    if first is None or first.event["id"] == by["event_id"]:
        return by_whom(by, arrived, names, "taken")
    last = next(one for one in taken if one.event["id"] == by["event_id"])
    at = noted_words(noted_at(first.event, first.received_at))
    again = noted_words(noted_at(last.event, last.received_at))
    return f"taken by {names.get(by['person_id'], SOMEBODY)}, {at}; corrected {again}"


def there(record: Record) -> tuple[datetime, datetime | None] | None:
    """From when to when somebody was there, by what was noted at its begin and end."""
    begun = [noted_at(one["by"], None).noted for one in (record["arrived"], record["opened"]) if one]
    began = next((moment for moment in begun if moment), None)
    closed = noted_at(record["closed"]["by"], None).noted if record["closed"] else None
    return (began, closed) if began else None


def below(record: Record, arrived: list[Arrived], names: dict[str, str], now: datetime) -> list[Below]:
    """Everybody who is below, also after the job was cancelled or closed by another: it brings nobody out."""
    got = {one.event["id"]: one.received_at for one in arrived}
    told = []
    for one in record["below_now"]:
        due = reckoned(one["due_out_wall"], one["by"], got.get(one["by"]["event_id"]))
        ring = f"ring {phone_words(one['ring_phone'])}" if one["ring_phone"] else "no number to ring was given"
        late = f", overdue {span_words(now - due)}" if due and due < now else ""
        person_id = one["by"]["person_id"]
        words = f"due out {moment_words(due) if due else one['due_out_wall']}{late}; {ring}"
        who = names.get(person_id, SOMEBODY)
        told.append(Below(person_id, who, words, rang_in_vain(record, names, who), rang_words(who, words)))
    return told


def office_told(record: Record, arrived: list[Arrived], names: dict[str, str]) -> list[str]:
    """Each voice call about a heater left off: who rang, when by the server's clock, and who noted it."""
    got = {one.event["id"]: one.received_at for one in arrived}
    told = []
    for note in record["office_told"]:
        at = reckoned(note["told_wall"], note["by"], got.get(note["by"]["event_id"]))
        when = moment_words(at) if at else wall_words(note["told_wall"])
        told.append(joined(f"{note['who_words']}, {when}", quoted(note["words"]), by_whom(note["by"], arrived, names)))
    return told


def disagreements(record: Record, names: dict[str, str]) -> list[str]:
    """What two people said otherwise, beside the checks: how it ended, what was found, what the caller said."""
    closed = {line["by"]["person_id"]: line for line in record["closings"]}
    told = []
    if len({line["state"] for line in closed.values()}) > 1:
        said = [f"{names.get(who, SOMEBODY)}: {CLOSE_WORDS[line['state']]}" for who, line in closed.items()]
        told.append(f"Closed by two people, and not alike. {'; '.join(said)}. The last word counts.")
    calls = {line["by"]["person_id"]: line for line in record["calls"]}
    heard = {who: alarm_words(line) or "no alarm" for who, line in calls.items()}
    if len(set(heard.values())) > 1:
        said = [f"{names.get(who, SOMEBODY)}: {words}" for who, words in heard.items()]
        told.append(f"The caller was understood differently. {'; '.join(said)}. The alarm stands.")
    return told


def carried_unnamed(record: Record, *, from_file: bool) -> str:
    """Which meter gave the CO is asked later: that one was on stands, where the first looks say so."""
    if from_file or record["instruments"]:
        return ""
    on = [
        entry["by"]
        for finding in record["checks"]
        if finding["check"] == CO_METER and finding["outcome"] == "on"
        for entry in finding["entries"]
        if entry["current"] and entry["outcome"] == "on"
    ]
    if not on:
        return "None is noted"
    at = noted_at(on[0], None).noted
    return "None by name; CO meter on, tested and zeroed" + (f" at {hour_words(at)}" if at else "")


def put_back(record: Record, arrived: list[Arrived], names: dict[str, str]) -> list[str]:
    """Who put what back in service."""
    return [
        joined(what_is_back(record, note), note["words"], by_whom(note["by"], arrived, names))
        for note in shown_back(record)
    ]


def said_back(
    record: Record, arrived: list[Arrived], names: dict[str, str], running: list[PutBackNote]
) -> list[tuple[str, str, bool]]:
    """Who only said so: what that is, in whose words, and whether the heater may be `running` since."""
    return [
        (
            said_only_words(note["words"], names.get(note["by"]["person_id"], SOMEBODY)),
            joined(what_is_back(record, note), quoted(found_words(note)), by_whom(note["by"], arrived, names, "said")),
            note in running,
        )
        for note in said_back_notes(record)
    ]
