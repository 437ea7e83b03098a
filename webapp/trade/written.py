"""A number as both engines write it alike: `round`, and the text of a float, may differ in the last digit."""

from __future__ import annotations


def to_a_hundredth(value: float) -> str:
    """Rounded half away from 0, without needless zeros.

    Range: any finite number. Example: 9.29 is "9.29", 0.4 "0.4", 90.0 "90". Source: arithmetic.
    """
    hundredths = int(abs(value) * 100 + 0.5)
    whole, part = str(hundredths // 100), ("0" + str(hundredths))[-2:]
    while part and part[-1] == "0":
        part = part[:-1]
    return ("-" if value < 0 and hundredths else "") + whole + ("." + part if part else "")
