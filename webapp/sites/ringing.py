"""Telephone numbers on a page, whose they are, and who rang somebody below in vain."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.sites.address_key import phone_key
from webapp.sites.clock import hour_words, noted_at

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from webapp.trade.record_types import Record

NO_BREAK = "\u00a0"
SEVEN, TEN = 7, 10
RANG, IN_VAIN = "Rang about ", ": nobody answered."
"""A note in these words is made by one button; it is shown as what it is, and decides nothing."""
SOMEBODY = "somebody unknown here"


def phone_words(number: str) -> str:
    """`(068) 555-0121` and `555-0121`, however it was typed; any other length as it stands."""
    digits = "".join(c for c in number if c in "0123456789")
    if any(c.isalpha() for c in number):
        return number
    if len(digits) == TEN + 1 and digits.startswith("1"):
        digits = digits[1:]
    if len(digits) not in (SEVEN, TEN):
        return number
    local = f"{digits[-7:-4]}-{digits[-4:]}"
    return local if len(digits) == SEVEN else f"({digits[:3]}){NO_BREAK}{local}"


def whose_number(ring: str, customers: Collection[str], offices: str | None) -> str:
    """Whoever went below gave it; where it is another's, that is said."""
    if not phone_key(ring):
        return ""
    if phone_key(ring) in {phone_key(number) for number in customers}:
        return "the customer's number"
    return "the office's own number" if phone_key(offices or "") == phone_key(ring) else "given by whoever went below"


def rang_words(who: str, words: str) -> str:
    """What is noted when nobody answered."""
    return f"{RANG}{who}, {words}{IN_VAIN}"


def rang_in_vain(record: Record, names: Mapping[str, str], who: str = "") -> str:
    """`rang 15:22, Dora Desk: nobody answered`; how often, where it was more than once; empty where nobody rang.

    Only since they went below; `who`: about this one alone.
    """
    since = min((one["by"]["lamport"] for one in record["below_now"]), default=0)
    begins = RANG + (f"{who}," if who else "")
    rang = [
        note["by"]
        for note in record["notes"]
        if note["by"]["lamport"] > since and note["words"].startswith(begins) and note["words"].endswith(IN_VAIN)
    ]
    if not rang:
        return ""
    at = noted_at(rang[-1], None).noted
    last = f"{hour_words(at) if at else 'at an hour that is not known'}, {names.get(rang[-1]['person_id'], SOMEBODY)}"
    often = "rang" if len(rang) == 1 else f"rang {len(rang)} times, last"
    return f"{often} {last}{IN_VAIN[:-1]}"
