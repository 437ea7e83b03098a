"""What the ids in the figures are called, and in which rows of a table a job counts."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from webapp.sites.event_reading import current_words, words_of_versions
from webapp.sites.procedure_words import as_title, plain_words

if TYPE_CHECKING:
    from collections.abc import Iterable

    from sqlalchemy.orm import Session

    from webapp.audit.cases import Case
    from webapp.sites.procedure_words import ProcedureWords

FAMILY_WORDS = {
    "vent": "The vent",
    "switch": "Pressure switch and its tube",
    "blower": "The blower",
    "power": "Power, wiring and controls",
    "limit": "Limits and an overheated tank",
    "flame": "Ignition and flame signal",
    "gas": "Gas supply",
    "air": "Air and draft",
    "tank": "The tank",
    "millivolts": "Thermocouple, pile and their wiring",
    "pilot": "The pilot",
    "cutoffs": "Cut-outs",
    "control": "The gas control",
    "demand": "Setting, scale and demand",
    "none": "None of the known causes",
}
RUN_WORDS = {
    "held": "Closed with a hot run that held",
    "too_soon": "Closed with a hot run that held, noted too soon to have lasted as long as it says",
    "failed": "Closed after a hot run that did not hold",
    "none": "Closed without a hot run",
}
NOT_NAMED = "no_cause"
BY_WORDS = {
    "repair": "By repair",
    "family": "By the cause that was named",
    "kind": "By kind of heater",
    "run": "By what the hot run said",
}


@dataclass(frozen=True)
class Vocabulary:
    """The words of every procedure version that a job in the store was walked with."""

    versions: dict[str, ProcedureWords]
    current: dict[str, ProcedureWords]
    families: dict[tuple[str | None, str], str]

    def groups_of(self, by: str, case: Case) -> list[str]:
        """The rows of a table in which this job counts: one for each repair, else exactly one."""
        if by == "repair":
            return case.actions
        if by == "family":
            return [self.family_of(case)]
        return [case.kind if by == "kind" else case.hot_run]

    def family_of(self, case: Case) -> str:
        """The family of the cause that was named."""
        if case.cause is None:
            return NOT_NAMED
        return self.families.get((case.procedure_hash, case.cause), "none")

    def words(self, by: str, of: str) -> str:
        """What a row of a table is called."""
        if by == "repair":
            return as_title(self.repair(of))
        if by == "family":
            return "No cause named" if of == NOT_NAMED else FAMILY_WORDS.get(of, as_title(plain_words(of)))
        if by == "run":
            return RUN_WORDS.get(of, of)
        body = self.current[of].body if of in self.current else None
        return str(body["title"]) if body else as_title(plain_words(of)) or "Not known"

    def repair(self, action: str) -> str:
        """A repair in words, from whichever version knows it; the current ones first."""
        if action == "other":
            return "another repair"
        for known in (*self.current.values(), *self.versions.values()):
            said = known.repair(action)
            if said != plain_words(action):
                return said
        return plain_words(action)


def read_vocabulary(session: Session, cases: Iterable[Case]) -> Vocabulary:
    """Read each version once; there are few."""
    hashes = {case.procedure_hash for case in cases if case.procedure_hash}
    names = {case.kind for case in cases if case.kind}
    versions = words_of_versions(session, hashes)
    families: dict[tuple[str | None, str], str] = {}
    for version, known in versions.items():
        for cause in (known.body or {}).get("causes", []):
            families[version, cause["id"]] = cause.get("family", "none")
    return Vocabulary(versions, {name: current_words(session, name) for name in sorted(names)}, families)
