"""A job's record as table rows. No database here."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import UTC, datetime, timedelta
from typing import TYPE_CHECKING, Any

from webapp.models.base import wall_time
from webapp.sites.address_key import phone_key, street_key, words_key
from webapp.sites.brought_in import NOBODYS_ID
from webapp.sites.clock import reckoned
from webapp.trade.conviction import changed_unread
from webapp.trade.envelope import live_events, take_in

if TYPE_CHECKING:
    from webapp.trade.record_types import CallNote, Mark, PutBackNote, Record

WALL_LENGTH = 40
"""Of the column: a time that cannot be read is kept as it came, as far as that."""
SITE_FIELDS = ("street", "town", "postcode", "customer_name", "phone", "access_words")


def job_row(record: Record, *, site_id: str, job_id: str, received: Mapping[str, datetime]) -> dict[str, Any]:
    """The columns of `Job`; `received` says when the server had each of the job's events."""
    booked, opened, closed = record["booked"], record["opened"], record["closed"]
    return {
        "id": job_id,
        "site_id": site_id,
        "state": record["state"],
        "technician_id": record["technician_id"] or _first_person(record),
        "complaint": booked["complaint"] if booked else "",
        "complaint_words": booked["complaint_words"] if booked else "",
        "procedure_name": booked["procedure_name"] if booked else "",
        "procedure_hash": opened["procedure_hash"] if opened else None,
        "due_wall": record["due_wall"],
        **_for_the_desk(record, received),
        "booked_at": _moment(booked["by"]) if booked else None,
        "opened_at": _moment(opened["by"]) if opened else None,
        "closed_at": _moment(closed["by"]) if closed else None,
        "close_state": closed["state"] if closed else None,
        "cause": record["cause"],
        "last_received_at": max(received.values()),
        "event_count": record["event_count"],
        "record": record,
        "fold_version": record["fold_version"],
        "needs_rebuild": False,
    }


def _for_the_desk(record: Record, received: Mapping[str, datetime]) -> dict[str, Any]:
    """What the office must see without opening the job: who is below, and which heater stands off."""
    first_out, call = _first_due_out(record, received), record["call"]
    return {
        "due_out_wall": first_out[0] if first_out else None,
        "ring_phone": first_out[1] if first_out else None,
        "caller_alarm": any(_is_alarm(one["smell_of_gas"], one["co_alarm"], one["unwell"]) for one in _calls(record)),
        "no_hot_water_since": call["no_hot_water_since"] if call else None,
        "heater_off": record["heater_off"],
        "office_not_told": record["office_not_told"],
        **_last_of("left_off", _left_off_marks(record), received),
        **_last_of("put_back", [one["by"] for one in _counting(record) if one["left_off_ids"] is None], received),
    }


def _first_due_out(record: Record, received: Mapping[str, datetime]) -> tuple[str, str | None] | None:
    """Of all who are below, whoever is due out first: the time by the server's clock, and whom to ring."""
    due = []
    for below in record["below_now"]:
        at = reckoned(below["due_out_wall"], below["by"], received.get(below["by"]["event_id"]))
        due.append((wall_time(at) if at else below["due_out_wall"], below["by"]["event_id"], below["ring_phone"]))
    first = min(due, default=None)
    return (first[0][:WALL_LENGTH], first[2]) if first else None


def _calls(record: Record) -> list[CallNote]:
    """Each person's last word on the call: an alarm that one of them heard stands against another's all-clear."""
    return list({call["by"]["person_id"]: call for call in record["calls"]}.values())


def _left_off_marks(record: Record) -> list[Mark]:
    closed_off = [closed["by"] for closed in record["closings"] if closed["state"] == "left_off"]
    return [note["by"] for note in record["left_off"]] + closed_off


def _last_of(name: str, marks: list[Mark], received: Mapping[str, datetime]) -> dict[str, datetime | None]:
    """When it was noted last, never later than it got here, and when the server heard of it last."""
    noted, heard = [_noted(by, received) for by in marks], [received[by["event_id"]] for by in marks]
    return {f"{name}_at": max(noted, default=None), f"{name}_heard_at": max(heard, default=None)}


def _noted(by: Mark, received: Mapping[str, datetime]) -> datetime:
    heard = received[by["event_id"]]
    return min(_moment(by) or heard, heard)


def standing_rows(
    record: Record, *, site_id: str, job_id: str, received: Mapping[str, datetime]
) -> Iterator[dict[str, Any]]:
    """What the job left off and did not put back itself."""
    for by in _left_off_marks(record):
        if by["event_id"] in record["standing_off"]:
            when = {"noted_at": _noted(by, received), "heard_at": received[by["event_id"]]}
            yield {"event_id": by["event_id"], "site_id": site_id, "job_id": job_id, **when}


def _counting(record: Record) -> list[PutBackNote]:
    return [note for note in record["put_back"] if note["counts"]]


def put_back_rows(record: Record, job_id: str) -> Iterator[dict[str, Any]]:
    """What the job put back by name, whichever job had left it off."""
    for note in _counting(record):
        for left_off_id in dict.fromkeys(note["left_off_ids"] or ()):
            yield {"event_id": note["by"]["event_id"], "left_off_id": left_off_id, "job_id": job_id}


