"""Free words that mention gas, an alarm or somebody unwell where the question about it was not answered.

A reminder and nothing else: it decides nothing, ticks nothing and clears nothing. English words only; which words
count is an expert guess. "No smell of gas" is reminded of too: a question asked once more costs a second.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import Literal, TypedDict

    from .procedure_types import Procedure
    from .record_types import Mark, Record

    Question = Literal["smell_of_gas", "co_alarm", "unwell"]

    class Unasked(TypedDict):
        """`check`: the gate's check that answers it, null where the procedure has none."""

        question: Question
        check: str | None
        words: str


# Question, the gate's check that answers it on site, and what is said.
_QUESTIONS = (
    ("smell_of_gas", "smell_of_gas", "The words mention gas: ask."),
    ("co_alarm", "co_room", "The words mention an alarm: ask."),
    ("unwell", "symptoms", "The words mention somebody unwell: ask."),
)
_GAS = ("gas", "propane", "lp", "lpg")
# "Gas" alone is in "gas valve"; with one of these close by it is a smell, or gas where it should not be.
_SMELL = ("smell", "smells", "smelled", "smelt", "smelling", "smelly", "odor", "odors", "odour", "odours", "stink",
          "stinks", "stinking", "stank", "reek", "reeks", "whiff", "leak", "leaks", "leaking", "hiss", "hisses",
          "hissing")  # fmt: skip
_CLOSE_WORDS = 4
_SMELLS_LIKE = ("egg", "eggs", "sulfur", "sulphur")
_ROTTEN = ("rotten", "bad", "rotting")
_ALARM = ("alarm", "alarms", "detector", "detectors", "monoxide", "beep", "beeps", "beeping", "chirping", "siren")
_UNWELL = ("dizzy", "dizziness", "headache", "headaches", "nausea", "nauseous", "nauseated", "vomit", "vomited",
           "vomiting", "fainted", "fainting", "unwell", "sick", "ill", "lightheaded", "woozy", "unconscious",
           "poisoned", "poisoning", "collapsed", "breathe", "breathing", "drowsy")  # fmt: skip
_UNWELL_PAIRS = (("passed", "out"), ("light", "headed"), ("head", "aches"), ("head", "hurts"), ("throwing", "up"),
                 ("threw", "up"))  # fmt: skip
_SMALL, _BIG = "abcdefghijklmnopqrstuvwxyz", "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
# A word of every list above holds one of these; a test holds that.
_STEMS = ("egg", "sul", "beep", "chirp", "siren", "collaps", "breath", "drows", "alarm", "detector", "monoxide", "dizz",
          "headache", "headed", "head ", "naus", "vomit", "faint", "unwell", "sick", " ill", "woozy", "unconscious",
          "poison", "passed", "throwing", "threw")  # fmt: skip
_SMELL_STEMS = ("smel", "odo", "stink", "stank", "reek", "whiff", "leak", "hiss")
_CALL_WORDS = ("since_words", "home_words", "lately_words", "lights_words")


def mentioned_in(words: str) -> list[Question]:
    """The questions that these words touch. Example: "smells gas by the tank" is smell_of_gas, "gas valve" none."""
    small = _small(words)
    said = _split(small) if _may_mention(small) else []
    found = {
        "smell_of_gas": _near(said, _GAS, _SMELL, _CLOSE_WORDS) or _smells_like_gas(said),
        "co_alarm": bool([word for word in said if word in _ALARM]),
        "unwell": bool([word for word in said if word in _UNWELL])
        or bool([at for at in range(len(said) - 1) if (said[at], said[at + 1]) in _UNWELL_PAIRS]),
    }
    return [question for question, _check, _words in _QUESTIONS if found[question]]  # type: ignore[misc]


def _smells_like_gas(said: list[str]) -> bool:
    return _near(said, _ROTTEN, _SMELLS_LIKE, 1) or _near(said, _SMELL, _SMELLS_LIKE, _CLOSE_WORDS)


def words_for(questions: list[Question]) -> list[str]:
    """What is said of them, in the order in which they are asked."""
    return [words for question, _check, words in _QUESTIONS if question in questions]


def unasked(record: Record, procedure: Procedure | None) -> list[Unasked]:
    """Mentioned in the call or in a note, and the question not answered: on the phone, or at the gate since.

    The call's answers count for the call's words, and for what whoever took it had noted before; a note written after
    the gate's answer asks for a new one.
    Range: any record. Source: expert guess. Example: complaint "no hot water, smells gas", nothing asked: smell_of_gas.
    """
    gate = [] if procedure is None else procedure.get("gate") or []
    read = [one["by"]["event_id"] for one in record["heard"]]  # what another one said, as the screen wrote it
    notes = [note for note in record["notes"] if note["by"]["event_id"] not in read]
    mentions = [(note["by"], mentioned_in(note["words"])) for note in notes]
    told = mentioned_in(_told(record))
    found: list[Unasked] = []
    for question, check, words in _QUESTIONS:
        answered = [
            entry["by"]["lamport"]
            for finding in record["checks"]
            if finding["check"] == check
            for entry in finding["entries"]
            if entry["outcome"] is not None
        ]
        last = max([-1] + answered)
        noted = [
            by
            for by, mentioned in mentions
            if by["lamport"] > last and question in mentioned and not _asked_after(record, question, by)
        ]
        called = last < 0 and question in told and not _asked(record, question)
        if noted or called:
            found.append({"question": question, "check": check if check in gate else None, "words": words})  # type: ignore[typeddict-item]
    return found


def _told(record: Record) -> str:
    """All that was written down of the call."""
    told = [record["booked"]["complaint_words"]] if record["booked"] else []
    for call in record["calls"]:
        told += [call[name] or "" for name in _CALL_WORDS]  # type: ignore[literal-required]
    return " . ".join(told)


def _asked(record: Record, question: str) -> bool:
    return bool([call for call in record["calls"] if call[question] != "not_asked"])  # type: ignore[literal-required]


def _asked_after(record: Record, question: str, by: Mark) -> bool:
    """Whoever noted it asked the caller then: on the phone, nobody else can."""
    return bool(
        [
            call
            for call in record["calls"]
            if call[question] != "not_asked"  # type: ignore[literal-required]
            and call["by"]["person_id"] == by["person_id"]
            and call["by"]["lamport"] > by["lamport"]
        ]
    )


def _small(words: str) -> str:
    """In small letters, English ones only: both engines agree on these. Whole strings are what an engine is fast at."""
    for at in range(len(_SMALL)):
        words = words.replace(_BIG[at], _SMALL[at])
    return words


def _may_mention(small: str) -> bool:
    """Whether a look word by word is worth its time: 20 ms for a long note on a phone, and most mention nothing."""
    small = " " + small.replace("\n", " ")
    if [stem for stem in _STEMS if stem in small]:
        return True
    return bool([stem for stem in _GAS if stem in small]) and bool([stem for stem in _SMELL_STEMS if stem in small])


def _split(small: str) -> list[str]:
    """The words of it; whatever is no English letter parts them, and an apostrophe too."""
    found, word = [], ""
    for letter in small + " ":
        if letter in _SMALL:
            word += letter
        elif word:
            found.append(word)
            word = ""
    return found


def _near(said: list[str], some: tuple[str, ...], others: tuple[str, ...], most_apart: int) -> bool:
    here = [at for at in range(len(said)) if said[at] in some]
    there = [at for at in range(len(said)) if said[at] in others]
    return bool([one for one in here for other in there if abs(one - other) <= most_apart])
