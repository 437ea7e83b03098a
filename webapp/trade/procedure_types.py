"""The shape of a compiled procedure: made by `webapp/procedures/`, read by the walk (docs/procedures.md)."""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from typing import Literal, NotRequired, TypedDict

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

    class Need(TypedDict):
        """This check is offered only when that one now has one of these outcomes.

        `if_answered`: that check need not be done; but if it was, it must have one of these outcomes.
        """

        check: str
        outcomes: list[str]
        words: str
        if_answered: NotRequired[bool]

    class Outcome(TypedDict):
        """The first outcome of a check is the normal one. `stop_words`: make safe, leave, call."""

        id: str
        words: str
        verdict: Verdict
        stop_words: str | None
        rules_out: bool

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
        asked again: plug out by "power", gas off by "firing", joints seen sound by "parting" (`parts_vent`).
        `rule`: the trade call that proposes the outcome from the readings.
        """

        id: str
        part: str
        sense: Sense
        minutes: float
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
        undone_by: Literal["power", "firing", "parting"] | None
        needs: list[Need]
        sketch: str
        outcomes: list[Outcome]
        readings: list[ReadingField]
        rule: str | None
        photo_words: str | None
        rows: dict[str, list[float]]

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
        may_fire: list[Need]
        checks: list[Check]
        closing_looks: list[Words]
        parts: list[Words]
        second_trip_minutes: float
