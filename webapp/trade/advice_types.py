"""The shapes of what the rules say back: the ranking, and the advice after each answer."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import Literal, TypedDict

    from .events import CloseState
    from .procedure_types import Sense
    from .record_types import Mark, Record
    from .said_words import Unasked

    class Evidence(TypedDict):
        """A check that was answered, and its outcome."""

        check: str
        outcome: str

    class RankedCause(TypedDict):
        """`p` is the raw probability; `p_shown` is what a screen may say (at most 0.95 until a proof run has passed).

        `by`: the outcomes that moved it most, strongest first.
        """

        cause: str
        p: float
        p_shown: float
        state: Literal["possible", "ruled_out", "likely"]
        by: list[Evidence]

    class Fit(TypedDict):
        """How well the findings agree with the best single cause. `look_again`: checks that fit it worst."""

        z: float
        strained: bool
        none_p: float
        look_again: list[str]

    class Ranking(TypedDict):
        causes: list[RankedCause]
        entropy_bits: float
        fit: Fit
        used: list[Evidence]
        ignored: list[Evidence]

    class GateAdvice(TypedDict):
        state: Literal["open", "passed", "stopped"]
        next_check: str | None
        stop_words: str | None

    class NextCheck(TypedDict):
        check: str
        why_words: str

    class SenseLeft(TypedDict):
        sense: Sense
        count: int

    class MayFire(TypedDict):
        ok: bool
        missing: list[str]

    class Conclude(TypedDict):
        """`cause` is the one to name or repair first, null where a second pair of hands is worth more.

        `held`: nothing is likely, and this keeps the burner from running, which would tell more.
        """

        ready: bool
        why_words: str
        cause: str | None
        held: list[str]

    class Blocked(TypedDict):
        check: str
        missing_words: list[str]

    class OffBefore(TypedDict):
        """Left off at another visit and not put back. `other_heater`: both jobs described one each, not the same."""

        event_id: str
        wall: str
        what_words: str
        why_words: str
        other_heater: bool

    class FoundElsewhere(TypedDict):
        """Found unsafe at another visit that is not closed, as "Title: outcome, figure"; `stop_words` where it stops.

        `at_ms`: by the server's clock, null where the time cannot be read. `repaired`: a repair was noted after it.
        `appliance_ids`: the heaters that its job described.
        """

        event_id: str
        job_id: str | None
        check: str
        words: str
        stop_words: str | None
        person_id: str
        wall: str
        at_ms: int | None
        repaired: bool
        appliance_ids: list[str]

    class LookedAgain(TypedDict):
        """Found unsafe on this visit, and otherwise when the same person looked at it again.

        `found_words`: "Leave now, 90 ppm". `was_words`: "CO in the room was 90 ppm". `now_own_words`: what was said
        beside the second look, as what was shut meanwhile. `is_open`: nothing shows that it was put right;
        `since_words`: what is, or is not, noted since.
        """

        check: str
        title: str
        found_words: str
        found_by: Mark
        was_words: str
        now_words: str
        now_own_words: str | None
        now_by: Mark
        is_open: bool
        since_words: str

    class FoundBefore(FoundElsewhere):
        """As it stands for a job. `look`: its check that answers it, null: none; `other_heater`: it is only said."""

        look: str | None
        other_heater: bool

    class Lifted(TypedDict):
        """This person's unsafe word, and whose look it is that lifted it: null where somebody came, and has not looked.

        `found_words`: "Leave now, 90 ppm"; `unsafe_words`: as in `unsafe`; `repaired`: a repair was noted since.
        """

        check: str
        title: str
        found_words: str
        found_by: Mark
        unsafe_words: str
        stop_words: str | None
        now_words: str | None
        now_own_words: str | None
        now_by: Mark | None
        repaired: bool

    class PutBackAdvice(TypedDict):
        """Whether a heater that stands off may be put back; `found_words`: found in service, what to do at once.

        `asks_words`: open, and nobody has noted what made it safe: who put it right goes with it then.
        """

        ok: bool
        missing: list[str]
        found_ok: bool
        found_words: str | None
        asks_words: str | None

    class ByFigure(TypedDict):
        """An answer that its own figures exclude, and what it counts as."""

        check: str
        words: str

    class WalkAdvice(TypedDict):
        gate: GateAdvice
        next: NextCheck | None
        left: list[SenseLeft]
        may_fire: MayFire
        ranking: list[RankedCause]
        fit: Fit
        conclude: Conclude
        blocked: list[Blocked]
        available: list[str]
        aside: list[str]
        unasked: list[Unasked]  # free words mention it, and nobody has answered the question
        unsafe: list[str]  # "Title: outcome" of what was found unsafe and stands
        off_before: list[OffBefore]  # what other visits left off, and nobody put back
        elsewhere: list[FoundBefore]  # what other visits found unsafe, and this one has not looked at since
        looked_again: list[LookedAgain]  # found unsafe here and otherwise since; nothing shows that it was put right
        lifted: list[Lifted]  # for whom it is asked: what they found unsafe, and have not heard that it was lifted
        by_figure: list[ByFigure]
        put_back: PutBackAdvice

    class ProofDue(TypedDict):
        """The proof that the named cause asks for, and what is still missing from it.

        `before` is the last reading of `quantity` before the repair, `before_state` whether it was read cold or hot;
        `limit` is the maker's figure typed for it. `looks`: compulsory closing looks, with those that this visit adds.
        """

        proof: str
        cause: str | None
        words: str
        how: list[str]
        quantity: str | None
        quantity_words: str | None
        unit: str | None
        before: float | None
        before_state: str | None
        limit: float | None
        limit_quantity: str | None
        looks: list[str]
        minutes: float
        restarts: int
        fans_on: bool
        missing: list[str]

    class ProofJudgement(TypedDict):
        """Whether a hot run shows that the repair held: true, false, or null where it cannot tell. It proposes."""

        passed: bool | None
        why_words: str

    class CloseOffer(TypedDict):
        state: CloseState
        offered: bool
        why_words: str
        asks_words: str | None  # without a word that answers this it is not closed so

    class Step(TypedDict):
        record: Record
        advice: WalkAdvice
