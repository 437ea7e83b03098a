"""Whether a heater that somebody noted as put back is so: by what stands in the job before, whatever its procedure."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .co_ladders import least_raised_ppm
from .found_running import says_found_in_service
from .ordering import NEVER, fold_place
from .unmarked import UNMARKED

if TYPE_CHECKING:
    from typing import Any

    from .ordering import FoldPlace
    from .record_types import PutBackNote, Record

# Noted at the heater alone. Booking, moving, a cause, a note, a call or a close may come from the office.
_ON_SITE = (
    "job_opened", "arrived", "code_read", "reading_taken", "photo_taken", "vent_surveyed", "repair_made", "proof_run",
    "left_off", "check_answered", "instrument_carried", "due_out",
)  # fmt: skip

_BARE = (
    "ok", "Ok", "OK", "okay", "Okay", "yes", "Yes", "no", "No", "done", "Done", "fine", "Fine", "good", "Good",
    "x", "X", "-",
)  # fmt: skip
"""As they are typed: case is not the same on both engines beyond ASCII."""
_ASKED = (("who_words", "who put it back", 2), ("when_words", "when", 1), ("work_words", "what was put right", 2))
"""Each with the fewest words that tell it."""


def put_back_counts(
    note: PutBackNote, record: Record, answers: list[tuple[str, Any]], lines: list[tuple[str, Any]]
) -> bool:
    """Whether the note ends what was left off. `record`, `answers`: as they stood before it; `lines`: all of the job.

    Never against one's own unsafe word or an unanswered figure of the room's CO. Whoever was at the heater puts it back
    after a hot run that held, with the room's CO as a number, since it was left off. A word of theirs alone, as an
    older phone took it, ends nothing, and no word that it was found in service does: a heater that was off makes no CO,
    so a clean reading on entry shows nothing. Whoever was not there, as the office, notes who put it back, when, what
    was put right, and the room's CO as they read it after it ran, which no rule set calls raised; less is only a word.
    Range: any lines. Source: trade practice (the tag comes off last), an expert guess as a rule; docs/adr/0203, 0226.
    """
    person_id = note["by"]["person_id"]
    if _found_unsafe(answers, person_id) or _co_not_answered(record, answers, person_id):
        return False
    off = last_left_off(record, note["left_off_ids"])
    if run_held_since(record, off):
        return True
    if says_found_in_service(note["words"]) or _was_there(note, lines):
        return False
    return note["who_words"] is None or not heard_without(note)  # before it asked who, the office's word was enough


def heard_without(note: Any) -> list[str]:
    """What a note of somebody who was not there does not tell, and must, for it to end what was left off.

    Range: any. Example: "ok" for each is without all four. Source: an expert guess as a rule; docs/adr/0226.
    """
    missing = [words for name, words, _fewest in _ASKED if not tells(name, note.get(name))]
    co_room_ppm = note.get("co_room_ppm")
    if co_room_ppm is None:
        missing.append("CO in the room after it ran, as a number")
    elif co_room_ppm < 0 or co_room_ppm >= least_raised_ppm():
        missing.append("CO in the room that no rule set calls raised")
    return missing


def tells(name: str, said: str | None) -> bool:
    """Whether these words tell it: who and what in two words at least, and "ok" is none; a number alone is nobody.

    Range: any words. Example: "Ada Pipe" and "Pipe, 4711" tell who, "ok" does not. Source: an expert guess as a rule.
    """
    text = said or ""
    for mark in ".,;:!?()":
        text = text.replace(mark, " ")
    words = [word for word in text.split(" ") if word and word not in _BARE]
    named = name != "who_words" or bool([word for word in words if not "0" <= word[0] <= "9"])
    return named and len(words) >= [fewest for asked, _words, fewest in _ASKED if asked == name][0]


def last_left_off(record: Record, event_ids: list[str] | None = None) -> FoldPlace:
    """When this job left off the last of these, or of all."""
    named = [one for one in record["left_off"] if event_ids is None or one["by"]["event_id"] in event_ids]
    return max([NEVER] + [fold_place(one["by"]) for one in named])


def run_held_since(record: Record, off: FoldPlace) -> bool:
    """Whether the last hot run came after the last repair and after that, held, and has the room's CO as a number.

    One whose minutes cannot have passed shows nothing here: it is made again, the whole time.
    """
    last = record["proofs"][-1] if proven_since_repair(record) else None
    if last is None or not last["passed"] or last["co_room_ppm"] is None or last["too_soon"] is not None:
        return False
    return fold_place(last["by"]) > off


def proven_since_repair(record: Record) -> bool:
    """Whether the last hot run came after the last repair; without a repair any run did."""
    if not record["proofs"]:
        return False
    return not record["repairs"] or fold_place(record["proofs"][-1]["by"]) > fold_place(record["repairs"][-1]["by"])


def _was_there(note: PutBackNote, lines: list[tuple[str, Any]]) -> bool:
    """By the phone; and by the person who was there or was to go, not from the office, whose clock is 0 off."""
    device_id, person_id = note["by"]["device_id"], note["by"]["person_id"]
    there = [line["by"] for kind, line in lines if kind in _ON_SITE]
    if device_id in [by["device_id"] for by in there]:
        return True
    sent = [line["technician_id"] for kind, line in lines if kind in ("job_booked", "job_moved")]
    return note["by"]["clock_offset"] != 0 and person_id in [by["person_id"] for by in there] + sent


def _co_not_answered(record: Record, answers: list[tuple[str, Any]], person_id: str) -> bool:
    """Whether this person's last figure of the room's CO is over by any rule set, and they have not answered since."""
    read = [one for one in record["readings"] if one["quantity"] == "co_room_ppm"]
    places = [(fold_place(one["by"]), one["value"]) for one in read if one["by"]["person_id"] == person_id]
    for run in record["proofs"]:
        if run["by"]["person_id"] == person_id and run["co_room_ppm"] is not None:
            places.append((fold_place(run["by"]), run["co_room_ppm"]))
    said = [line for check, line in answers if check == "co_room" and line["by"]["person_id"] == person_id]
    answered = [fold_place(line["by"]) for line in said if line["outcome"] is not None]
    if not places or answered and max(answered) > max(places)[0]:
        return False
    return bool(max(places)[1] >= least_raised_ppm())


def _found_unsafe(answers: list[tuple[str, Any]], person_id: str) -> bool:
    """Whether this person's own last word on some check is one that is unsafe: nobody puts back against that."""
    last: dict[str, str] = {}
    for check, line in answers:
        if line["by"]["person_id"] == person_id and line["outcome"] is not None:
            last[check] = line["outcome"]
    return bool([check for check in last if last[check] in UNMARKED.get(check, [])])
