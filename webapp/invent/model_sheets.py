"""What the invented company keeps for its phones: sheets of its invented models, a rule set, a number, licences.

Nothing here is any real maker's paper; the figures are those of makers.py, expert guesses that belong to no heater.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime, timedelta
from typing import TYPE_CHECKING, Any

from webapp.invent.makers import Model, meaning_words
from webapp.people.licences import set_licence
from webapp.sheets.procedure_paper import VENT_COLUMNS
from webapp.sheets.service import SheetDraft, add_sheet, change_settings

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.models import Person

OFFICE_PHONE = "(068) 555-0100"
COMPANY_NAME = "Quickbramble Water Heaters"
TIME_ZONE = "America/Chicago"
"""The invented town lies nowhere; its clocks change in spring and autumn, as those of most companies do."""
CO_LADDER = "protocol_9_36_70"
FEET_PER_90 = {2.0: 5.0, 3.0: 7.0}
"""As in readings.vent_survey: the invented sheets count an elbow so."""

COULD_BE = {
    "never_made": ["pressure_switch"],
    "opened_hot": ["pressure_switch", "vent_limit"],
    "limit_open": ["tank_limit", "vent_limit", "roll_out"],
}
"""Contacts of the power-vented heater's chain that a line may point at."""

SCENE_CODES: tuple[dict[str, Any], ...] = (
    {"flash_groups": "3", "text": None, "meaning_words": "Air proving switch did not close"},
    {"flash_groups": "2-4", "text": "E7", "meaning_words": "Air proving switch opened while burning"},
    {"flash_groups": "5", "text": None, "meaning_words": "Limit circuit open"},
)
SCENE_POINTS = (["pressure_switch"], ["pressure_switch", "vent_limit"], ["tank_limit", "vent_limit", "roll_out"])
SCENE_MODELS = (("Cellarlight 450-Q2", 0.36, 60.0), ("Larder 36-V1", 0.42, 45.0))


def keep_company_data(
    session: Session,
    *,
    owner: Person,
    desk: Person,
    technicians: Iterable[Person],
    models: Iterable[Model],
    now: datetime,
) -> None:
    """Everything as the office would have typed it, some months ago. One licence soon runs out.

    Each was renewed then: it had been kept since before the first visit.
    """
    joined, typed_at = now - timedelta(days=600), now - timedelta(days=200)
    change_settings(
        session,
        owner,
        co_ladder=CO_LADDER,
        office_phone=OFFICE_PHONE,
        company_name=COMPANY_NAME,
        time_zone=TIME_ZONE,
        now=typed_at,
    )
    for number, name_and_figures in enumerate(SCENE_MODELS):
        add_sheet(session, desk, _scene_sheet(*name_and_figures), typed_at + timedelta(minutes=number))
    for number, model in enumerate(models):
        add_sheet(session, desk, _sheet(model), typed_at + timedelta(days=1, minutes=number))
    for number, technician in enumerate(technicians):
        words, until = f"Gas fitter G-11{number}87", now + timedelta(days=19 + 400 * number)
        for kept_at, last_day in ((joined, typed_at + timedelta(days=30)), (typed_at, until)):
            on = last_day.date().isoformat()
            set_licence(session, technician.id, words=words, expires_on=on, by=owner, now=kept_at)


def _sheet(model: Model) -> SheetDraft:
    codes = [
        {
            "flash_groups": str(flashes),
            "text": f"E{flashes}",
            "meaning_words": meaning_words(phase),
            "could_be": COULD_BE.get(phase, []),
        }
        for phase, flashes in model.flashes
    ]
    limits = _limits(model.make_point_in_wc, model.limit_opens_f)
    vent = _vent(model.nominal_in, model.limit_equivalent_ft, float(model.limit_elbows))
    return _draft(model.maker, model.name, limits=limits, codes=codes, vent=[vent])


def _scene_sheet(name: str, make_point_in_wc: float, limit_ft: float) -> SheetDraft:
    codes = [{**code, "could_be": points} for code, points in zip(SCENE_CODES, SCENE_POINTS, strict=True)]
    vent = [_vent(2.0, limit_ft, 4.0), _vent(3.0, limit_ft * 2, 7.0)]
    return _draft("Vossquill", name, limits=_limits(make_point_in_wc, 145.0), codes=codes, vent=vent)


def _draft(maker: str, name: str, **parts: Any) -> SheetDraft:
    words = "Invented for the demo; it is no maker's paper."
    return SheetDraft("power_vent", maker, name, {**parts, "words": words})


def _limits(make_point_in_wc: float, vent_limit_f: float) -> list[dict[str, Any]]:
    return [
        {"quantity": "make_point_in_wc", "value": make_point_in_wc, "where": "part_label"},
        {"quantity": "vent_limit_f", "value": vent_limit_f, "where": "sheet"},
    ]


def _vent(nominal_in: float, limit_ft: float, elbows: float) -> dict[str, float | None]:
    per_90 = FEET_PER_90[nominal_in]
    row: dict[str, float | None] = dict.fromkeys(VENT_COLUMNS)
    figures = {"nominal_in": nominal_in, "max_equivalent_ft": limit_ft, "min_equivalent_ft": 5.0, "max_elbows": elbows}
    return row | figures | {"feet_per_elbow_90": per_90, "feet_per_elbow_45": per_90 / 2}
