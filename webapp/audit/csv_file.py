"""A list as a file for a spreadsheet: RFC 4180, and no cell that a spreadsheet would run."""

from __future__ import annotations

import csv
import io
from typing import TYPE_CHECKING

from webapp.sites.clock import local
from webapp.sites.procedure_words import CLOSE_WORDS

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from webapp.audit.service import Line

COLUMNS = (
    "closed_or_called", "street", "town", "complaint", "complaint_words", "cause", "done", "closed_as", "hot_run",
    "days_to_return", "job_id", "return_job_id",
)  # fmt: skip
RUN_BY_SPREADSHEETS = ("=", "+", "-", "@", "\t", "\r", "\n")
"""A cell that begins like this may be taken for a formula (OWASP, "CSV injection", from memory)."""


def harmless(cell: str) -> str:
    """The same words; an apostrophe before what a spreadsheet would run."""
    return f"'{cell}" if cell.startswith(RUN_BY_SPREADSHEETS) else cell


BYTE_ORDER_MARK = "\ufeff"
"""Without it a spreadsheet on an office machine takes UTF-8 for its own old code page (common practice, no source)."""


def csv_lines(lines: Iterable[Line]) -> Iterator[str]:
    """The file, line by line, each ended by CRLF; the first names the columns."""
    yield _written(COLUMNS)
    for line in lines:
        yield _written([harmless(cell) for cell in _cells(line)])


def _cells(line: Line) -> list[str]:
    case = line.case
    days = case.days_to_return
    return [
        local(line.moment).isoformat(timespec="minutes") if line.moment else "",
        line.site.street,
        line.site.town,
        line.complaint,
        line.complaint_words,
        line.cause,
        "; ".join(line.done),
        CLOSE_WORDS.get(case.close_state or "", case.close_state or case.state),
        case.hot_run,
        "" if days is None else f"{days:.1f}",
        case.job_id,
        case.back.job_id if case.back else "",
    ]


def _written(cells: Iterable[str]) -> str:
    held = io.StringIO()
    csv.writer(held, lineterminator="\r\n").writerow(cells)
    return held.getvalue()
