"""A CSV file as rows with the lines they begin at: RFC 4180, and what spreadsheets make of it.

Accepted beside RFC 4180: a byte order mark, semicolon or tab for the comma, LF or CR alone for CRLF, blank lines, and
empty fields beyond the last column. Text is UTF-8. A row that cannot be read is told by its line, and reading goes on.
"""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from webapp.errors import BadForm
from webapp.importing.columns import COLUMNS, REQUIRED

if TYPE_CHECKING:
    from collections.abc import Iterator

LARGEST_FILE_BYTES = 5_000_000
MOST_ROWS = 20_000
SEPARATORS = ",;\t"
MOST_REREADS = 20
"""After so many damaged rows of several lines the quotes mean nothing any more, and reading on would only be slow."""


@dataclass(frozen=True)
class Fault:
    """What is wrong with a line, and what to do."""

    line: int
    words: str


@dataclass(frozen=True)
class Row:
    """One row: known columns by name, without surrounding spaces."""

    line: int
    """Where it begins, as a text editor counts: a quoted line break makes a row longer than a line."""
    values: dict[str, str]


@dataclass(frozen=True)
class Sheet:
    """A whole file."""

    rows: list[Row] = field(default_factory=list)
    faults: list[Fault] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)
    """Names of columns that an import does not know: nothing of them is brought in."""


@dataclass(frozen=True)
class _Record:
    line: int
    fields: list[str]
    fault: str = ""


def read_sheet(content: bytes) -> Sheet:
    """The rows under the header; raises BadForm where the file as a whole cannot be read."""
    lines = list(io.StringIO(_text_of(content), newline=""))
    records = _records(lines, _separator_of(lines))
    header = next(records, None)
    if header is None:
        raise BadForm("This file is empty. Its first line names the columns.")
    if header.fault:
        raise BadForm(f"The first line, which names the columns, cannot be read: {header.fault}")
    return _under(_names_of(header.fields), records)


def _text_of(content: bytes) -> str:
    if len(content) > LARGEST_FILE_BYTES:
        raise BadForm("This file is larger than 5 MB. Split it: each part with the line that names the columns.")
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = content.count(b"\n", 0, error.start) + 1
        words = f"Line {line} is not UTF-8 text. In the spreadsheet, save the file anew as “CSV UTF-8”."
        raise BadForm(words) from error


def _separator_of(lines: list[str]) -> str:
    """By the line of the header alone: what people wrote further down says nothing about it."""
    header = next((line for line in lines if line.strip()), "")
    try:
        found = csv.Sniffer().sniff(header, delimiters=SEPARATORS).delimiter
    except csv.Error:  # one column only
        return ","
    return found if found in SEPARATORS else ","


def _records(lines: list[str], separator: str) -> Iterator[_Record]:
    """Every record that is not blank. A damaged one of several lines is read again from its second line on.

    A quote that was never closed would otherwise swallow good rows.
    """
    start, rereads = 0, 0
    while start < len(lines):
        reader = csv.reader(lines[start:], delimiter=separator, strict=True)
        for record, length in _from(reader, start):
            if record.fields or record.fault:
                yield record
            start = record.line - 1 + length
            if record.fault and length > 1:
                start, rereads = record.line, rereads + 1
                break
        if rereads > MOST_REREADS:
            yield _Record(
                start + 1, [], "From here on nothing was read: the quotes are not in pairs. Mend those above."
            )
            return


def _from(reader: Iterator[list[str]], start: int) -> Iterator[tuple[_Record, int]]:
    """Records with the number of lines each took."""
    line = start + 1
    while True:
        try:
            fields, fault = next(reader), ""
        except StopIteration:
            return
        except csv.Error as error:
            fields, fault = [], _fault_words(error)
        length = start + reader.line_num + 1 - line  # type: ignore[attr-defined]  # a csv.reader has it
        blank = not any(one.strip() for one in fields)
        yield _Record(line, [] if blank else fields, fault), length
        line += length


def _fault_words(error: csv.Error) -> str:
    if "expected after" in str(error):
        return 'A quote in the middle of a quoted field. Write it twice (""), or close the field before the separator.'
    if "unexpected end" in str(error) or "larger than field limit" in str(error):
        return 'A quote is opened here and never closed. Close it, or write it twice ("") inside a quoted field.'
    return f"Cannot be read as CSV ({error})."


def _names_of(header: list[str]) -> list[str]:
    names = ["_".join(name.strip().lower().replace("-", " ").replace("_", " ").split()) for name in header]
    twice = sorted({name for name in names if name in COLUMNS and names.count(name) > 1})
    if twice:
        raise BadForm(f"A column is there twice: {', '.join(twice)}. Which one is meant? Rename the other.")
    missing = [name for name in REQUIRED if name not in names]
    if missing:
        there = ", ".join(name for name in names if name)[:200]
        raise BadForm(
            f"The first line must name the columns, and {' and '.join(missing)} must be there. It says: {there}"
        )
    return names


def _under(names: list[str], records: Iterator[_Record]) -> Sheet:
    sheet = Sheet(unread=[name for name in names if name and name not in COLUMNS])
    for count, record in enumerate(records, start=1):
        if count > MOST_ROWS:
            raise BadForm(
                f"More than {MOST_ROWS:,} lines. Split the file: each part with the line that names the columns."
            )
        fault = record.fault or _count_fault(names, record.fields)
        if fault:
            sheet.faults.append(Fault(record.line, fault))
            continue
        values = {name: value.strip() for name, value in zip(names, record.fields, strict=False) if name in COLUMNS}
        sheet.rows.append(Row(record.line, values))
    return sheet


def _count_fault(names: list[str], fields: list[str]) -> str:
    """RFC 4180, section 2, rule 4: each line has the same number of fields."""
    if len(fields) < len(names) or any(one.strip() for one in fields[len(names) :]):
        return (
            f"Has {len(fields)} fields where the first line names {len(names)}. Is a separator missing, "
            "or one too many? Words with a separator in them go into quotes."
        )
    return ""
