"""Figures of a sheet that can hardly be meant, said before every phone has them. It warns and refuses nothing."""

from __future__ import annotations

from hashlib import sha256
from typing import TYPE_CHECKING, Any

from webapp.models.base import canonical_json
from webapp.sheets.procedure_paper import VENT_COLUMNS
from webapp.sites.phrases import measured
from webapp.trade.readings import plausible

if TYPE_CHECKING:
    from collections.abc import Iterator


def hardly_possible(body: dict[str, Any], vent_rows: list[int]) -> dict[str, str]:
    """By input of the form, in words. `vent_rows`: the row of the page that each line of the vent table stands in."""
    return {
        name: f"{measured(quantity, value)}? Hardly possible: read it again, check the unit."
        for name, quantity, value in _figures(body, vent_rows)
        if plausible(quantity, value)["state"] == "implausible"
    }


def mark_of(doubts: dict[str, str]) -> str:
    """What the button sends back: it keeps these figures, and none that was typed since."""
    return sha256(canonical_json(sorted(doubts.items())).encode()).hexdigest()[:16]


def _figures(body: dict[str, Any], vent_rows: list[int]) -> Iterator[tuple[str, str, float]]:
    for limit in body["limits"]:
        yield f"limit-{limit['quantity']}", limit["quantity"], limit["value"]
    for number, row in zip(vent_rows, body["vent"], strict=True):
        for column, (_words, _unit, quantity) in VENT_COLUMNS.items():
            if row[column] is not None:
                yield f"vent-{number}-{column}", quantity, row[column]
