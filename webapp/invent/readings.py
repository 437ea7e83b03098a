"""Plausible numbers for an outcome: inside the usual range where all is well, outside it where it is not.

The ranges come from the procedure itself. Suction follows the make point of the model (common practice, no source:
hot suction is about 0.88 of cold, because hot gas is thinner).
"""

from __future__ import annotations

import random
from typing import Any

from webapp.invent.chance import between
from webapp.invent.makers import Model

HOT_OF_COLD = 0.88
_LOW_WORDS = ("low", "below", "zero", "weak", "fall", "open", "dead", "absent", "none", "marginal", "short")
_SUCTION_OF_MAKE_POINT = (
    ("zero", 0.0, 0.04), ("below", 0.45, 0.95), ("low", 0.45, 0.95), ("marginal", 1.02, 1.13), ("falls", 0.7, 0.95),
    ("high", 2.2, 2.8),
)  # fmt: skip


def _digits(high: float) -> int:
    return 2 if high < 5 else 1 if high < 60 else 0


def suction_in_wc(rng: random.Random, model: Model, outcome: str, *, normal: bool) -> float:
    """Suction at the switch: a share of the make point that fits the outcome."""
    low, high = 1.25, 1.9
    if not normal:
        low, high = next(((a, b) for word, a, b in _SUCTION_OF_MAKE_POINT if word in outcome), (0.5, 0.95))
    return round(between(rng, low, high) * model.make_point_in_wc, 2)


def reading_value(rng: random.Random, spec: dict[str, Any], outcome: str, *, normal: bool, model: Model) -> float:
    """A number for one reading of a check."""
    if spec["quantity"] == "suction_in_wc":
        return suction_in_wc(rng, model, outcome, normal=normal)
    hard_low, hard_high = float(spec["hard_low"]), float(spec["hard_high"])
    usual_low, usual_high = (spec[key] if spec.get(key) is not None else None for key in ("usual_low", "usual_high"))
    low = float(usual_low) if usual_low is not None else hard_low
    high = float(usual_high) if usual_high is not None else hard_high
    if not normal:
        goes_low = any(word in outcome for word in _LOW_WORDS)
        if goes_low and low > hard_low:
            low, high = hard_low + (low - hard_low) * 0.3, hard_low + (low - hard_low) * 0.9
        elif high < hard_high:
            low, high = high + (hard_high - high) * 0.05, high + (hard_high - high) * 0.3
    return round(between(rng, low, high), _digits(high))
