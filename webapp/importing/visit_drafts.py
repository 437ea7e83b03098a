"""A past visit as the events that the office stores for it. No database here."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from webapp.importing.derived_ids import derived_id, noon_here, noon_of
from webapp.models.base import wall_time
from webapp.sites.address_key import words_key
from webapp.sites.brought_in import BROUGHT_IN, DID_NOT_HOLD, NOBODYS_ID, NOT_TOLD, OTHER, TECHNICIAN_NOTE

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from webapp.importing.lines import Door, PastVisit
    from webapp.people.service import Draft

HELD_WORDS = {"yes": "held", "no": DID_NOT_HOLD, "unknown": "nobody noted whether it held"}
CLOSE_STATES = {"yes": "handed_over", "no": "not_proven", "unknown": "handed_over"}
"""Never `proven`: no hot run is recorded."""
GROUPS = ("complaints", "causes", "repairs")


class Vocabulary:
    """How the store calls things: current procedures, and people."""

    def __init__(self, procedures: Sequence[Mapping[str, Any]], people: Mapping[str, str]) -> None:
        """`people`: names by login and by name."""
        self._names = {words_key(called): name for called, name in people.items()}
        self._ids: dict[tuple[str, str], dict[str, str]] = {}
        for body in procedures:
            for group in GROUPS:
                for one in body[group]:
                    for called in (one["id"], one["words"]):
                        self._ids.setdefault((group, words_key(called)), {})[body["name"]] = one["id"]

    def technician(self, typed: str) -> str:
        """The name of whoever was meant, else what was typed: who left years ago may never have had a login."""
        return self._names.get(words_key(typed), typed)

    def known(self, group: str, typed: str) -> dict[str, str]:
        """Id by procedure name, where a procedure knows this id or these words."""
        return self._ids.get((group, words_key(typed)), {}) if typed else {}


@dataclass(frozen=True)
class _Named:
    """An id of the procedure, or `other`, with what was typed."""

    identifier: str
    words: str | None


@dataclass(frozen=True)
class NamedVisit:
    """A visit in the store's own ids."""

    procedure_name: str
    """Empty where no procedure, or more than one, knows what was told: which heater it was is not guessed."""
    complaint: _Named
    cause: _Named
    repair: _Named

    @property
    def in_own_words(self) -> list[str]:
        """Which of cause and repair no procedure knows."""
        return [
            name
            for name, one in (("cause", self.cause), ("repair", self.repair))
            if one.words and one.identifier == OTHER
        ]


def name_visit(visit: PastVisit, vocabulary: Vocabulary) -> NamedVisit:
    """Find what was typed in the current procedures."""
    told = {"causes": visit.cause, "repairs": visit.repair}
    found = {group: vocabulary.known(group, typed) for group, typed in told.items() if typed}
    named = [names for names in found.values() if names]
    fitting = set.intersection(*(set(names) for names in named)) if named else set()
    procedure_name = fitting.pop() if len(fitting) == 1 else ""
    return NamedVisit(
        procedure_name,
        _named(vocabulary.known("complaints", visit.complaint), visit.complaint, procedure_name),
        _named(found.get("causes", {}), visit.cause, procedure_name),
        _named(found.get("repairs", {}), visit.repair, procedure_name),
    )


def _named(known: Mapping[str, str], typed: str, procedure_name: str) -> _Named:
    """By the heater's own procedure; without one only where all that know it call it the same."""
    ids = {known[procedure_name]} if procedure_name in known else set() if procedure_name else set(known.values())
    return _Named(ids.pop(), None) if len(ids) == 1 else _Named(OTHER, typed)


def job_id_of(door: Door, visit: PastVisit) -> str:
    """The same for the same visit at the same door."""
    told = (visit.complaint, visit.technician, visit.cause, visit.repair, visit.held, visit.note)
    return derived_id(noon_of(visit.day), "job", *door, *told)


def visit_drafts(site_id: str, job_id: str, visit: PastVisit, named: NamedVisit, technician: str) -> list[Draft]:
    """Booked, found, done and closed, all at noon of the day, here. It is never opened: nobody walked a procedure."""
    moment = noon_of(visit.day)
    return [
        {
            "id": derived_id(moment, job_id, kind, str(number)),
            "at_wall": wall_time(noon_here(visit.day)),
            "site_id": site_id,
            "job_id": job_id,
            "kind": kind,
            "body": body,
        }
        for number, (kind, body) in enumerate(_acts(visit, named, technician))
    ]


def _acts(visit: PastVisit, named: NamedVisit, technician: str) -> Iterator[tuple[str, dict[str, Any]]]:
    booked = {
        "complaint": named.complaint.identifier if visit.complaint else NOT_TOLD,
        "complaint_words": named.complaint.words or "",
        "technician_id": NOBODYS_ID,
        "procedure_name": named.procedure_name,
    }
    yield "job_booked", booked
    if technician:
        yield "note", {"words": f"{TECHNICIAN_NOTE}{technician}"}
    if visit.cause:
        yield "cause_named", _body("cause", named.cause)
    if visit.repair:
        yield "repair_made", _body("action", named.repair)
    if visit.note:
        yield "note", {"words": visit.note}
    yield "job_closed", {"state": CLOSE_STATES[visit.held], "words": f"{BROUGHT_IN}; {HELD_WORDS[visit.held]}"}


def _body(key: str, one: _Named) -> dict[str, Any]:
    return {key: one.identifier} | ({"words": one.words} if one.words else {})
