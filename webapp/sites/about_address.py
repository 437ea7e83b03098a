"""What stands said about an address itself: its heaters, the makers' figures typed there, which job was at which."""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import UTC, datetime
from typing import TYPE_CHECKING, Any

from webapp.sites.clock import noted_at
from webapp.sites.event_words import heater_words, read_from
from webapp.sites.phrases import measured
from webapp.sites.procedure_words import split_unit
from webapp.trade.bodies import SHAPES, read_body
from webapp.trade.envelope import live_events, take_in

if TYPE_CHECKING:
    from collections.abc import Iterator

    from webapp.trade.events import Event

NO_TIME = datetime.min.replace(tzinfo=UTC)
NOT_CONFIRMED = "typed on site, not confirmed yet"
NOT_READ_HERE = "not read on the heater"


@dataclass(frozen=True)
class Figure:
    """A maker's figure as it was typed on site, or taken over from the company's sheet."""

    quantity: str
    words: str
    """`make point 0.45 in. w.c.`"""
    read_from: str
    confirmed: str
    """Whether the office has read the photo, and what it reads there."""

    @property
    def line(self) -> str:
        """The whole in one line."""
        return f"{self.words} ({self.read_from}, {self.confirmed})"


@dataclass(frozen=True)
class HeaterKnown:
    """One heater with what was typed of it."""

    appliance_id: str
    kind: str
    words: str
    figures: list[Figure] = field(default_factory=list)


@dataclass(frozen=True)
class AddressFacts:
    """Lines ready to be shown, and which jobs named which heater."""

    heaters: list[str]
    known: list[HeaterKnown]
    loose_figures: list[Figure]
    """Figures of which nobody said which heater's they are."""
    heater_of_job: dict[str, str]
    """Only jobs that described a heater; the last one that they described."""
    first_at: dict[str, str | None] = field(default_factory=dict)
    """By heater, in the order in which they were first described: the job that did so."""

    @property
    def sheet(self) -> list[str]:
        """All figures, one line each."""
        return [figure.line for known in self.known for figure in known.figures] + [
            figure.line for figure in self.loose_figures
        ]

    def heater_at(self, job_id: str) -> str | None:
        """The heater that a job was at: the one it described, or the only one that is known here."""
        only = self.known[0].appliance_id if len(self.known) == 1 else None
        return self.heater_of_job.get(job_id, only)


def address_facts(events: list[Event]) -> AddressFacts:
    """The last word on each heater and each figure: within a job by fold order, between jobs by the clock."""
    heaters: dict[str, tuple[str, str]] = {}
    of_job: dict[str, str] = {}
    first_at: dict[str, str | None] = {}
    typed: dict[tuple[str | None, str], tuple[Event, dict[str, Any]]] = {}
    confirmed: dict[str, dict[str, Any]] = {}
    for event, body in _standing(events):
        if event["kind"] == "appliance_described":
            heaters[body["appliance_id"]] = body["kind"], heater_words(body)
            first_at.setdefault(body["appliance_id"], event["job_id"])
            if event["job_id"]:
                of_job[event["job_id"]] = body["appliance_id"]
        elif event["kind"] == "sheet_number":
            typed[event["job_id"], body["quantity"]] = (event, body)
        elif event["kind"] == "sheet_confirmed":
            confirmed[body["sheet_event_id"]] = body
    only = next(iter(heaters)) if len(heaters) == 1 else None
    figures: dict[str | None, dict[str, Figure]] = {}
    for (job_id, quantity), (event, body) in typed.items():
        heater = of_job.get(job_id or "", only)
        there = figures.setdefault(heater, {})
        there[quantity] = _after(there.get(quantity), _figure(body, confirmed.get(event["id"])))
    known = [HeaterKnown(key, *told, list(figures.get(key, {}).values())) for key, told in heaters.items()]
    loose = list(figures.get(None, {}).values())
    return AddressFacts([one.words for one in known], known, loose, of_job, first_at)


def _standing(events: list[Event]) -> Iterator[tuple[Event, dict[str, Any]]]:
    ordered, _unreadable = take_in(events)
    for event in _one_job_after_another(live_events(ordered)):
        if (event["kind"], event["schema"]) in SHAPES:
            body, fault = read_body(event["kind"], event["schema"], event["body"])
            if fault is None:
                yield event, body


def _one_job_after_another(live: list[Event]) -> list[Event]:
    """Counters of two jobs do not compare: a long visit of years ago must not outdo a short one of today.

    Within a job no clock moves an event before one that stands before it in fold order.
    """
    latest: dict[tuple[str, str | None], datetime] = {}
    when: dict[str, datetime] = {}
    for event in live:
        fold = (event["site_id"], event["job_id"])
        noted = noted_at(event, None).noted or NO_TIME
        when[event["id"]] = latest[fold] = max(noted, latest.get(fold, NO_TIME))
    return sorted(live, key=lambda event: when[event["id"]])


def _figure(body: dict[str, Any], confirmed: dict[str, Any] | None) -> Figure:
    quantity = body["quantity"]
    words = f"{split_unit(quantity)[0]} {measured(quantity, body['value'])}"
    stands = NOT_READ_HERE if body.get("model_sheet_id") else _confirmed(quantity, confirmed)
    return Figure(quantity, words, read_from(body), stands)


def _after(earlier: Figure | None, figure: Figure) -> Figure:
    """The last one typed stands; what the office read of one before it is not lost meanwhile."""
    if earlier is None or figure.confirmed != NOT_CONFIRMED or earlier.confirmed.startswith(NOT_CONFIRMED):
        return figure
    return replace(figure, confirmed=f"{NOT_CONFIRMED}; of {earlier.words}, typed before it: {earlier.confirmed}")


def _confirmed(quantity: str, told: dict[str, Any] | None) -> str:
    if told is None:
        return NOT_CONFIRMED
    if told["agrees"]:
        return "confirmed against the photo"
    read = f" {measured(quantity, told['read_value'])}" if told["read_value"] is not None else " otherwise"
    return f"the photo reads{read}"
