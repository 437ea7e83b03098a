"""Addresses that came back, and one question each: asked of the record, never of a person.

Which question is asked first is an expert guess: what was changed unread comes before what was done twice.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from webapp.audit.cases import DAY_S
from webapp.trade.history import REASON_WORDS, never_measured

if TYPE_CHECKING:
    from collections.abc import Iterable

    from webapp.audit.cases import Case
    from webapp.sites.procedure_words import ProcedureWords

ADDRESSES_ASKED = 5
VISITS_TOLD = 4
LOOKED_BACK_DAYS = 365
COUNT_WORDS = ("No", "One", "Two", "Three", "Four", "Five", "Six", "Seven", "Eight", "Nine")
UNREAD_PART = {
    "new_switch": "its suction was never measured before",
    "new_blower": "neither its amps, its wheel nor the suction with the vent parted was looked at before",
    "new_couple": "its millivolts were never read before",
    "new_control": "what goes in and comes out of it was never read before",
    "new_igniter": "its ohms were never read before",
    "new_probe": "its ohms were never read before",
    "new_limit": "its ohms were never read before",
    "new_tco": "its ohms were never read before",
}


@dataclass(frozen=True)
class Told:
    """One visit of a returning address, with its record and the words for it."""

    case: Case
    record: dict[str, Any]
    words: ProcedureWords

    def repair(self, action: str) -> str:
        """A repair as it reads inside a sentence."""
        said = self.words.repair(action)
        return said[:1].lower() + said[1:]


def returning_chains(cases: Iterable[Case], now_s: int) -> list[list[Case]]:
    """The visits of each address to ask about, oldest first: most return visits of a year first, then the latest."""
    returns: dict[str, list[Case]] = defaultdict(list)
    for case in cases:
        if case.before is None or case.before.why_out:
            continue
        if (case.rung_at_s or 0) >= now_s - LOOKED_BACK_DAYS * DAY_S:
            returns[case.group_id].append(case)
    latest = {group: max(found, key=lambda case: case.rung_at_s or 0) for group, found in returns.items()}
    order = sorted(returns, key=lambda group: (-len(returns[group]), -(latest[group].rung_at_s or 0), group))
    return [_chain(latest[group]) for group in order[:ADDRESSES_ASKED]]


def _chain(last: Case) -> list[Case]:
    found = [last]
    while found[-1].before is not None:
        found.append(found[-1].before)
    return found[::-1]


def ask(chain: list[Told], visits: int) -> str:
    """The question. `chain`: the last of the visits, oldest first; `visits`: how many there were in all."""
    head = _head(chain, visits)
    closed = [told for told in chain if told.case.state == "closed"]
    for question in (
        _changed_unread(closed),
        _done_again(closed),
        _in_vain(closed),
        _not_proved(chain),
        _causes(closed),
        _unmeasured(closed),
    ):
        if question:
            return f"{head}; {question}"
    if chain[-1].case.state != "closed":
        return f"{head}. What should this visit look at that the one before did not?"
    return f"{head}. What was different the second time?"


def _head(chain: list[Told], visits: int) -> str:
    made = visits if chain[-1].case.state == "closed" else visits - 1
    count = COUNT_WORDS[made] if made < len(COUNT_WORDS) else str(made)
    days = round(((chain[-1].case.rung_at_s or 0) - (chain[0].case.rung_at_s or 0)) / DAY_S)
    complaint = chain[0].words.complaint(chain[0].case.complaint)
    within = f" in {days} days" if days > 1 else " within a day or so"
    called = "" if made == visits else " and another call"
    return f"{count} {'visit' if made == 1 else 'visits'}{called}{within} for “{_small(complaint)}”"


def _times(count: int, of: int) -> str:
    if count == of > 1:
        return "both times" if of == 2 else "each time"
    return f"{COUNT_WORDS[count].lower()} times" if 1 < count < len(COUNT_WORDS) else "once"


def _changed_unread(closed: list[Told]) -> str:
    found = Counter(part for told in closed for part, why in told.case.unread if why == "not_read")
    if not found:
        return ""
    part, times = found.most_common(1)[0]
    told = next(told for told in closed if (part, "not_read") in told.case.unread)
    return f"{told.repair(part)} {_times(times, len(closed))}, and {UNREAD_PART[part]}. What was not looked at?"


def _done_again(closed: list[Told]) -> str:
    found = Counter(action for told in closed for action in told.case.actions if action != "other")
    if not found or found.most_common(1)[0][1] < 2:
        return ""
    action, times = found.most_common(1)[0]
    told = next(told for told in closed if action in told.case.actions)
    return f"{told.repair(action)} {_times(times, len(closed))}. What brings the fault back?"


def _in_vain(closed: list[Told]) -> str:
    """A check that was tried on each visit and never answered."""
    if len(closed) < 2:
        return ""
    tried = [{one["check"]: one for one in told.record["checks"] if one["state"] == "could_not"} for told in closed]
    for check, one in tried[0].items():
        if all(check in other for other in tried[1:]):
            why = REASON_WORDS.get(one["could_not"] or "", "no reason given")
            return f"“{closed[0].words.check(check)}” could not be checked on any of them ({why}). What would it take?"
    return ""


def _not_proved(chain: list[Told]) -> str:
    before = chain[-2].case if len(chain) > 1 else None
    if before is None or before.why_out:
        return ""
    if before.hot_run == "none":
        return "no hot run stands recorded after the repair. Would one have shown it?"
    if before.hot_run == "too_soon":
        return "by the clock the hot run cannot have lasted as long as it says. Was it run to its end?"
    if before.hot_run == "failed":
        return "the hot run after the repair did not hold. What was still open that day?"
    return ""


def _causes(closed: list[Told]) -> str:
    named = [(told.words.cause(told.case.cause), told.case.cause) for told in closed if told.case.cause]
    if len(named) < 2:
        return ""
    (first, first_id), (last, last_id) = named[-2], named[-1]
    if first_id == last_id:
        return f"the same cause was named again ({_small(last)}). What makes it come back?"
    if len(named) > 2:
        said = f"the last visit but one named “{_small(first)}”, the last “{_small(last)}”"
    else:
        said = f"first “{_small(first)}” was named, then “{_small(last)}”"
    return f"{said}. Which finding tells the two apart?"


def _unmeasured(closed: list[Told]) -> str:
    missing = [{line["id"]: line["words"] for line in _never(told)} for told in closed]
    for quantity, words in missing[0].items() if missing else ():
        if all(quantity in other for other in missing[1:]):
            return f"none of them has a reading of “{_small(words)}”. What would it say?"
    return ""


def _never(told: Told) -> Any:
    return never_measured(told.words.procedure, told.record)  # type: ignore[arg-type]  # the fold as it was stored


def _small(words: str) -> str:
    return words[:1].lower() + words[1:]
