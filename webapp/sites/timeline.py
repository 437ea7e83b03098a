"""The timeline of one stream of events: newest first, with what was struck still readable."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import groupby
from typing import TYPE_CHECKING

from webapp.sites.clock import local, noted_at
from webapp.sites.event_words import sentence
from webapp.sites.left_off_told import said_only_words
from webapp.sites.phrases import Before
from webapp.sites.visit import Line, LineGroup
from webapp.trade.envelope import live_events, take_in

if TYPE_CHECKING:
    from collections.abc import Collection
    from datetime import date, datetime

    from webapp.sites.procedure_words import ProcedureWords
    from webapp.trade.events import Event

SOMEBODY = "somebody unknown here"


@dataclass(frozen=True)
class Arrived:
    """An event with the time at which it got here."""

    event: Event
    received_at: datetime


def timeline(
    arrived: list[Arrived],
    words: ProcedureWords,
    names: dict[str, str],
    contradicted: Collection[str] = (),
    said_only: Collection[str] = (),
) -> list[Line]:
    """Every event as a line, newest first by fold order.

    `contradicted`: the ids of answers that clash. `said_only`: of words that a heater was put back, which end nothing.
    """
    ordered, _unreadable = take_in([one.event for one in arrived])
    when = {one.event["id"]: one.received_at for one in arrived}
    live_ids = {event["id"] for event in live_events(ordered)}
    struck = _struck_words(ordered, live_ids, words, names)
    before = _stood_before(ordered)
    lines = []
    for event in reversed(ordered):
        title, said, detail = sentence(event, words, names, when.get(event["id"]), before.get(event["id"]))
        lines.append(
            Line(
                event_id=event["id"],
                kind=event["kind"],
                who=names.get(event["person_id"], SOMEBODY),
                noted=noted_at(event, when.get(event["id"])),
                title=_said_only(event, names) if event["id"] in said_only else title,
                said=said,
                detail=detail,
                struck=struck.get(event["id"], ""),
                contradicted=event["id"] in contradicted,
            )
        )
    return lines


def _said_only(event: Event, names: dict[str, str]) -> str:
    """Put back, or found in service: the same word as over the timeline."""
    return said_only_words(str(event["body"].get("words", "")), names.get(event["person_id"], SOMEBODY))


def _stood_before(ordered: list[Event]) -> dict[str, Before]:
    """How the job stood before each event that changes its booking."""
    found: dict[str, Before] = {}
    stood = Before(nobody=True, no_appointment=True)
    for event in ordered:
        kind, body = event["kind"], event["body"]
        if kind in ("job_moved", "job_cancelled"):
            found[event["id"]] = stood
        if kind in ("job_booked", "job_moved"):
            stood = replace(
                stood,
                nobody=stood.nobody and not body.get("technician_id"),
                no_appointment=bool(body.get("due_cleared")) or (stood.no_appointment and not body.get("due_wall")),
            )
        elif kind == "job_closed":
            stood = replace(stood, closed=True)
    return found


def grouped(lines: list[Line]) -> list[LineGroup]:
    """Neighbouring lines of one person on one day together: the name and the day are then said once."""
    return [
        LineGroup(who, same[0].noted.noted, _said_once(same))
        for (who, _day), group in groupby(lines, key=lambda line: (line.who, _day_of(line)))
        for same in [list(group)]
    ]


def _said_once(lines: list[Line]) -> list[Line]:
    """Neighbours that say the same stand once, the newest of them, with how many there were."""
    together = [list(group) for _, group in groupby(lines, key=_what_it_says)]
    return [replace(group[0], times=len(group)) if len(group) > 1 else group[0] for group in together]


def _what_it_says(line: Line) -> tuple[str, str, str, str, bool]:
    said = line.said.words if line.said else ""
    return line.title, said, line.detail, line.struck, line.contradicted


def _day_of(line: Line) -> date | None:
    return local(line.noted.noted).date() if line.noted.noted else None


def _struck_words(
    ordered: list[Event], live_ids: set[str], words: ProcedureWords, names: dict[str, str]
) -> dict[str, str]:
    """For each event that no longer stands: by whom, and what stands instead."""
    found: dict[str, str] = {}
    whose = {event["id"]: event["person_id"] for event in ordered}
    for event in ordered:
        for replaced_id in event["replaces"]:
            own = whose.get(replaced_id) == event["person_id"]  # another person's is only named: it was heard of
            if own and replaced_id not in live_ids and replaced_id not in found:
                found[replaced_id] = _one_struck(event, words, names)
    return found


def _one_struck(by: Event, words: ProcedureWords, names: dict[str, str]) -> str:
    who = names.get(by["person_id"], SOMEBODY)
    if by["kind"] == "withdrawn":
        why = by["body"].get("why")
        return f"taken back by {who}" + (f": “{why}”" if isinstance(why, str) and why else "")
    title, said, _detail = sentence(by, words, names)
    return f"corrected by {who} to: {title}" + (f", {said.words}" if said else "")
