"""The columns that an import knows, and what each may hold."""

from __future__ import annotations

from dataclasses import dataclass

LONGEST_WORDS = 2_000


@dataclass(frozen=True)
class Column:
    """One column of the file."""

    name: str
    longest: int
    """As many characters as the address or the event can carry (webapp/sync/bodies.py)."""
    words: str
    example: str
    required: bool = False


ADDRESS_COLUMNS = (
    Column("street", 200, "Street and number", "12 Mill Lane", required=True),
    Column("town", 120, "Town", "Harrowby", required=True),
    Column("postcode", 20, "Postcode", "00142"),
    Column("customer_name", 120, "Customer's name", "Ida Quillfeather"),
    Column("phone", 40, "Phone", "555-0142"),
    Column("access_words", LONGEST_WORDS, "How to get in", "Side door, ring twice"),
)
VISIT_COLUMNS = (
    Column("visited_on", 10, "Day of a past visit, as year-month-day; without it no visit is made", "2024-03-18"),
    Column("complaint", LONGEST_WORDS, "What was wrong", "No hot water"),
    Column("technician", 120, "Who went: login or name", "Teo Fernwhistle"),
    Column("cause", LONGEST_WORDS, "Cause: as the procedure calls it, or in own words", "Terminal blocked"),
    Column("repair", LONGEST_WORDS, "What was done: as the procedure calls it, or in own words", "Terminal cleared"),
    Column("held", 7, "Did it hold: yes, no or unknown", "yes"),
    Column("note", LONGEST_WORDS, "Anything else", "Second visit that winter"),
)
COLUMNS = {column.name: column for column in (*ADDRESS_COLUMNS, *VISIT_COLUMNS)}
REQUIRED = tuple(name for name, column in COLUMNS.items() if column.required)
