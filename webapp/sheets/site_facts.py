"""What stands said of the heaters and makers' figures of some addresses."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any

from webapp.sheets import queries
from webapp.sync.canonical import event_of
from webapp.trade.bodies import SHAPES, read_body
from webapp.trade.envelope import live_events, take_in

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from sqlalchemy.orm import Session

    from webapp.models import EventRow
    from webapp.trade.events import Event

Body = dict[str, Any]


@dataclass
class SiteFacts:
    """Only what stands: what was replaced or taken back is not in it."""

    heaters: dict[str, Body] = field(default_factory=dict)
    """By appliance id, as it was described last."""
    heater_of_job: dict[str, str] = field(default_factory=dict)
    typed: dict[str, Body] = field(default_factory=dict)
    """Figures by the id of their event. What was taken from the company's own sheet is not typed on site."""
    confirmed: dict[str, Body] = field(default_factory=dict)
    """What the office read, by the id of the figure's event."""

    def heater_at(self, job_id: str | None) -> Body | None:
        """The heater that a job was at: the one it described, or the only one that is known there."""
        named = self.heaters.get(self.heater_of_job.get(job_id or "", ""))
        return named or (next(iter(self.heaters.values())) if len(self.heaters) == 1 else None)


def facts_of(session: Session, site_ids: Collection[str]) -> dict[str, SiteFacts]:
    """By site; an address of which nothing was said has empty facts."""
    by_site: dict[str, list[EventRow]] = defaultdict(list)
    for row in queries.facts_of_sites(session, site_ids):
        by_site[row.site_id].append(row)
    return {site_id: _facts(by_site[site_id]) for site_id in site_ids}


def _facts(rows: Iterable[EventRow]) -> SiteFacts:
    facts = SiteFacts()
    ordered, _unreadable = take_in([event_of(row) for row in rows])
    for event in live_events(ordered):
        body, fault = _read(event)
        if fault is not None:
            continue
        if event["kind"] == "appliance_described":
            facts.heaters[body["appliance_id"]] = _told_before(facts.heaters.get(body["appliance_id"]), body)
            if event["job_id"]:
                facts.heater_of_job[event["job_id"]] = body["appliance_id"]
        elif event["kind"] == "sheet_number" and not body.get("model_sheet_id"):
            facts.typed[event["id"]] = body
        elif event["kind"] == "sheet_confirmed":
            facts.confirmed[body["sheet_event_id"]] = body
    return facts


def _told_before(old: Body | None, new: Body) -> Body:
    """What the newer entry leaves out stands as it was said before."""
    return new if old is None else {**old, **{name: value for name, value in new.items() if value is not None}}


def _read(event: Event) -> tuple[Body, str | None]:
    if (event["kind"], event["schema"]) not in SHAPES:
        return {}, "unknown"
    return read_body(event["kind"], event["schema"], event["body"])
