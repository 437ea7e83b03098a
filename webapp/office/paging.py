"""Where a page begins, as it stands in an address: `2026-11-25T08:19:09.123456+00:00` and an id."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.office.queries import JobEdge
from webapp.office.urgency_queries import UrgentEdge
from webapp.sites.clock import parse_wall
from webapp.sites.visit import JobPlace

if TYPE_CHECKING:
    from collections.abc import Mapping


def read_edge(typed: Mapping[str, str]) -> JobEdge | None:
    """Where the list of jobs goes on; nothing where the address says nothing readable."""
    moment, job_id = parse_wall(typed.get("from")), typed.get("after", "")
    return JobEdge(moment, job_id) if moment and job_id else None


def read_urgent_edge(typed: Mapping[str, str]) -> UrgentEdge | None:
    """The same for the list by urgency, which says the place's rank too."""
    edge, rank = read_edge(typed), typed.get("rank", "")
    if edge is None or rank not in "123456" or len(rank) != 1:
        return None
    return UrgentEdge(int(rank), typed.get("key", ""), edge.booked_at, edge.job_id)


def written(edge: JobEdge | UrgentEdge) -> dict[str, str]:
    """The same, to be put into an address."""
    if isinstance(edge, JobEdge):
        return {"from": edge.booked_at.isoformat(), "after": edge.job_id}
    place = {"from": edge.moment.isoformat(), "after": edge.job_id, "rank": str(edge.rank)}
    return place | ({"key": edge.key} if edge.key else {})


def read_place(typed: Mapping[str, str]) -> JobPlace | None:
    """Where a logbook goes on."""
    moment, job_id = parse_wall(typed.get("from")), typed.get("after", "")
    return JobPlace(moment, job_id) if moment and job_id else None
