"""What a procedure asks of a maker's paper: the figures that its checks compare with, and its chain of safeties."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from webapp.sites.procedure_words import UNIT_SIGNS, as_title, split_unit

if TYPE_CHECKING:
    from collections.abc import Iterable

    from webapp.trade.procedure_types import Procedure

VENT_COLUMNS = {
    "nominal_in": ("Pipe", "in.", "nominal_in"),
    "max_equivalent_ft": ("At most", "ft", "limit_ft"),
    "min_equivalent_ft": ("At least", "ft", "limit_min_ft"),
    "max_elbows": ("Elbows at most", "", "limit_elbows"),
    "feet_per_elbow_90": ("A 90° counts", "ft", "feet_per_90"),
    "feet_per_elbow_45": ("A 45° counts", "ft", "feet_per_45"),
}
"""Column of the vent table: its words, its unit, and the quantity that readings know it by."""

COLUMN_OF_QUANTITY = {quantity: column for column, (_, _, quantity) in VENT_COLUMNS.items() if column != "nominal_in"}
PLACE_WORDS = {"plate": "rating plate", "sheet": "instruction sheet", "part_label": "label on the part"}


class PaperFigure(NamedTuple):
    """One figure that may stand on the paper."""

    quantity: str
    words: str
    unit: str


class Contact(NamedTuple):
    """A contact of the chain of safeties."""

    id: str
    words: str


class ProcedurePaper(NamedTuple):
    """`figures` leaves out what stands in the vent table."""

    name: str
    title: str
    figures: list[PaperFigure]
    has_vent: bool
    chain: list[Contact]

    def figure(self, quantity: str) -> PaperFigure:
        """With the procedure's words, or those of its name for a quantity that no check asks for any more."""
        known = {figure.quantity: figure for figure in self.figures}
        return figure_of(known, quantity)

    def contact_words(self, contact_id: str) -> str:
        """The contact's name, or the id as it was kept."""
        return dict(self.chain).get(contact_id, contact_id.replace("_", " "))


def paper_of(procedure: Procedure) -> ProcedurePaper:
    """What this procedure asks of the paper."""
    asked = {figure.quantity: figure for figure in _asked(procedure)}
    figures = [figure for quantity, figure in asked.items() if quantity not in COLUMN_OF_QUANTITY]
    has_vent = len(figures) < len(asked)
    chain = [Contact(one["id"], one["words"]) for one in procedure.get("chain") or []]
    return ProcedurePaper(procedure["name"], procedure["title"], figures, has_vent, chain)


def figure_names(procedures: Iterable[Procedure]) -> dict[str, PaperFigure]:
    """Every figure that some procedure asks of the paper, those of the run too."""
    return {figure.quantity: figure for procedure in procedures for figure in _asked(procedure)}


def figure_of(names: dict[str, PaperFigure], quantity: str) -> PaperFigure:
    """With a procedure's words, or those of its name."""
    return names.get(quantity) or _from_name(quantity)


def _asked(procedure: Procedure) -> Iterable[PaperFigure]:
    for check in procedure["checks"]:
        for reading in check.get("readings") or []:
            if reading.get("from_sheet"):
                unit = reading["unit"]
                yield PaperFigure(reading["quantity"], reading["words"], UNIT_SIGNS.get(unit, unit))


def _from_name(quantity: str) -> PaperFigure:
    name, unit = split_unit(quantity)
    return PaperFigure(quantity, as_title(name), unit)
