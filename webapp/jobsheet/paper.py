"""The paper itself: its size, its margins, its foot, and how closely it is set."""

from __future__ import annotations

from dataclasses import dataclass

from fpdf import FPDF
from typing_extensions import override

from webapp.jobsheet.paper_fonts import FAMILY, add_fonts

MARGIN_MM, TOP_MM, BOTTOM_MM = 17.0, 14.0, 16.0
FOOT_PT = 8.5


@dataclass(frozen=True)
class Setting:
    """Letters in points, lines and pictures in millimetres."""

    body_pt: float
    small_pt: float
    line_mm: float
    small_line_mm: float
    picture_mm: float
    picture_height_mm: float
    pictures_a_row: int


ROOMY = Setting(10, 8.5, 4.4, 3.6, 36, 27, 4)
CLOSE = Setting(9.5, 8.2, 4.05, 3.35, 25, 19, 6)
"""For a visit that would else run over onto a third page: nothing is left out, and the letters stay readable."""


class Paper(FPDF):
    """A document whose every page says which sheet it belongs to."""

    def __init__(self, footing: str, setting: Setting) -> None:
        super().__init__(format="letter")
        self.setting = setting
        self._footing = footing
        self.set_margins(MARGIN_MM, TOP_MM)
        self.c_margin = 0.0
        self.set_auto_page_break(auto=True, margin=BOTTOM_MM)
        add_fonts(self)

    @override
    def footer(self) -> None:
        self.set_y(-BOTTOM_MM + 4)
        self.set_font(FAMILY, "", FOOT_PT)
        self.set_text_color(70)
        self.multi_cell(0, 3.8, f"{self._footing} Page {self.page_no()} of {{nb}}", align="L")
        self.set_text_color(0)
