"""The company's time zone: which there are, and that every page of the office goes by it."""

from __future__ import annotations

from functools import cache
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError, available_timezones

from flask import Blueprint, g

from webapp.extensions import get_database
from webapp.sheets.settings import read_settings
from webapp.sites.clock import use_zone

NO_PLACES = ("Etc", "SystemV", "posix", "right", "US", "Canada", "Brazil", "Chile", "Mexico")
"""Groups of older names and of bare offsets, whose signs mislead: a place is meant."""


@cache
def zone_names() -> tuple[str, ...]:
    """Names to choose from, by region and city, and UTC."""
    places = [name for name in available_timezones() if "/" in name and name.partition("/")[0] not in NO_PLACES]
    return ("UTC", *sorted(places))


def zone_named(typed: str) -> ZoneInfo | None:
    """The zone of this IANA name, whatever its capitals; None where there is none."""
    name = next((one for one in zone_names() if one.lower() == typed.replace(" ", "_").lower()), None)
    try:
        return ZoneInfo(name) if name else None
    except ZoneInfoNotFoundError:
        return None


def init_time_zone(blueprint: Blueprint) -> None:
    """Go by the company's zone in every request of a person at the office, and by none after it.

    Asked again where a page is drawn: one that was refused before the others were asked shows times too.
    """
    blueprint.before_app_request(_use_companys)
    blueprint.app_context_processor(_also_when_refused)
    blueprint.teardown_app_request(_forget)


def _use_companys() -> None:
    if g.get("zone_is_known") or g.get("person") is None or g.get("device") is not None:
        return  # nobody, or a phone: it shows times by its own clock
    g.zone_is_known = True
    with get_database().reading_session() as reading:  # a session of its own: a write must not begin here
        chosen = read_settings(reading).time_zone
    use_zone(zone_named(chosen) if chosen else None)


def _also_when_refused() -> dict[str, object]:
    _use_companys()
    return {}


def _forget(_error: BaseException | None) -> None:
    use_zone(None)
