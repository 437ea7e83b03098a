"""From a job's record: a danger that was only looked at again. It stands first, as one that nobody looked at again."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.jobsheet.moments import hour_of
from webapp.jobsheet.plain_checks import answer_words, check_title
from webapp.jobsheet.plain_words import FIRST_LOOKS, sentence
from webapp.jobsheet.sheet import Bullets, Section, Text
from webapp.sites.left_off_told import shown_back
from webapp.sites.looked_again import seen_again
from webapp.trade.looked_again import NO_RUN_SINCE

if TYPE_CHECKING:
    from webapp.jobsheet.sheet import Block
    from webapp.sites.told_job import ToldJob
    from webapp.trade.advice_types import LookedAgain

TITLE = "Found unsafe on this visit, and not shown to be put right"
NOT_KNOWN = "It was otherwise when it was looked at again, and why is not known: it may come back."
NO_RUN = "A repair was noted after it, and no test run has shown that it put this right: it may come back."
NOT_BEFORE = "Do not use the heater before somebody licensed for this work has found why. Ring us."


def not_shown_right(told: ToldJob) -> list[LookedAgain]:
    """What nothing shows to be put right; a heater that was put back in service is told as that."""
    if shown_back(told.record) or told.elsewhere.back:
        return []
    return [one for one in seen_again(told.words.procedure, told.record) if one["is_open"]]


def again_section(told: ToldJob) -> Section | None:
    """In plain words what was found, and that a second look says nothing of why."""
    found = not_shown_right(told)
    if not found:
        return None
    said = [NO_RUN if one["since_words"] == NO_RUN_SINCE else NOT_KNOWN for one in found]
    blocks: list[Block] = [
        Bullets([_line(one, told) for one in found]),
        *(Text(words) for words in dict.fromkeys(said)),
    ]
    return Section(TITLE, [*blocks, Text(NOT_BEFORE, "strong")], danger=True)


def _line(one: LookedAgain, told: ToldJob) -> str:
    """`The room held so much … that had to leave at once (95 ppm, 23:05). Looked at again: … (2 ppm, 23:08).`"""
    found, figures = _plain(one["check"], one["found_words"], told)
    now, later = _plain(one["check"], one["now_words"], told)
    own = f" “{one['now_own_words']}”" if one["now_own_words"] else ""
    first = _with(found, figures, hour_of(one["found_by"]))
    return f"{first} Looked at again: {_with(now, later, hour_of(one['now_by']))}{own}"


def _plain(check: str, said: str, told: ToldJob) -> tuple[str, str]:
    """The answer as a householder understands it, and the figures behind it; of figures alone what they mean."""
    words, procedure = told.words, told.words.procedure
    outcomes = [o["id"] for c in (procedure["checks"] if procedure else []) if c["id"] == check for o in c["outcomes"]]
    trade = sorted(((words.outcome(check, one).words, one) for one in outcomes), key=lambda one: -len(one[0]))
    outcome = next((one for own, one in trade if f"{said}, ".startswith(f"{own}, ")), None)
    if outcome is None:
        return FIRST_LOOKS["co_room", "raised"] if check == "co_room" else check_title(check, words), said
    plain = answer_words(check, outcome, words)
    line = plain if (check, outcome) in FIRST_LOOKS else f"{check_title(check, words)}: {plain}"
    return line, said[len(words.outcome(check, outcome).words) + 2 :]


def _with(line: str, figures: str, at: str) -> str:
    beside = ", ".join(part for part in (figures, at) if part)
    return sentence(f"{line.rstrip('.')} ({beside})" if beside else line)
