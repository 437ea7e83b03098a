"""What the company chose once for everybody: each setting's name and meaning stand here, and nowhere a default."""

from __future__ import annotations

from typing import NamedTuple

from sqlalchemy.orm import Session

from webapp.sheets import queries

CO_LADDER = "co_ladder"
OFFICE_PHONE = "office_phone"
COMPANY_NAME = "company_name"
FOR_PHONES = (CO_LADDER, OFFICE_PHONE)
"""What phones are told; the name is for the customer's sheet, which the office makes."""


class Settings(NamedTuple):
    """`co_ladder`: id of the rule set for CO in the room (webapp/trade/co_ladders.py). None: not chosen."""

    co_ladder: str | None
    office_phone: str | None
    company_name: str | None


def read_settings(session: Session) -> Settings:
    """As they stand now."""
    found = queries.get_settings(session)
    chosen = {name: found[name].value if name in found else None for name in (CO_LADDER, OFFICE_PHONE, COMPANY_NAME)}
    return Settings(chosen[CO_LADDER] or None, chosen[OFFICE_PHONE] or None, chosen[COMPANY_NAME] or None)
