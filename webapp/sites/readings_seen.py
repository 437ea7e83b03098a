"""The numbers of a visit: readings as they were taken, and those of the last hot run."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.sites.beside_work import beside_work
from webapp.sites.clock import noted_at
from webapp.sites.phrases import measured
from webapp.sites.visit import ReadingSeen

if TYPE_CHECKING:
    from webapp.sites.procedure_words import ProcedureWords
    from webapp.sites.timeline import Arrived
    from webapp.trade.record_types import Reading, Record


def readings_seen(record: Record, words: ProcedureWords, arrived: list[Arrived]) -> list[ReadingSeen]:
    """Each with its unit, and on which side of a repair it stands."""
    taken = [_reading(reading, record, words, arrived) for reading in record["readings"]]
    return taken + _proof_readings(record, words)


def _reading(reading: Reading, record: Record, words: ProcedureWords, arrived: list[Arrived]) -> ReadingSeen:
    name, unit = words.reading(reading["check"], reading["quantity"])
    where = ", ".join(part for part in (reading["place"], reading["state"]) if part)
    value = measured(reading["quantity"], reading["value"], unit)
    one = next((one for one in arrived if one.event["id"] == reading["by"]["event_id"]), None)
    noted = noted_at(one.event, one.received_at) if one else None
    beside = beside_work(reading["by"], record)
    told = f"{beside} the repair" if beside else ""
    return ReadingSeen(reading["quantity"], name, value, where, reading["value"], noted, told)


def _proof_readings(record: Record, words: ProcedureWords) -> list[ReadingSeen]:
    """The last hot run's numbers: before and after of the one that convicted, and CO."""
    if not record["proofs"]:
        return []
    last = record["proofs"][-1]
    quantity = last["quantity"] or "suction_in_wc"
    name, unit = words.reading(None, quantity)
    told = (
        (quantity, f"{name} before the repair", unit, last["before_value"], ""),
        (quantity, f"{name} in the hot run", unit, last["after_value"], "hot"),
        ("co_room_ppm", "CO in the room, hot run", "ppm", last["co_room_ppm"], ""),
        ("co_air_free_ppm", "CO air-free, hot run", "ppm", last["co_air_free_ppm"], ""),
    )
    return [
        ReadingSeen(quantity, name, measured(quantity, value, unit), where, value)
        for quantity, name, unit, value, where in told
        if value is not None
    ]
