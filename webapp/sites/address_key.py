"""Keys under which an address is found again, however it was typed.

A key is for finding candidates to show to a person; it never joins two addresses by itself.
"""

from __future__ import annotations

import unicodedata

# Long and short forms of the same word. Source: USPS Publication 28, Appendices B and C1, C2 (postal
# abbreviations), from memory; only words that dispatchers type both ways.
SHORT_FORMS = {
    "alley": "aly", "avenue": "ave", "av": "ave", "boulevard": "blvd", "circle": "cir", "court": "ct",
    "crossing": "xing", "drive": "dr", "heights": "hts", "highway": "hwy", "lane": "ln", "parkway": "pkwy",
    "place": "pl", "road": "rd", "saint": "st", "square": "sq", "street": "st", "str": "st", "terrace": "ter",
    "trail": "trl", "apartment": "apt", "floor": "fl", "suite": "ste", "unit": "apt",
    "north": "n", "south": "s", "east": "e", "west": "w",
    "northeast": "ne", "northwest": "nw", "southeast": "se", "southwest": "sw",
}  # fmt: skip
PHONE_KEY_DIGITS = 7
"""The last seven digits: callers leave the area code out, and contact lists put it in."""


def words_key(words: str) -> str:
    """Lower case, without accents or punctuation, one space between words."""
    plain = unicodedata.normalize("NFKD", words.replace("#", " apt "))
    bare = "".join(c for c in plain if not unicodedata.combining(c)).casefold().replace("'", "").replace("\u2019", "")
    return " ".join("".join(c if c.isalnum() else " " for c in bare).split())


def street_key(street: str) -> str:
    """`12 Mill Lane` and `12 MILL LN.` have the same key."""
    return " ".join(SHORT_FORMS.get(word, word) for word in words_key(street).split())


def phone_key(phone: str) -> str:
    """The last seven digits, or nothing when fewer were typed."""
    digits = "".join(c for c in phone if c in "0123456789")
    return digits[-PHONE_KEY_DIGITS:] if len(digits) >= PHONE_KEY_DIGITS else ""
