"""Drawing each sort of block on paper. Words break where they must: nothing runs over the edge."""

from __future__ import annotations

from typing import TYPE_CHECKING, cast

from fpdf.enums import TableBordersLayout, XPos, YPos
from fpdf.fonts import FontFace

from webapp.jobsheet.paper_fonts import FAMILY, printable
from webapp.jobsheet.paper_photos import small_photo
from webapp.jobsheet.sheet import Bullets, Facts, Glossary, Pictures, Signature, Table, Text
from webapp.jobsheet.signature import BOX_HEIGHT, BOX_WIDTH
from webapp.sync.photos import photo_path

if TYPE_CHECKING:
    from io import BytesIO
    from pathlib import Path

    from webapp.jobsheet.paper import Paper
    from webapp.jobsheet.sheet import Block, Picture

NAME_WIDTH_MM, WIDE_NAME_MM = 46.0, 66.0
LONG_NAME = 26
"""Letters: a longer name gets the wide column."""
BULLET_MM = 5.0
PICTURE_GAP_MM = 6.0
CAPTION_LINES = 6
"""The longest words with a photo; the page has them whole."""
SIGNATURE_MM = 60.0
GLOSSARY_GAP_MM = 6.0
COLUMNS = {2: (3, 1), 3: (5, 3, 5), 4: (5, 2, 4, 4)}


def first_mm(paper: Paper, block: Block) -> float:
    """How much of a block must stand below its heading."""
    if isinstance(block, Glossary):
        return _columns(paper, block)[1]
    if isinstance(block, Pictures):
        return paper.setting.picture_height_mm + 4 * paper.setting.small_line_mm
    return 3 * paper.setting.line_mm


def draw_block(paper: Paper, block: Block, data: Path) -> None:
    """Draw one block at the left margin and leave a little room below it."""
    if isinstance(block, Text):
        _draw_words(paper, block.words, block.weight)
    elif isinstance(block, Bullets):
        for line in block.lines:
            _draw_beside(paper, "\u2022", line, BULLET_MM)
    elif isinstance(block, Facts):
        longest = max((len(name) for name, _ in block.rows), default=0)
        width_mm = NAME_WIDTH_MM if longest <= LONG_NAME else WIDE_NAME_MM
        for name, value in block.rows:
            _draw_beside(paper, name, value, width_mm, style="B")
    elif isinstance(block, Glossary):
        _draw_glossary(paper, block)
    elif isinstance(block, Table):
        _draw_table(paper, block)
    elif isinstance(block, Signature):
        _draw_signature(paper, block)
    elif isinstance(block, Pictures):
        _draw_pictures(paper, block, data)
    paper.ln(1)


def _draw_words(paper: Paper, words: str, weight: str) -> None:
    points, line_mm = (
        (paper.setting.small_pt, paper.setting.small_line_mm)
        if weight == "small"
        else (paper.setting.body_pt, paper.setting.line_mm)
    )
    paper.set_font(FAMILY, "B" if weight == "strong" else "", points)
    if words.endswith(":") and paper.will_page_break(3 * line_mm):
        paper.add_page()  # with what it leads to
    paper.multi_cell(0, line_mm, printable(words), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)


def _draw_beside(paper: Paper, name: str, words: str, width_mm: float, *, style: str = "") -> None:
    """A name and what belongs to it, on one page where they fit on one."""
    paper.set_font(FAMILY, style, paper.setting.body_pt)
    room_mm = paper.w - paper.r_margin - paper.l_margin - width_mm
    tallest = paper.setting.line_mm * max(_height(paper, name, width_mm - 2), _height(paper, words, room_mm))
    if tallest < paper.eph and paper.will_page_break(tallest):
        paper.add_page()
    top, page = paper.y, paper.page_no()
    paper.multi_cell(
        width_mm - 2, paper.setting.line_mm, printable(name), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT
    )
    below = paper.y
    paper.set_xy(paper.l_margin + width_mm, top)
    paper.set_font(FAMILY, "", paper.setting.body_pt)
    paper.multi_cell(room_mm, paper.setting.line_mm, printable(words), align="L", new_x=XPos.LMARGIN, new_y=YPos.NEXT)
    if paper.page_no() == page:
        paper.set_y(max(below, paper.y))


def _draw_glossary(paper: Paper, glossary: Glossary) -> None:
    """Read down the left column, then the right; it stays on one page, for the words of our list are few."""
    wide_mm = (paper.epw - GLOSSARY_GAP_MM) / 2
    columns, tallest = _columns(paper, glossary)
    if paper.will_page_break(tallest):
        paper.add_page()
    top = paper.y
    for left, column in zip((paper.l_margin, paper.l_margin + wide_mm + GLOSSARY_GAP_MM), columns, strict=True):
        paper.set_y(top)
        for word, meaning in column:
            words = f"**{printable(word)}**: {printable(meaning)}"
            paper.set_x(left)
            paper.multi_cell(
                wide_mm, paper.setting.small_line_mm, words, align="L", markdown=True, new_x=XPos.LEFT, new_y=YPos.NEXT
            )
    paper.set_xy(paper.l_margin, top + tallest)


