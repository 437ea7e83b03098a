"""An answer's own figures, as one reads them behind its words."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .figures import figures_of
from .ordering import fold_place
from .written import to_a_hundredth

if TYPE_CHECKING:
    from .procedure_types import Check
    from .record_types import Answer, Record

_UNIT_WORDS = {"count": "", "degF": "°F", "ohm": "Ω", "uA DC": "µA DC"}


def figures_said(check: Check, record: Record, entry: Answer) -> str:
    """The figures that the same person had noted for it by then: ", 90 ppm". Range: any entry. Source: ours."""
    by = entry["by"]
    values: dict[str, float] = {}
    for one in figures_of(check, record):
        if one["by"]["person_id"] == by["person_id"] and fold_place(one["by"]) <= fold_place(by):
            values[one["quantity"]] = one["value"]
    fields = [field for field in check["readings"] if field["quantity"] in values]
    return "".join([", " + figure_said(values[field["quantity"]], field["unit"]) for field in fields])


def figure_said(value: float, unit: str) -> str:
    """With its unit, to a hundredth: both engines write a rounded number alike."""
    unit = _UNIT_WORDS.get(unit, unit)
    return to_a_hundredth(value) + (" " + unit if unit else "")
