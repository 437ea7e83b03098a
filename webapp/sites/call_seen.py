"""What was asked on the phone, as it is read later; what was not asked is said as such."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from webapp.sites.clock import date_words
from webapp.sites.office_event_words import ANSWER_WORDS, ASKED_WORDS, SAID_WORDS
from webapp.sites.phrases import joined, quoted
from webapp.sites.procedure_words import as_title, plain_words

if TYPE_CHECKING:
    from collections.abc import Mapping

    from webapp.sites.procedure_words import ProcedureWords
    from webapp.trade.record_types import CallNote, CheckFinding

ALARMS = ("smell_of_gas", "co_alarm", "unwell")
CALLED_FOR = {"smell_of_gas": "gas_out", "co_alarm": "co_out", "unwell": "co_out", "water_leak": "water_away"}
LOOKED_INTO = {"smell_of_gas": "smell_of_gas", "unwell": "symptoms"}
"""Which check of the gate asks on site what was asked on the phone. A CO alarm has none: a meter answers it."""
CallLine = tuple[str, str]


def alarm_words(call: CallNote | None) -> str:
    """`smell of gas, CO alarm (not sure)`: what the caller did not say no to; empty where nothing of the kind."""
    if call is None:
        return ""
    said = [(ASKED_WORDS[name], call[name]) for name in ALARMS]  # type: ignore[literal-required]
    marks = {"yes": "", "unsure": " (not sure)"}
    return ", ".join(words + marks[answer] for words, answer in said if answer in marks)


def calls_alarm(calls: list[CallNote]) -> str:
    """The same over each person's last word: what one of them heard stands against another's all-clear."""
    last = {call["by"]["person_id"]: call for call in calls}
    return ", ".join(dict.fromkeys(words for call in last.values() if (words := alarm_words(call))))


@dataclass(frozen=True)
class Otherwise:
    """A question to which the caller did not say no, and whoever was there noted that all is well."""

    asked: str
    """`anybody unwell`."""
    answer: str
    """What the caller said: `yes`, `not sure`."""
    check: str
    outcome: str


def seen_otherwise(
    calls: list[CallNote], findings: Mapping[str, CheckFinding], words: ProcedureWords
) -> list[Otherwise]:
    """Where caller and site differ so: nobody may overlook that.

    Both may be right: people feel better once they are out, a smell drifts away. It is told, not judged.
    """
    told = []
    for name, check in LOOKED_INTO.items():
        said = {call["by"]["person_id"]: call[name] for call in calls}  # type: ignore[literal-required]
        answer = next((one for one in ("yes", "unsure") if one in said.values()), None)
        outcome = findings[check]["outcome"] if check in findings else None
        if answer and outcome and words.outcome(check, outcome).verdict == "good":
            told.append(Otherwise(ASKED_WORDS[name], ANSWER_WORDS[answer], check, outcome))
    return told


def otherwise_words(one: Otherwise, noted: str) -> str:
    """The same in a line, with what was noted on site in the words of whoever shows it."""
    return f"{as_title(one.asked)}: the caller said {one.answer}, on site was noted: {noted}."


def otherwise_on_site(calls: list[CallNote], findings: Mapping[str, CheckFinding], words: ProcedureWords) -> list[str]:
    """A line for each, in the office's words."""
    told = seen_otherwise(calls, findings, words)
    return [otherwise_words(one, words.outcome(one.check, one.outcome).words) for one in told]


def call_lines(call: CallNote | None) -> list[CallLine]:
    """Heading and words, in the order in which it was asked."""
    if call is None:
        return []
    asked = [f"{ASKED_WORDS[name]}: {ANSWER_WORDS[call[name]]}" for name in ASKED_WORDS]  # type: ignore[literal-required]
    resets = call["resets_tried"]
    lines = [
        ("Asked", " · ".join(asked)),
        ("Said to the caller", _said(call)),
        ("No hot water since", joined(date_words(call["no_hot_water_since"]), quoted(call["since_words"]))),
        ("At home", call["home_words"] or ""),
        ("Lately", joined(", ".join(plain_words(one) for one in call["lately"]), quoted(call["lately_words"]))),
        ("The lights", call["lights_words"] or ""),
        ("Resets tried by the household", "" if resets is None else str(resets)),
    ]
    return [(heading, words) for heading, words in lines if words]


def unsaid(calls: list[CallNote]) -> list[str]:
    """The words that an answer called for and that nobody, in any of these calls, marked as said."""
    said = {one for call in calls for one in call["said"]}
    wanted = [CALLED_FOR[name] for call in calls for name in CALLED_FOR if call[name] in ("yes", "unsure")]  # type: ignore[literal-required]
    return [SAID_WORDS[one] for one in dict.fromkeys(wanted) if one not in said]


def _said(call: CallNote) -> str:
    """What is marked as said; and, where an answer called for words, that nobody marked them."""
    said = [SAID_WORDS.get(one, plain_words(one)) for one in call["said"]]
    return "; ".join(said + [f"not marked as said: {words}" for words in unsaid([call])])