def _columns(paper: Paper, glossary: Glossary) -> tuple[list[list[tuple[str, str]]], float]:
    """The words parted where both columns are about as tall, and how tall the taller one is."""
    paper.set_font(FAMILY, "", paper.setting.small_pt)
    wide_mm = (paper.epw - GLOSSARY_GAP_MM) / 2
    heights = [
        paper.setting.small_line_mm * _height(paper, f"{word}: {meaning}", wide_mm) for word, meaning in glossary.rows
    ]
    tallest, at = min((max(sum(heights[:at]), sum(heights[at:])), at) for at in range(len(heights) + 1))
    return [glossary.rows[:at], glossary.rows[at:]], tallest


def _draw_table(paper: Paper, table: Table) -> None:
    paper.set_font(FAMILY, "", paper.setting.body_pt)
    paper.set_draw_color(150)
    with paper.table(
        borders_layout=TableBordersLayout.HORIZONTAL_LINES,
        col_widths=COLUMNS[len(table.head)],
        headings_style=FontFace(emphasis="BOLD"),
        line_height=paper.setting.line_mm,
        text_align="LEFT",
        v_align="TOP",
        padding=(0.25, 2, 0.25, 0),
    ) as drawn:
        for row in (table.head, *table.rows):
            cells = drawn.row()
            for words in row:
                cells.cell(printable(words))


def _draw_signature(paper: Paper, signature: Signature) -> None:
    scale = SIGNATURE_MM / BOX_WIDTH
    height_mm = BOX_HEIGHT * scale
    if paper.will_page_break(height_mm + paper.setting.line_mm + 2):
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


def _draw_pictures(paper: Paper, block: Pictures, data: Path) -> None:
    rows = [
        block.pictures[start : start + paper.setting.pictures_a_row]
        for start in range(0, len(block.pictures), paper.setting.pictures_a_row)
    ]
    for row in rows:
        drawn = [
            (picture, small_photo(photo_path(data, picture.sha256)) if picture.stored else None) for picture in row
        ]
        captions = [_caption(paper, picture, is_drawn=small is not None) for picture, small in drawn]
        height_mm = (
            paper.setting.picture_height_mm + 1.5 + paper.setting.small_line_mm * max(len(lines) for lines in captions)
        )
        if paper.will_page_break(height_mm):
            paper.add_page()
        top = paper.y
        for place, ((_, small), lines) in enumerate(zip(drawn, captions, strict=True)):
            _draw_picture(
                paper, small, lines, paper.l_margin + place * (paper.setting.picture_mm + PICTURE_GAP_MM), top
            )
        paper.set_xy(paper.l_margin, top + height_mm)


def _caption(paper: Paper, picture: Picture, *, is_drawn: bool) -> list[str]:
    """What it is of, why it is not there, and when it was taken."""
    why = "the photo cannot be read" if picture.stored else "the photo is still on the phone"
    words, when = picture.words if is_drawn else f"{picture.words} ({why})", f", {picture.when}" if picture.when else ""
    paper.set_font(FAMILY, "", paper.setting.small_pt)
    lines = _lines(paper, words + when, paper.setting.picture_mm)
    if len(lines) > CAPTION_LINES:
        return [*lines[: CAPTION_LINES - 1], *_lines(paper, f"and more words{when}", paper.setting.picture_mm)]
    return lines


def _draw_picture(paper: Paper, small: BytesIO | None, lines: list[str], left: float, top: float) -> None:
    if small is not None:
        told = f"Photo: {' '.join(lines)}"
        paper.image(
            small,
            left,
            top,
            paper.setting.picture_mm,
            paper.setting.picture_height_mm,
            keep_aspect_ratio=True,
            alt_text=told,
        )
    else:
        paper.rect(left, top, paper.setting.picture_mm, paper.setting.picture_height_mm)
    paper.set_font(FAMILY, "", paper.setting.small_pt)
    paper.set_xy(left, top + paper.setting.picture_height_mm + 0.5)
    paper.multi_cell(paper.setting.picture_mm, paper.setting.small_line_mm, "\n".join(lines), align="L")


def _height(paper: Paper, words: str, width_mm: float) -> int:
    """In lines. Most fit on one, which is measured sooner than broken."""
    one_line = "\n" not in words and paper.get_string_width(printable(words)) <= width_mm
    return 1 if one_line else len(_lines(paper, words, width_mm))


def _lines(paper: Paper, words: str, width_mm: float) -> list[str]:
    """The words as they would break, drawn nowhere."""
    broken = paper.multi_cell(
        width_mm, paper.setting.line_mm, printable(words), align="L", dry_run=True, output="LINES"
    )
    return cast("list[str]", broken)
