"""Bringing a file in: first what would happen, then, once somebody has looked, the same for good."""

from __future__ import annotations

from collections import Counter
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from webapp.errors import NotFound
from webapp.importing import queries
from webapp.importing.csv_reading import read_sheet
from webapp.importing.planning import Plan, plan_import
from webapp.people.service import office_device_id, record_office_events
from webapp.sites.clock import local

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from sqlalchemy.orm import Session

    from webapp.importing.address_drafts import Unit
    from webapp.models import Person

EVENTS_A_BATCH = 500


def preview(session: Session, content: bytes, now: datetime | None = None) -> Plan:
    """The dry run: what the file would bring in. Saves nothing; raises BadForm where the whole file cannot be read."""
    today = local(now or datetime.now(UTC)).date()
    return plan_import(session, read_sheet(content), today)


def bring_in(session: Session, person: Person, units: Sequence[Unit]) -> Counter[str]:
    """Store what the dry run found, and commit batch by batch; gives how many units of each sort were new.

    Cut short it leaves whole units only, and the same file again brings in the rest.
    """
    done: Counter[str] = Counter()
    device_id = None
    for batch in _batches(units):
        queries.lock_importing(session)
        device_id = device_id or office_device_id(session, person)
        stored = queries.get_stored_ids(session, [unit.drafts[0]["id"] for unit in batch])
        new = [unit for unit in batch if unit.drafts[0]["id"] not in stored]
        drafts = [draft for unit in new for draft in unit.drafts]
        record_office_events(session, person, drafts, device_id=device_id)
        done.update(unit.what for unit in new)
    return done


def person_for(session: Session, login: str) -> Person:
    """Who brings a file in at the command line: it stands under their name."""
    person = queries.get_person_by_login(session, login)
    if person is None or not person.active or person.role == "technician":
        raise NotFound(f"No dispatcher or owner has the login {login!r}. See `undercroft person list`.")
    return person


def _batches(units: Sequence[Unit]) -> Iterator[list[Unit]]:
    batch: list[Unit] = []
    events = 0
    for unit in units:
        if events + len(unit.drafts) > EVENTS_A_BATCH:
            yield batch
            batch, events = [], 0
        batch.append(unit)
        events += len(unit.drafts)
    if batch:
        yield batch
