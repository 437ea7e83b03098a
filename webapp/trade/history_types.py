"""The shape of a summary of an earlier visit: what was found, what was done, did it hold, what was never measured."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import Literal, TypedDict

    from .advice_types import LookedAgain
    from .events import CloseState

    class FoundLine(TypedDict):
        """A check and what stood for it. Words come from the procedure, or from the ids where it is not at hand."""

        check: str
        part: str | None
        title: str
        words: str
        verdict: Literal["good", "doubtful", "bad"] | None
        state: Literal["answered", "could_not", "contradicted"]

    class DoneLine(TypedDict):
        action: str
        words: str

    class ReadingLine(TypedDict):
        quantity: str
        words: str
        value: float
        unit: str | None
        state: str | None
        place: str | None
        check: str | None

    class PhotoLine(TypedDict):
        sha256: str
        check: str | None
        words: str | None

    class ProofLine(TypedDict):
        """`result`: "none" where no run was made, "doubtful" where it held and clocks or figure say otherwise."""

        result: Literal["passed", "doubtful", "failed", "none"]
        words: str
        minutes: float | None
        suction_before_in_wc: float | None
        suction_hot_in_wc: float | None

    class NeverLine(TypedDict):
        id: str
        words: str

    class CorrectedLine(TypedDict):
        """Noted unsafe, and called a wrong tap or a wrong number by whoever noted it; `now` null: taken back."""

        title: str
        was: str
        wall: str
        now: str | None
        now_wall: str

    class HistoryEntry(TypedDict):
        """One earlier job. `found`: what was not normal, in fold order; `normal`: what was; both as found."""

        job_id: str | None
        booked_wall: str | None
        opened_wall: str | None
        closed_wall: str | None
        close_state: CloseState | None
        complaint_words: str | None
        people: list[str]
        code_words: list[str]
        found: list[FoundLine]
        normal: list[FoundLine]
        looked_again: list[LookedAgain]  # found unsafe, otherwise when looked at again; not shown to be put right
        corrected: list[CorrectedLine]
        could_not: list[FoundLine]
        cause: str | None
        cause_words: str | None
        causes_disagree: bool
        done: list[DoneLine]
        parts: list[str]
        proof: ProofLine
        left_off: list[str]
        notes: list[str]
        never_measured: list[NeverLine]
        never_checked: list[NeverLine]
        readings: list[ReadingLine]
        photos: list[PhotoLine]
        unreadable: int
