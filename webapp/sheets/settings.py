"""What the company chose once for everybody: each setting's name and meaning stand here, and nowhere a default."""

from __future__ import annotations

from typing import NamedTuple

from sqlalchemy.orm import Session

from webapp.sheets import queries

CO_LADDER = "co_ladder"
OFFICE_PHONE = "office_phone"
COMPANY_NAME = "company_name"
TIME_ZONE = "time_zone"
FOR_PHONES = (CO_LADDER, OFFICE_PHONE)
"""What phones are told. The name is for the customer's sheet, which the office makes; a phone has its own zone."""


class Settings(NamedTuple):
    """`co_ladder`: id of the rule set for CO in the room (webapp/trade/co_ladders.py). None: not chosen.

    `time_zone`: an IANA name, in which the office reads and types times. None: that of the server's machine.
    """

    co_ladder: str | None
    office_phone: str | None
    company_name: str | None
    time_zone: str | None


def read_settings(session: Session) -> Settings:
    """As they stand now."""
    found = queries.get_settings(session)
    names = (CO_LADDER, OFFICE_PHONE, COMPANY_NAME, TIME_ZONE)
    return Settings(*[(found[name].value or None) if name in found else None for name in names])
