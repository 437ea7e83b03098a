"""The sheet on paper: US letter, one column, the same blocks as the page. The same record gives the same bytes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fpdf import FPDF
from fpdf.enums import XPos, YPos
from fpdf.prefs import ViewerPreferences
from typing_extensions import override

from webapp.jobsheet.paper_blocks import draw_block, first_mm
from webapp.jobsheet.paper_fonts import FAMILY, UNKNOWN, add_fonts, close_fonts, has_letters_of, printable
from webapp.jobsheet.sheet import Text, texts_of

if TYPE_CHECKING:
    from pathlib import Path

    from webapp.jobsheet.sheet import Section, Sheet

MARGIN_MM, TOP_MM, BOTTOM_MM = 17.0, 14.0, 16.0
TITLE_PT, HEADING_PT, DANGER_PT, SMALL_PT = 19, 12.5, 17, 8.5
HEADING_MM = 9.5
TITLE_MM, TITLE_WIDE_MM, COMPANY_DOWN_MM = 10.0, 50.0, 2.8
ABOVE_MM, BELOW_RULE_MM, BELOW_HEADING_MM = 1.0, 1.4, 0.7
DANGER_LINE_MM = 1.2
NOT_PRINTED = f"A {UNKNOWN} may stand for a letter that this print does not have. The sheet as a page has them all."


class Paper(FPDF):
    """A document whose every page says which sheet it belongs to."""

    def __init__(self, footing: str) -> None:
        super().__init__(format="letter")
        self._footing = footing
        self.set_margins(MARGIN_MM, TOP_MM)
        self.c_margin = 0.0
        self.set_auto_page_break(auto=True, margin=BOTTOM_MM)
        add_fonts(self)

    @override
    def footer(self) -> None:
        self.set_y(-BOTTOM_MM + 4)
        self.set_font(FAMILY, "", SMALL_PT)
        self.set_text_color(70)
        self.multi_cell(0, 3.8, f"{self._footing} Page {self.page_no()} of {{nb}}", align="L")
        self.set_text_color(0)


def draw_pdf(sheet: Sheet, data: Path) -> bytes:
    """The bytes of the PDF; `data` is the folder in which the photos lie."""
    paper = Paper(printable(sheet.footing))
    paper.set_lang("en-US")
    paper.set_title(f"Job sheet {sheet.number}")
    paper.viewer_preferences = ViewerPreferences(display_doc_title=True)  # not the file's name, which says less
    paper.set_creation_date(sheet.recorded_until)
    paper.add_page()
    _draw_title(paper, printable(sheet.company))
    for section in sheet.sections:
        _draw_section(paper, section, data)
    if not all(map(has_letters_of, texts_of(sheet.sections))):
        draw_block(paper, Text(NOT_PRINTED, "small"), data)
    written = bytes(paper.output())
    close_fonts(paper)
    return written


def _draw_title(paper: Paper, company: str) -> None:
    """What it is, and beside it whose."""
    top = paper.y
    paper.set_font(FAMILY, "B", TITLE_PT)
    paper.cell(TITLE_WIDE_MM, TITLE_MM, "Job sheet", new_x=XPos.RIGHT, new_y=YPos.TOP)
    paper.set_font(FAMILY, "B", HEADING_PT)
    paper.set_xy(paper.x, top + COMPANY_DOWN_MM)
    paper.multi_cell(0, HEADING_PT * 0.45, company, align="R", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
    paper.set_y(max(top + TITLE_MM, paper.y))


def _draw_section(paper: Paper, section: Section, data: Path) -> None:
    if paper.will_page_break(HEADING_MM + first_mm(paper, section.blocks[0])):
        paper.add_page()  # a heading with what follows it
    paper.ln(ABOVE_MM)
    if section.danger:
        _draw_danger(paper, section, data)
        return
    paper.set_draw_color(150)
    paper.line(paper.l_margin, paper.y, paper.w - paper.r_margin, paper.y)
    paper.ln(BELOW_RULE_MM)
    _draw_heading(paper, section.title, HEADING_PT)
    for block in section.blocks:
        draw_block(paper, block, data)


def _draw_danger(paper: Paper, section: Section, data: Path) -> None:
    """Large, and with a heavy bar down its side: it is told by words and place, not by colour."""
    top, first_page = paper.y, paper.page_no()
    paper.set_left_margin(MARGIN_MM + 6)
    paper.set_x(paper.l_margin)
    _draw_heading(paper, section.title, DANGER_PT)
    for block in section.blocks:
        draw_block(paper, block, data)
    paper.set_left_margin(MARGIN_MM)
    bottom = paper.y
    top = top if paper.page_no() == first_page else TOP_MM
    paper.set_line_width(DANGER_LINE_MM * 2)
    paper.set_draw_color(0)
    paper.line(MARGIN_MM + 1, top, MARGIN_MM + 1, bottom)
    paper.set_line_width(0.2)
    paper.set_x(paper.l_margin)


def _draw_heading(paper: Paper, title: str, points: float) -> None:
    paper.start_section(printable(title))
    paper.set_font(FAMILY, "B", points)
    paper.multi_cell(0, points * 0.45, printable(title), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
    paper.ln(BELOW_HEADING_MM)
