"""What stands at many addresses at once, for lists."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.sites import queries
from webapp.sites.about_address import address_facts
from webapp.sites.event_reading import arrived_of

if TYPE_CHECKING:
    from collections.abc import Collection

    from sqlalchemy.orm import Session

    from webapp.trade.events import Event


def heaters_of_groups(session: Session, group_ids: Collection[str]) -> dict[str, list[str]]:
    """The heaters of each of these addresses, as far as anybody described them."""
    group_of = queries.get_groups_of_sites(session, group_ids)
    by_group: dict[str, list[Event]] = {}
    for one in arrived_of(queries.get_facts_of_address(session, list(group_of))):
        by_group.setdefault(group_of[one.event["site_id"]], []).append(one.event)
    return {group_id: address_facts(events).heaters for group_id, events in by_group.items()}
