"""How this job can be closed now, and why not otherwise. An unsafe heater is never left running as "not proven"."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .bodies import CLOSE_STATES
from .elsewhere import for_this_heater, not_beside, still_found
from .findings import last_said
from .found_running import MAY_RUN, NOT_BACK, found_running
from .gate import fire_needs, stops, unmet
from .looked_again import looked_again, looked_again_words
from .not_looked import not_looked_words
from .off_before import STANDS_OFF, off_before, stands_off_before
from .ordering import NEVER, fold_place
from .proof import proof_due, proof_holds
from .put_back import not_shown_safe
from .put_back_counts import proven_since_repair
from .run_time import asks_why
from .standing import as_it_stands, findings_of, last_place, parted_since, standing
from .unmarked import is_safe, is_unsafe

if TYPE_CHECKING:
    from typing import Any

    from .advice_types import CloseOffer
    from .gate import Findings
    from .procedure_types import Check, Need, Procedure
    from .record_types import CheckFinding, Record

# A heater that runs, or may be switched on by whoever comes next.
RUNNING = ("proven", "not_proven", "not_seen_today")


def close_states(
    procedure: Procedure, record: Record, elsewhere: list[Any] | None = None, found: list[Any] | None = None
) -> list[CloseOffer]:
    """Every close state, whether it is offered now, and why or why not.

    While something unsafe stands, or the burner may not be fired for what was found, only "left off", or "handed over"
    with the heater off; what another visit `found` asks for a new look first. What was unsafe, and was only looked at
    again, is no end with a heater that runs either. "Proven" needs the proof of the named
    cause: a run that held and every compulsory look; "not seen today" all that must stand before fire. The others say
    which looks for safety were not made. `asks_words`: a run noted too soon proves nothing unless somebody says why.
    Range: any record. Example: a parted joint offers "left off" alone. Source: trade practice (docs/trade.md).
    """
    unsafe = unsafe_words(procedure, record)
    off_here = stands_off_before(off_before(record, elsewhere or []))
    raw = findings_of(procedure, record)
    here = for_this_heater(still_found(procedure, record, raw, found) if found else [])
    again = looked_again_words(looked_again(procedure, record, raw))
    off = off_here or record["heater_off"]
    gaps = "" if off or unsafe else not_looked_words(procedure, record)  # what is unsafe is said itself
    running = MAY_RUN if found_running(record) else ""
    offers: list[CloseOffer] = []
    for state in CLOSE_STATES:
        refusal = _unsafe_or_off(record, state, unsafe, off_here=off_here) or not_beside(state, here)
        if refusal is None and state in RUNNING:
            refusal = (
                _only_looked_again(again) or not_shown_safe(procedure, record) or _not_so(procedure, record, state)
            )
        words = refusal or _offer_words(procedure, record, state, elsewhere or [])
        if refusal is None and state != "left_off" and off:
            words = "Say which part." if state == "waiting_part" else words  # it does not run meanwhile
            words += " " + (running or "What was left off stands off until it is put back.")
        elif refusal is None and state != "left_off" and (running or gaps):
            words += " " + (running or gaps)
        if refusal is None and state != "left_off" and again:
            words += " " + again
        asks = asks_why(record) if refusal is None and state == "proven" else None
        offers.append({"state": state, "offered": refusal is None, "why_words": words, "asks_words": asks})  # type: ignore[typeddict-item]
    return offers


def unsafe_words(procedure: Procedure, record: Record) -> list[str]:
    """What makes the heater unsafe to leave running now: outcomes marked so, and what keeps the burner from firing.

    One person's unsafe finding stands against another's all-clear. Looked at again after the repair, the new answer
    counts. What nobody answered yet is not unsafe, only not known; but what was opened today is looked at again.
    """
    raw = findings_of(procedure, record)
    now = standing(procedure, record, raw)
    found = unsafe_found(procedure, raw, now)
    titles = {check["id"]: check["title"] for check in procedure["checks"]}
    for need in fire_needs(procedure):
        finding = as_it_stands(need["check"], raw, now)
        broken = finding is not None and [one for one in last_said(finding) if one not in need["outcomes"]]
        if broken and not [words for words in found if words.startswith(titles[need["check"]] + ":")]:
            found.append("Not so now: " + need["words"])
    return found + ["Not seen again since the vent was parted: " + words for words in parted_since(procedure, record)]


def unsafe_found(procedure: Procedure, raw: Findings, now: Findings) -> list[str]:
    """What was found that is marked unsafe and stands: said on every screen from the moment it is answered."""
    found: list[str] = []
    for check, finding in _as_they_stand(procedure, raw, now):
        found += [words for words in _unsafe_outcomes(check, finding) if words not in found]
    return found


def put_right_first(procedure: Procedure, record: Record, raw: Findings, now: Findings) -> list[Need]:
    """What was found unsafe and stands, as something that must be otherwise before any burner runs.

    `may_fire` names what is always looked at first; a plugged intake or CO in the flue keeps the burner off as well. A
    repair noted since lets it be fired again, or two such findings could each wait for the other's new test. What
    stops the visit, such as somebody unwell, no repair puts right: it is looked at anew. Range: any record.
    Source: trade practice, as what is marked unsafe; an expert guess.
    """
    repaired = max([NEVER] + [fold_place(repair["by"]) for repair in record["repairs"]])
    needs: list[Need] = []
    for check, finding in _as_they_stand(procedure, raw, now):
        said = last_said(finding)
        found = [outcome for outcome in check["outcomes"] if outcome["id"] in said and not is_safe(check, outcome)]
        if not found or (last_place(finding) < repaired and not stops(check, finding)):
            continue
        safe = [outcome["id"] for outcome in check["outcomes"] if is_safe(check, outcome)]
        words = "Put right first: " + check["title"] + ": " + found[0]["words"]
        needs.append({"check": check["id"], "outcomes": safe, "words": words, "if_answered": True})
    return needs


def _as_they_stand(procedure: Procedure, raw: Findings, now: Findings) -> list[tuple[Check, CheckFinding]]:
    """Every check of which something was found."""
    found = [check for check in procedure["checks"] if check["id"] in raw or check["id"] in now]
    stand = [(check, as_it_stands(check["id"], raw, now)) for check in found]
    return [(check, finding) for check, finding in stand if finding is not None]


def _unsafe_outcomes(check: Check, finding: CheckFinding) -> list[str]:
    said = last_said(finding)
    return [
        check["title"] + ": " + outcome["words"]
        for outcome in check["outcomes"]
        if outcome["id"] in said and is_unsafe(check, outcome)
    ]


def _unsafe_or_off(record: Record, state: str, unsafe: list[str], *, off_here: bool) -> str | None:
    """What comes before every other reason."""
    if state == "left_off":
        return None
    if unsafe:
        if state == "handed_over":
            return None if record["heater_off"] else "Leave it off and tagged first. " + unsafe[0] + "."
        return "Unsafe now: " + "; ".join(unsafe) + ". Leave it off and tag it."
    return _stands_off(record, off_here=off_here) if state in RUNNING else None


def _only_looked_again(again: str) -> str | None:
    """Whatever made it unsafe may be there still."""
    return again + " Note that and make the hot run, or leave it off." if again else None


def _stands_off(record: Record, *, off_here: bool) -> str | None:
    """No heater that stands off is closed as one that runs, whichever visit left it off."""
    if off_here and found_running(record):
        return NOT_BACK
    if record["heater_off"]:
        return "The heater is off and tagged: put it back in service first."
    return STANDS_OFF if off_here else None


def _not_so(procedure: Procedure, record: Record, state: str) -> str | None:
    """What the record bears no such end with; what stops a visit bears none, also where it is not unsafe in itself."""
    raw = findings_of(procedure, record)
    stopped = put_right_first(procedure, record, raw, standing(procedure, record, raw))
    if stopped:
        return "Still missing: " + "; ".join([need["words"] for need in stopped]) + "."
    if state == "proven":
        return _unproven(procedure, record)
    if state == "not_proven":
        return None if record["repairs"] else "Nothing was repaired, so there is nothing to prove."
    return "Something was repaired: proven or not proven." if record["repairs"] else _unwatched(procedure, record)


def _unwatched(procedure: Procedure, record: Record) -> str | None:
    """Nobody has watched it run where the burner may not be fired yet."""
    missing = unmet(fire_needs(procedure), standing(procedure, record, findings_of(procedure, record)))
    return "Still missing: " + "; ".join([need["words"] for need in missing]) + "." if missing else None


def _unproven(procedure: Procedure, record: Record) -> str | None:
    if not record["proofs"]:
        return "No hot run yet."
    if not proven_since_repair(record):
        return "Something was repaired after the last hot run: make it again."
    if not record["proofs"][-1]["passed"]:
        return "The last hot run did not hold."
    missing = proof_due(procedure, record)["missing"]
    if missing:
        return "Still missing: " + "; ".join(missing) + "."
    judged = proof_holds(procedure, record)
    return judged["why_words"] if judged["passed"] is False else None


def _offer_words(procedure: Procedure, record: Record, state: str, elsewhere: list[Any]) -> str:
    if state == "proven":
        judged = proof_holds(procedure, record, elsewhere=elsewhere)
        return judged["why_words"] if judged["passed"] else "It held. " + judged["why_words"]
    if state == "left_off":
        return "Off and tagged stands in the record." if record["heater_off"] else "Note first what, why, who was told."
    return _WORDS[state]


_WORDS = {
    "not_proven": "Repaired, and not shown to hold: say what is missing.",
    "not_seen_today": "It did not fail while you were here: say what you watched, and for how long.",
    "waiting_part": "Say which part, and whether the heater runs meanwhile.",
    "declined": "Say what was offered and what the customer answered.",
    "handed_over": "Say to whom, and what they were told.",
    "replaced": "Say what was set, and that its own looks are done.",
}
