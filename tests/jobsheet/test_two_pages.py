"""A usual visit takes two sides of one leaf of paper, with nothing left out; a longer one takes what it takes."""

from __future__ import annotations

import io
from datetime import UTC, datetime
from pathlib import Path

import pytest
from pypdf import PdfReader

from webapp.jobsheet.pdf import draw_pdf
from webapp.jobsheet.sheet import Block, Bullets, Section, Sheet


def drawn(lines: int, folder: Path) -> PdfReader:
    told: list[Block] = [Bullets([f"Line {number} of what was looked at" for number in range(lines)])]
    sheet = Sheet(
        job_id="00000000-0000-7000-8000-000000000001",
        number="00000001",
        day="2026-11-25",
        recorded_until=datetime(2026, 11, 25, tzinfo=UTC),
        sections=[Section("What was looked at", told)],
        company="Lamp & Cellar",
        footing="Sheet 00000001.",
    )
    return PdfReader(io.BytesIO(draw_pdf(sheet, folder)))


def letters_pt(reader: PdfReader) -> set[float]:
    """The sizes of the letters in the lines."""
    found: set[float] = set()
    for page in reader.pages:
        page.extract_text(
            visitor_text=lambda words, _cm, _tm, _font, size: found.add(size) if "Line" in words else None
        )
    return found


@pytest.mark.parametrize(("lines", "pages", "points"), [(40, 1, 10), (100, 2, 10), (112, 2, 9.5), (160, 3, 10)])
def test_what_would_run_over_a_little_is_set_closely_and_what_is_far_longer_is_not(
    tmp_path: Path, lines: int, pages: int, points: float
) -> None:
    reader = drawn(lines, tmp_path)
    words = " ".join(page.extract_text() for page in reader.pages)
    assert len(reader.pages) == pages
    assert letters_pt(reader) == {points}
    assert all(f"Line {number} of" in words for number in range(lines))
