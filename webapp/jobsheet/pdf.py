"""The sheet on paper: US letter, one column, the same blocks as the page. The same record gives the same bytes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from fpdf.enums import XPos, YPos
from fpdf.prefs import ViewerPreferences

from webapp.jobsheet.paper import CLOSE, MARGIN_MM, ROOMY, TOP_MM, Paper
from webapp.jobsheet.paper_blocks import draw_block, first_mm
from webapp.jobsheet.paper_fonts import FAMILY, UNKNOWN, close_fonts, has_letters_of, printable
from webapp.jobsheet.sheet import Text, texts_of

if TYPE_CHECKING:
    from pathlib import Path

    from webapp.jobsheet.paper import Setting
    from webapp.jobsheet.sheet import Section, Sheet

TITLE_PT, HEADING_PT, DANGER_PT = 19, 12.5, 17
MOST_PAGES = 2
"""Of a usual visit. One that is still longer when it is set closely is set with room, on as many as it takes."""
HEADING_MM = 9.5
TITLE_MM, TITLE_WIDE_MM, COMPANY_DOWN_MM = 10.0, 50.0, 2.8
ABOVE_MM, BELOW_RULE_MM, BELOW_HEADING_MM = 1.0, 1.4, 0.7
DANGER_LINE_MM = 1.2
NOT_PRINTED = f"A {UNKNOWN} may stand for a letter that this print does not have. The sheet as a page has them all."


def draw_pdf(sheet: Sheet, data: Path) -> bytes:
    """The bytes of the PDF; `data` is the folder in which the photos lie."""
    roomy, pages = _drawn(sheet, data, ROOMY)
    if pages <= MOST_PAGES:
        return roomy
    close, pages = _drawn(sheet, data, CLOSE)
    return close if pages <= MOST_PAGES else roomy


def _drawn(sheet: Sheet, data: Path, setting: Setting) -> tuple[bytes, int]:
    paper = Paper(printable(sheet.footing), setting)
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
    written, pages = bytes(paper.output()), paper.pages_count
    close_fonts(paper)
    return written, pages


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
