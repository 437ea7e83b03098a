"""What stands said about an address itself: its heaters, and the makers' figures typed there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from webapp.sites.event_words import heater_words, measured
from webapp.sites.procedure_words import split_unit
from webapp.trade.bodies import SHAPES, read_body
from webapp.trade.envelope import live_events, take_in

if TYPE_CHECKING:
    from webapp.trade.events import Event


@dataclass(frozen=True)
class AddressFacts:
    """Lines ready to be shown."""

    heaters: list[str]
    sheet: list[str]


def address_facts(events: list[Event]) -> AddressFacts:
    """The last word on each heater and each figure; whoever said it last in fold order."""
    heaters: dict[str, str] = {}
    sheet: dict[str, str] = {}
    ordered, _unreadable = take_in(events)
    for event in live_events(ordered):
        if (event["kind"], event["schema"]) not in SHAPES:
            continue
        body, fault = read_body(event["kind"], event["schema"], event["body"])
        if fault is None and event["kind"] == "appliance_described":
            heaters[body["appliance_id"]] = heater_words(body)
        if fault is None and event["kind"] == "sheet_number":
            name = split_unit(body["quantity"])[0]
            sheet[body["quantity"]] = f"{name} {measured(body['quantity'], body['value'])}"
    return AddressFacts(list(heaters.values()), list(sheet.values()))
