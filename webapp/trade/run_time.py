"""Whether a hot run can have lasted as long as it says, by when it was noted. A clock may be wrong: it is only said."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .moments import moment_ms

if TYPE_CHECKING:
    from typing import Any

    from .record_types import Mark, ProofNote, Record, TooSoon

# Whoever counts ten minutes may note them after nine and a half.
GRACE_MINUTES = 1.0
# What the phone puts before the words of a close that say it.
WHY_IT_COUNTS = "Why the run counts: "


def too_soon(run: ProofNote, record: Record, unsafe: Mark | None = None) -> TooSoon | None:
    """What stands in the record less than the run's own minutes before it; null where nothing does, or no clock tells.

    `record`: as it stood before the run. It began after the last repair, after the run before it, after somebody was
    there, after it was left off, and after something `unsafe` was said last. Minutes are those of one phone's own
    clock; of two phones only where both know the server's. A clock that went back tells nothing.
    Example: ten minutes noted 2 min after the repair: `{"since": "repair", "minutes": 2.0}`.
    Range: any record. Source: arithmetic; that a minute is forgiven is an expert guess.
    """
    found: list[TooSoon] = []
    arrived = record["arrivals"][-1] if record["arrivals"] else record["opened"]
    lines = (
        ("repair", _last(record["repairs"])),
        ("run", _last(record["proofs"])),
        ("arrival", arrived),
        ("left_off", _last(record["left_off"])),
    )
    marks = [(since, line["by"]) for since, line in lines if line is not None]
    for since, by in marks + ([("unsafe", unsafe)] if unsafe is not None else []):
        minutes = _minutes_between(by, run["by"])
        if minutes is not None and 0 <= minutes < run["minutes"] - GRACE_MINUTES:
            found.append({"since": since, "minutes": minutes})  # type: ignore[typeddict-item]
    least = min([one["minutes"] for one in found], default=None)
    return [one for one in found if one["minutes"] == least][0] if found else None


def too_soon_words(soon: TooSoon, minutes: float) -> str:
    """Example: "Noted 2 min after the repair: 10 minutes cannot have passed."""
    passed = int(soon["minutes"])
    when = "less than a minute" if passed < 1 else str(passed) + " min"
    what = {
        "repair": "the repair",
        "run": "the run before it",
        "arrival": "the visit began",
        "left_off": "the heater was left off",
        "unsafe": "something unsafe was found",
    }[soon["since"]]
    return "Noted " + when + " after " + what + ": " + str(int(minutes)) + " minutes cannot have passed."


def asks_why(record: Record) -> str | None:
    """What to ask whoever closes by the last run as proven, where the clocks speak against its minutes; else null.

    Example: "10 minutes cannot have passed since the repair was noted: say why it still counts." Range: any record.
    """
    last = record["proofs"][-1] if record["proofs"] else None
    soon = last["too_soon"] if last else None
    if last is None or soon is None:
        return None
    what = {
        "repair": "the repair was noted",
        "run": "the run before it was noted",
        "arrival": "the visit began",
        "left_off": "the heater was left off",
        "unsafe": "something unsafe was found",
    }
    return (
        str(int(last["minutes"]))
        + " minutes cannot have passed since "
        + what[soon["since"]]
        + ": say why it still counts."
    )


def why_it_counts(words: str | None) -> str | None:
    """What was said at the close, first of its words. Example: "Why the run counts: typed late" → "typed late"."""
    return words[len(WHY_IT_COUNTS) :] if words and words.startswith(WHY_IT_COUNTS) else None


def _last(lines: list[Any]) -> Any:
    return lines[-1] if lines else None


def _minutes_between(before: Mark, after: Mark) -> float | None:
    same_phone = before["device_id"] == after["device_id"]
    if not same_phone and None in (before["clock_offset"], after["clock_offset"]):
        return None
    first, then = moment_ms(before), moment_ms(after)
    if first is None or then is None:
        return None
    if same_phone:  # its clock as it was, whatever it has learned of the server's meanwhile
        first, then = first - (before["clock_offset"] or 0), then - (after["clock_offset"] or 0)
    return (then - first) / 60000.0
