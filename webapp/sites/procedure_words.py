"""The words for what a job's events name, from the version of the procedure that the job was walked with."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any, cast

from webapp.trade.history import REASON_WORDS

if TYPE_CHECKING:
    from webapp.trade.procedure_types import Procedure

CLOSE_WORDS = {
    "proven": "repaired, held in the hot run",
    "not_proven": "repaired, not proven",
    "not_seen_today": "fault not seen that day",
    "waiting_part": "waiting for a part",
    "declined": "customer declined the repair",
    "handed_over": "handed over",
    "replaced": "heater replaced",
    "left_off": "left off and tagged",
}
VERDICT_WORDS = {
    "good": "good",
    "doubtful": "doubtful",
    "bad": "bad",
    "cannot_tell": "cannot tell",
    "not_checked": "not checked",
}
UNITS = (
    ("_in_wc", "in. w.c."),
    ("_mohm", "MΩ"),
    ("_ohm", "Ω"),
    ("_v_ac", "V AC"),
    ("_v_dc", "V DC"),
    ("_mv", "mV"),
    ("_v", "V"),
    ("_volts", "V AC"),
    ("_amps", "A"),
    ("_percent", "%"),
    ("_ua", "µA"),
    ("_ppm", "ppm"),
    ("_pct", "%"),
    ("_btu_h", "Btu/h"),
    ("_psi", "psi"),
    ("_pa", "Pa"),
    ("_minutes", "min"),
    ("_seconds", "s"),
    ("_f", "°F"),
    ("_c", "°C"),
    ("_ft", "ft"),
    ("_in", "in."),
)
"""A quantity's unit is the tail of its name; the longer tails stand before those that end like them."""

OWN_NAMES = {
    "feet_per_90": "length that a 90° elbow counts for",
    "feet_per_45": "length that a 45° elbow counts for",
}
"""Lengths in feet whose names do not end in their unit."""

UNIT_SIGNS = {"degF": "°F", "degC": "°C", "ohm": "Ω", "uA DC": "µA DC", "count": ""}
"""How a procedure's unit is printed."""


def plain_words(identifier: str) -> str:
    """An id as words, for when no procedure says it better."""
    return identifier.replace("_", " ").strip()


def inside(words: str) -> str:
    """Behind a colon: small, but for what is written large everywhere (`T&P`, `CO`)."""
    return words[:1].lower() + words[1:] if words[1:2].islower() or words[1:2] == " " else words


def as_title(words: str) -> str:
    """The first letter large: for what stands at the beginning of a line."""
    return words[:1].upper() + words[1:]


def split_unit(quantity: str) -> tuple[str, str]:
    """`suction_hot_in_wc` → `suction hot`, `in. w.c.`; no unit where the tail is none we know."""
    if quantity in OWN_NAMES:
        return OWN_NAMES[quantity], "ft"
    for tail, unit in UNITS:
        if quantity.endswith(tail) and len(quantity) > len(tail):
            return plain_words(quantity.removesuffix(tail)), unit
    return plain_words(quantity), ""


def number_words(value: object) -> str:
    """A number as a person reads it: at most six figures, no trailing zeros."""
    if isinstance(value, bool) or not isinstance(value, (int, float)):
        return "unreadable"
    return f"{value:.6g}".replace("-", "\u2212")


OF_ANY_KIND = {"water_leak": "Water where it should not be", "not_told": "Not said: they hung up"}
"""What is called about and is no complaint of a procedure."""


@dataclass(frozen=True)
class Said:
    """Words and the verdict that stands beside them."""

    words: str
    verdict: str | None = None

    @property
    def verdict_words(self) -> str:
        """The verdict as a word; never the colour alone."""
        return VERDICT_WORDS.get(self.verdict or "", "")


@dataclass(frozen=True)
class ProcedureWords:
    """Looks ids up in one compiled procedure; without one, ids are shown as words."""

    body: dict[str, Any] | None
    checks: dict[str, dict[str, Any]] = field(init=False)

    def __post_init__(self) -> None:
        """Index the checks once: a timeline asks for many."""
        checks = (self.body or {}).get("checks", [])
        object.__setattr__(self, "checks", {check["id"]: check for check in checks})

    @property
    def procedure(self) -> Procedure | None:
        """The same for the rules of the trade."""
        return cast("Procedure | None", self.body)

    @property
    def known(self) -> bool:
        """False when the version that the job was walked with is not in this store."""
        return self.body is not None

    def _words(self, kind: str, identifier: str) -> str:
        entries = (self.body or {}).get(kind, [])
        return next((entry["words"] for entry in entries if entry["id"] == identifier), plain_words(identifier))

    def kind_of(self, procedure_name: str) -> str:
        """The kind of heater that this procedure is for; its name in words where another one is read here."""
        body = self.body or {}
        return inside(str(body["kind_words"])) if body.get("name") == procedure_name else plain_words(procedure_name)

    def check(self, check_id: str) -> str:
        """What a check is called."""
        found = self.checks.get(check_id)
        return str(found["title"]) if found else as_title(plain_words(check_id))

    def reads_code(self, check_id: str) -> bool:
        """Whether a check is answered by what the control showed, which is told by itself."""
        return self.checks.get(check_id, {}).get("from_event") == "code_read"

    def outcome(self, check_id: str, outcome_id: str | None) -> Said:
        """An answer in words, with its verdict."""
        if outcome_id is None:
            return Said("not answered", "not_checked")
        outcomes = self.checks.get(check_id, {}).get("outcomes", [])
        found = next((outcome for outcome in outcomes if outcome["id"] == outcome_id), None)
        return Said(found["words"], found["verdict"]) if found else Said(plain_words(outcome_id))

    def reading(self, check_id: str | None, quantity: str) -> tuple[str, str]:
        """What a quantity is called, and its unit; without a check, as the first one that reads it calls it."""
        name, unit = split_unit(quantity)
        checks = [self.checks.get(check_id, {})] if check_id else self.checks.values()
        readings = [reading for check in checks for reading in check.get("readings", [])]
        found: dict[str, Any] = next((reading for reading in readings if reading["quantity"] == quantity), {})
        written = str(found.get("unit", unit))
        return str(found.get("words", as_title(name))), UNIT_SIGNS.get(written, written)

    def asking(self, quantity: str) -> str:
        """What the first check that asks for a number is called; empty where none does."""
        asking = (
            check["title"]
            for check in self.checks.values()
            if any(reading["quantity"] == quantity for reading in check.get("readings", []))
        )
        return str(next(asking, ""))

    def cause(self, cause_id: str) -> str:
        """A cause in words."""
        return "another cause" if cause_id == "other" else self._words("causes", cause_id)

    def repair(self, repair_id: str) -> str:
        """A repair in words."""
        return "another repair" if repair_id == "other" else self._words("repairs", repair_id)

    def complaint(self, complaint_id: str) -> str:
        """A complaint in words."""
        return OF_ANY_KIND.get(complaint_id) or self._words("complaints", complaint_id)

    def closing_look(self, look_id: str) -> str:
        """A closing look in words."""
        return self._words("closing_looks", look_id)


def could_not(reason: str | None) -> Said:
    """Why a check was not done."""
    verdict = "cannot_tell" if reason == "cannot_tell" else "not_checked"
    return Said(REASON_WORDS.get(reason or "", plain_words(reason or "no reason given")), verdict)