def _is_alarm(*answers: str) -> bool:
    """A caller who is not sure whether it smells of gas is one to be careful with, as on the phone."""
    return "yes" in answers or "unsure" in answers


def outcome_row(record: Record, *, site_id: str, job_id: str) -> dict[str, Any]:
    """The columns of `JobOutcome`."""
    booked, opened, closed = record["booked"], record["opened"], record["closed"]
    began = booked or opened or record["arrived"]
    heaters = {line["appliance_id"]: line["kind"] for line in record["appliances"]}
    heater, kind = heaters.popitem() if len(heaters) == 1 else (None, "")
    return {
        "job_id": job_id,
        "site_id": site_id,
        "state": record["state"],
        "brought_in": record["technician_id"] == NOBODYS_ID,
        "appliance_id": heater[:80] if heater else None,
        "procedure_name": kind[:80] or (booked["procedure_name"] if booked else ""),
        "procedure_hash": opened["procedure_hash"] if opened else None,
        "complaint": booked["complaint"] if booked else "",
        "rung_at_s": _seconds(began["by"]) if began else None,
        "closed_at_s": _seconds(closed["by"]) if closed else None,
        "close_state": closed["state"] if closed else None,
        "cause": record["cause"],
        "repairs": _ids(repair["action"] for repair in record["repairs"]),
        "changed_unread": _ids(f"{part['repair']} {part['why']}" for part in changed_unread(record)),
        "hot_run": _hot_run(record),
    }


def _hot_run(record: Record) -> str:
    if not record["proofs"]:
        return "none"
    if not record["proven"]:
        return "failed"
    return "too_soon" if record["proofs"][-1]["too_soon"] else "held"


def _ids(ids: Iterable[str]) -> str:
    return "\n".join(dict.fromkeys(" ".join(one.split()) for one in ids))


def finding_rows(record: Record, site_id: str, job_id: str) -> Iterator[dict[str, Any]]:
    """The current answers of every person to every check."""
    for check in record["checks"]:
        for answer in check["entries"]:
            if answer["current"]:
                yield {
                    **_line(answer["by"], site_id, job_id),
                    "check_id": check["check"],
                    "outcome": answer["outcome"],
                    "could_not": answer["could_not"],
                    "words": answer["words"] or "",
                }


def reading_rows(record: Record, site_id: str, job_id: str) -> Iterator[dict[str, Any]]:
    """Every live number."""
    for reading in record["readings"]:
        yield {
            **_line(reading["by"], site_id, job_id),
            "check_id": reading["check"],
            "quantity": reading["quantity"],
            "value": reading["value"],
            "place": reading["place"],
            "state": reading["state"],
        }


def photo_rows(events: Iterable[Mapping[str, Any]]) -> tuple[list[dict[str, Any]], list[dict[str, Any]]]:
    """Rows of `Photo` and `PhotoUse`, straight from the events: a replaced photo's bytes may still come in."""
    photos, uses = [], []
    for event in events:
        body = event["body"]
        photos.append({k: body[k] for k in ("sha256", "length_bytes", "media_type")} | {"stored_at": None})
        use = {"event_id": event["id"], "sha256": body["sha256"]}
        uses.append(use | {"site_id": event["site_id"], "job_id": event["job_id"]})
    return photos, uses


def site_values(events: list[dict[str, Any]]) -> dict[str, Any]:
    """What the last live `address_given` says, and the keys under which it is found."""
    given: dict[str, Any] = {}
    ordered, _ = take_in(events)
    for event in live_events(ordered):
        if (event["kind"], event["schema"]) == ("address_given", 1):
            given = event["body"]
    values: dict[str, Any] = {name: given.get(name) or "" for name in SITE_FIELDS}
    words = " ".join(values[name] for name in ("street", "town", "postcode", "customer_name"))
    phone_digits = "".join(c for c in values["phone"] if c in "0123456789")
    return values | {
        "street_key": street_key(values["street"]),
        "phone_key": phone_key(values["phone"]),
        "search_text": f"{words_key(words)} {street_key(values['street'])} {phone_digits}".strip(),
        "needs_rebuild": False,
    }


def _line(by: Mark, site_id: str, job_id: str) -> dict[str, Any]:
    marked = {"event_id": by["event_id"], "person_id": by["person_id"], "at_wall": by["at_wall"]}
    return marked | {"site_id": site_id, "job_id": job_id}


def _first_person(record: Record) -> str | None:
    """A job that nobody booked belongs to whoever opened it."""
    began = record["opened"] or record["arrived"]
    return began["by"]["person_id"] if began else None


def _moment(by: Mark) -> datetime | None:
    """The server's clock, as well as the device knew it; None where its clock says nothing sensible."""
    try:
        at = datetime.fromisoformat(by["at_wall"])
        return (at + timedelta(milliseconds=by["clock_offset"] or 0)).astimezone(UTC)
    except (ValueError, OverflowError):
        return None


def _seconds(by: Mark) -> int | None:
    """The same in whole seconds since 1970, UTC."""
    moment = _moment(by)
    return None if moment is None else int(moment.timestamp())
