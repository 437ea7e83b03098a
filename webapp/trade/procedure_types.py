"""The shape of a compiled procedure: made by `webapp/procedures/`, read by the walk (docs/procedures.md)."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import Literal, NotRequired, TypedDict

    from .advice_types import Evidence
    from .co_ladders import CoLadder

    Sense = Literal["eye", "hand", "meter", "gauge", "analyser"]
    Verdict = Literal["good", "doubtful", "bad"]

    class Words(TypedDict):
        id: str
        words: str

    class Cause(TypedDict):
        id: str
        words: str
        family: str
        prior: float
        repairs: list[str]
        proof_words: str

    class Repair(TypedDict):
        id: str
        words: str
        minutes: float

    class ClosingLook(TypedDict):
        """Looked at before leaving. `always`: whatever was repaired. `after_checks`: once one of these was done."""

        id: str
        words: str
        always: NotRequired[bool]
        after_checks: NotRequired[list[str]]

    class Measure(TypedDict):
        """A figure that must come right. `recovers`: it must rise or fall against the one before the repair.

        `limit_quantity`: the maker's figure that it is held against, typed on site; `side` and `margin` (a share) say
        how. `turned_by`: with this answer up is down and over is under (a tap after the blower).
        """

        quantity: str
        words: str
        unit: str
        recovers: Literal["up", "down"] | None
        limit_quantity: str | None
        side: Literal["over", "under", "near"] | None
        margin: float
        turned_by: Evidence | None

    class Proof(TypedDict):
        """What shows that a repair held, for these causes.

        `quantity`, `quantity_words` and `unit` are those of the first measure, null where no number tells; of the
        others the one that was read before the repair is asked for. `looks`: closing looks that are compulsory.
        """

        id: str
        default: bool
        causes: list[str]
        words: str
        how: list[str]
        quantity: str | None
        quantity_words: str | None
        unit: str | None
        measures: list[Measure]
        minutes: float
        restarts: int
        fans_on: bool
        looks: list[str]

    class Need(TypedDict):
        """This check is offered only when that one now has one of these outcomes.

        `if_answered`: that check need not be done; but if it was, it must have one of these outcomes.
        """

        check: str
        outcomes: list[str]
        words: str
        if_answered: NotRequired[bool]

    class MetBy(TypedDict):
        """That answer of another check stands for this one: what `gives` says, until the flame may have gone out."""

        check: str
        outcome: str
        gives: str

    class Outcome(TypedDict):
        """The first outcome of a check is the normal one. `stop_words`: make safe, leave, call.

        `unsafe`: while this stands the heater is not left running.
        """

        id: str
        words: str
        verdict: Verdict
        stop_words: str | None
        rules_out: bool
        unsafe: NotRequired[bool]

    class ReadingField(TypedDict):
        """A number to be noted with a check; the ranges warn, they never correct."""

        quantity: str
        words: str
        unit: str
        place: str | None
        state: Literal["cold", "hot", "dead", "live"] | None
        hard_low: float
        hard_high: float
        usual_low: float
        usual_high: float
        optional: bool
        from_sheet: bool

    class Check(TypedDict):
        """One thing to look at, touch or measure.

        `trip`: checks that are done on one walk to the same place. `always`: asked whatever it tells.
        `from_event`: answered by that kind of event (its outcomes are what the event can show).
        `powered`: the plug is in while it is done. `undone_by`: how it stands does not outlast such a check, so it is
        asked again: plug out by "power", gas off by "firing", joints seen sound by "parting" (`parts_vent`), gas gone
        by "flame": a check that fires, unless all of its `flame_stays` stands then, or one that `puts_out` the pilot.
        `rule`: the trade call that proposes the outcome from the readings.
        """

        id: str
        part: str
        sense: Sense
        minutes: float
        wait_minutes: float | None  # a wait that its own steps state; a procedure of an earlier day has none
        trip: str
        title: str
        question: str
        how: list[str]
        normal: str
        why: str
        caution: str | None
        live: bool
        fires: bool
        always: bool
        from_event: str | None
        powered: bool
        parts_vent: bool
        undone_by: Literal["power", "firing", "parting", "flame"] | None
        flame_stays: NotRequired[list[Need]]
        puts_out: NotRequired[bool]
        met_by: NotRequired[MetBy]
        needs: list[Need]
        sketch: str
        outcomes: list[Outcome]
        readings: list[ReadingField]
        rule: str | None
        photo_words: str | None
        rows: dict[str, list[float]]

    class ChainShown(TypedDict):
        """A finding that says how a contact stands. `closed_now`: at rest or cold; it may still open."""

        check: str
        outcome: str
        state: Literal["open", "could_be_open", "closed", "closed_now"]
        words: str

    class ChainPart(TypedDict):
        """A contact of the safety chain, in the order in which the current meets it."""

        id: str
        words: str
        part: str
        normally: Literal["closed", "open"]
        senses_words: str
        reset: Literal["by_hand", "by_itself", "none"]
        shown: list[ChainShown]

    class GateCard(TypedDict):
        """What stops the visit at the door, in words that stand without the engine."""

        check: str
        outcome: str
        words: str
        stop_words: str

    class GateCards(TypedDict):
        """`tiers`: in the order of the gate, whatever a meter says. `ladders`: room CO, step by step."""

        tiers: list[GateCard]
        ladders: list[CoLadder]
        default_ladder: str

    class Procedure(TypedDict):
        name: str
        title: str
        kind_words: str
        likelihood_source: str
        hash: str
        complaints: list[Words]
        senses: list[Sense]
        causes: list[Cause]
        repairs: list[Repair]
        gate: list[str]
        gate_cards: NotRequired[GateCards]
        may_fire: list[Need]
        checks: list[Check]
        closing_looks: list[ClosingLook]
        chain_words: NotRequired[str]
        chain: NotRequired[list[ChainPart]]
        proofs: NotRequired[list[Proof]]
        parts: list[Words]
        second_trip_minutes: float
