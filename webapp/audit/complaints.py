"""Which complaints are one complaint: "no hot water" and "shuts itself down" may be the same fault, told twice.

The families are an expert guess (no source). A complaint that is in none of them is a family of its own.
"""

from __future__ import annotations

FAMILIES = {
    "no_hot_water": "no_heat",
    "locks_out": "no_heat",
    "flame_goes_out": "no_heat",
    "short_hot_water": "too_little",
    "noise_or_smell": "noise_or_smell",
}
FAMILY_WORDS = {
    "no_heat": "no hot water, or it shuts itself down or goes out",
    "too_little": "runs out of hot water",
    "noise_or_smell": "noise or smell",
}
NOT_KNOWN = ("", "other", "not_told")
"""Nobody can say whether these are the same as anything."""


def family_of(complaint: str) -> str | None:
    """The family of a complaint; None where the record does not say what was wrong."""
    if complaint in NOT_KNOWN:
        return None
    return FAMILIES.get(complaint, complaint)
