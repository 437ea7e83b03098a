"""Invented makers of heaters, their models, what the sheet says and what the control flashes.

Nothing here is any real maker's: names are made of nonsense syllables, and each model's flashes are shuffled by
chance. The figures lie in the plain ranges of docs/trade.md so that the readings make sense; they are expert guesses
and belong
to no heater.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from webapp.invent.chance import pick, stream, whole

MAKERS = ("Vossquill", "Tarnebeck Heatworks", "Hollowmere & Daughters", "Oskelund", "Brimmerfax")
_LINES = ("Ember", "Cellarlight", "Deepwell", "Quietus", "Larder")
PHASES = ("never_made", "opened_hot", "limit_open", "no_flame", "control_fault")
_MEANINGS = {
    "never_made": "Air proving switch did not close",
    "opened_hot": "Air proving switch opened while burning",
    "limit_open": "Limit circuit open",
    "no_flame": "No flame after tries",
    "control_fault": "Control fault, replace",
}


@dataclass(frozen=True, slots=True)
class Model:
    """One model: what stands on its plate and in its sheet."""

    maker: str
    name: str
    kind: str  # a procedure's name
    fuel: Literal["natural_gas", "propane"] | None
    input_btu_h: float | None
    make_point_in_wc: float
    break_point_in_wc: float
    limit_opens_f: float
    nominal_in: float
    limit_equivalent_ft: float
    limit_elbows: int
    flashes: tuple[tuple[str, int], ...]  # (phase, how many flashes)

    def flashes_for(self, phase: str) -> int:
        """How often the lamp blinks for this phase."""
        return dict(self.flashes)[phase]


def meaning_words(phase: str) -> str:
    """What the label on the heater says about a code."""
    return _MEANINGS[phase]


def make_model(seed: int, kind: str, number: int) -> Model:
    """Model `number` of a kind of heater."""
    rng = stream(seed, "model", kind, number)
    order = list(range(1, 10))
    rng.shuffle(order)
    make_point = whole(rng, 30, 62) / 100
    electric = "electric" in kind
    nominal_in = pick(rng, (2.0, 3.0))
    return Model(
        maker=MAKERS[number % len(MAKERS)],
        name=f"{pick(rng, _LINES)} {whole(rng, 3, 9)}{whole(rng, 10, 99)}-{pick(rng, 'QUVXZ')}{number}",
        kind=kind,
        fuel=None if electric else pick(rng, ("natural_gas", "natural_gas", "propane")),
        input_btu_h=None if electric else float(whole(rng, 34, 50) * 1000),
        make_point_in_wc=make_point,
        break_point_in_wc=round(make_point - whole(rng, 2, 5) / 100, 2),
        limit_opens_f=float(whole(rng, 28, 32) * 5),
        nominal_in=nominal_in,
        limit_equivalent_ft=float(whole(rng, 8, 14) * 5 if nominal_in == 2.0 else whole(rng, 16, 26) * 5),
        limit_elbows=whole(rng, 4, 7),
        flashes=tuple(zip(PHASES, order, strict=False)),
    )


def make_models(seed: int, kinds: list[str], each: int = 6) -> dict[str, list[Model]]:
    """The models of every kind of heater in the town."""
    return {kind: [make_model(seed, kind, number) for number in range(each)] for kind in kinds}
