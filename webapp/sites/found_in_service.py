"""A heater that was left off and found in service, over all visits of its address: said on one, shut off on another."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.sites.clock import noted_at
from webapp.trade.found_running import found_running
from webapp.trade.off_before import is_another

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import datetime

    from webapp.sites.off_here import OffHere
    from webapp.trade.record_types import PutBackNote, Record


def running_notes(record: Record, job_id: str, standing: Sequence[OffHere]) -> list[PutBackNote]:
    """The job's notes that nothing has answered: what they name stands off, and no other visit left it off again since.

    `standing`: all that stands off at the address.
    """
    found = found_running(record)
    ours = {line["appliance_id"] for line in record["appliances"]} if found else set()
    same = [one for one in standing if not is_another(ours, one.appliance_ids)]
    return [note for note in found if _stands(note, job_id, same)]


def _stands(note: PutBackNote, job_id: str, standing: list[OffHere]) -> bool:
    at, named = noted_at(note["by"], None).noted, note["left_off_ids"]
    meant = [one for one in standing if (_is_before(one, at) if named is None else one.event_id in named)]
    again = [one for one in standing if one not in meant and one.job_id != job_id and not _is_before(one, at)]
    return bool(meant) and not again


def _is_before(entry: OffHere, at: datetime | None) -> bool:
    return at is None or entry.at < at
