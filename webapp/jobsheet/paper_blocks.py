"""Drawing each sort of block on paper. Words break where they must: nothing runs over the edge."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from fpdf.enums import TableBordersLayout, XPos, YPos
from fpdf.fonts import FontFace

from webapp.jobsheet.paper_fonts import FAMILY, printable
from webapp.jobsheet.paper_photos import small_photo
from webapp.jobsheet.sheet import Bullets, Facts, Pictures, Signature, Table, Text
from webapp.jobsheet.signature import BOX_HEIGHT, BOX_WIDTH
from webapp.sync.photos import photo_path

if TYPE_CHECKING:
    from pathlib import Path

    from fpdf import FPDF

    from webapp.jobsheet.sheet import Block, Picture

BODY_PT, SMALL_PT = 10.5, 8.5
LINE_MM, SMALL_LINE_MM = 5.0, 3.8
NAME_WIDTH_MM, WIDE_NAME_MM = 46.0, 66.0
LONG_NAME = 26
"""Letters: a longer name gets the wide column."""
BULLET_MM = 5.0
PICTURE_MM, PICTURE_HEIGHT_MM, PICTURE_GAP_MM, PICTURES_A_ROW = 56.0, 42.0, 5.0, 3
CAPTION_MM = 9.0
SIGNATURE_MM = 60.0
COLUMNS = {2: (3, 1), 3: (3, 2, 2), 4: (4, 3, 4, 4)}


def draw_block(paper: FPDF, block: Block, data: Path) -> None:
    """Draw one block at the left margin and leave a little room below it."""
    if isinstance(block, Text):
        _draw_words(paper, block.words, "B" if block.weight == "strong" else "")
    elif isinstance(block, Bullets):
        for line in block.lines:
            _draw_beside(paper, "\u2022", line, BULLET_MM)
    elif isinstance(block, Facts):
        longest = max((len(name) for name, _ in block.rows), default=0)
        width_mm = NAME_WIDTH_MM if longest <= LONG_NAME else WIDE_NAME_MM
        size = (SMALL_PT, SMALL_LINE_MM) if block.small else (BODY_PT, LINE_MM)
        for name, value in block.rows:
            _draw_beside(paper, name, value, width_mm, style="B", size=size)
    elif isinstance(block, Table):
        _draw_table(paper, block)
    elif isinstance(block, Signature):
        _draw_signature(paper, block)
    elif isinstance(block, Pictures):
        _draw_pictures(paper, block, data)
    paper.ln(1.2)


def _draw_words(paper: FPDF, words: str, style: str) -> None:
    paper.set_font(FAMILY, style, BODY_PT)
    if words.endswith(":") and paper.will_page_break(3 * LINE_MM):
        paper.add_page()  # with what it leads to
    paper.multi_cell(0, LINE_MM, printable(words), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)


def _draw_beside(
    paper: FPDF,
    name: str,
    words: str,
    width_mm: float,
    *,
    style: str = "",
    size: tuple[float, float] = (BODY_PT, LINE_MM),
) -> None:
    """A name and what belongs to it, on one page where they fit on one."""
    points, line_mm = size
    paper.set_font(FAMILY, style, points)
    room_mm = paper.w - paper.r_margin - paper.l_margin - width_mm
    tallest = line_mm * max(len(_lines(paper, name, width_mm - 2)), len(_lines(paper, words, room_mm)))
    if tallest < paper.eph and paper.will_page_break(tallest):
        paper.add_page()
    top, page = paper.y, paper.page_no()
    paper.multi_cell(width_mm - 2, line_mm, printable(name), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
    below = paper.y
    paper.set_xy(paper.l_margin + width_mm, top)
    paper.set_font(FAMILY, "", points)
    paper.multi_cell(room_mm, line_mm, printable(words), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
    if paper.page_no() == page:
        paper.set_y(max(below, paper.y))


def _draw_table(paper: FPDF, table: Table) -> None:
    paper.set_font(FAMILY, "", BODY_PT)
    paper.set_draw_color(150)
    with paper.table(
        borders_layout=TableBordersLayout.HORIZONTAL_LINES,
        col_widths=COLUMNS[len(table.head)],
        headings_style=FontFace(emphasis="BOLD"),
        line_height=LINE_MM,
        text_align="LEFT",
        padding=(1, 2, 1, 0),
    ) as drawn:
        for row in (table.head, *table.rows):
            cells = drawn.row()
            for words in row:
                cells.cell(printable(words))


def _draw_signature(paper: FPDF, signature: Signature) -> None:
    scale = SIGNATURE_MM / BOX_WIDTH
    height_mm = BOX_HEIGHT * scale
    if paper.will_page_break(height_mm + LINE_MM + 2):
        paper.add_page()
    left, top = paper.l_margin, paper.y
    paper.set_draw_color(0)
    paper.set_line_width(0.4)
    for stroke in signature.strokes:
        points = [(left + across * scale, top + down * scale) for across, down in stroke]
        paper.polyline(points if len(points) > 1 else [points[0], (points[0][0] + 0.3, points[0][1])])
    paper.set_line_width(0.2)
    paper.line(left, top + height_mm, left + SIGNATURE_MM, top + height_mm)
    paper.set_y(top + height_mm + 0.5)
    said = f"Signed on the screen: {signature.words}" if signature.words else "Signed on the screen, no name recorded"
    _draw_words(paper, said, "")


def _draw_pictures(paper: FPDF, block: Pictures, data: Path) -> None:
    rows = [block.pictures[start : start + PICTURES_A_ROW] for start in range(0, len(block.pictures), PICTURES_A_ROW)]
    for row in rows:
        if paper.will_page_break(PICTURE_HEIGHT_MM + CAPTION_MM):
            paper.add_page()
        top = paper.y
        for place, picture in enumerate(row):
            _draw_picture(paper, picture, paper.l_margin + place * (PICTURE_MM + PICTURE_GAP_MM), top, data)
        paper.set_xy(paper.l_margin, top + PICTURE_HEIGHT_MM + CAPTION_MM)


def _draw_picture(paper: FPDF, picture: Picture, left: float, top: float, data: Path) -> None:
    small = small_photo(photo_path(data, picture.sha256)) if picture.stored else None
    words = printable(picture.words)
    if small is not None:
        paper.image(small, left, top, PICTURE_MM, PICTURE_HEIGHT_MM, keep_aspect_ratio=True, alt_text=f"Photo: {words}")
    else:
        why = "the photo cannot be read" if picture.stored else "the photo is still on the phone"
        words = f"{words} ({why})"
        paper.rect(left, top, PICTURE_MM, PICTURE_HEIGHT_MM)
    paper.set_font(FAMILY, "", SMALL_PT)
    paper.set_xy(left, top + PICTURE_HEIGHT_MM + 0.5)
    paper.multi_cell(PICTURE_MM, SMALL_LINE_MM, "\n".join(_lines(paper, words, PICTURE_MM)[:2]), align="L")


def _lines(paper: FPDF, words: str, width_mm: float) -> list[str]:
    """The words as they would break, drawn nowhere."""
    broken = paper.multi_cell(width_mm, LINE_MM, printable(words), align="L", dry_run=True, output="LINES")
    return cast("list[str]", broken)
