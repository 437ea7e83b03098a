"""What a phone may have, and what is new of it."""

from __future__ import annotations

from datetime import UTC, datetime
from hashlib import sha256
from typing import Any

from sqlalchemy.orm import Session

from webapp.errors import NotFound, OtherChain
from webapp.models import Device, Person, canonical_json
from webapp.models.base import wall_time
from webapp.sync import photo_queries, queries
from webapp.sync.admission import visible_groups
from webapp.sync.canonical import event_of


def make_manifest(session: Session, person: Person, now: datetime | None = None) -> dict[str, Any]:
    """Everything that this phone may have, and how far it goes. Nothing else is named in it, not even by id."""
    now = now or datetime.now(UTC)
    sites = queries.sites_of_groups(session, visible_groups(session, person.id, now))
    site_ids = [site.id for site in sites]
    jobs = queries.jobs_of_sites(session, site_ids)
    return {
        "epoch": queries.get_epoch(session),
        "server_time": wall_time(now),
        "person": {"id": person.id, "name": person.name, "role": person.role},
        "people": [{"id": one.id, "name": one.name} for one in queries.all_people(session)],
        "streams": [
            {"site_id": site.id, "group_id": site.group_id, "head": site.head, "chain": site.chain} for site in sites
        ],
        "jobs": [
            {"job_id": job.id, "site_id": job.site_id, "technician_id": job.technician_id, "state": job.state}
            for job in jobs
        ],
        "procedures": _procedures(session, [job.procedure_hash for job in jobs if job.procedure_hash]),
        "photos": photo_queries.photos_here(session, site_ids),
    }


def get_epoch(session: Session) -> str:
    """Of this store: new after a restore."""
    return queries.get_epoch(session)


def etag_of(manifest: dict[str, Any]) -> str:
    """Of everything but the clock; weak, since the clock does differ (RFC 9110, section 8.8.1)."""
    lasting = {key: value for key, value in manifest.items() if key != "server_time"}
    return sha256(canonical_json(lasting).encode()).hexdigest()


def read_stream(
    session: Session,
    device: Device,
    site_id: str,
    *,
    after: int,
    chain: str | None,
    limit: int,
    now: datetime | None = None,
) -> dict[str, Any]:
    """The events that follow `after`, without a gap; raises OtherChain where the cursor is of another history."""
    site = queries.get_site(session, site_id)
    if site is None or site.group_id not in visible_groups(session, device.person_id, now or datetime.now(UTC)):
        raise NotFound
    here = queries.chain_at(session, site_id, after)
    if here is None or (chain is not None and chain != here):
        raise OtherChain(head=site.head, chain=site.chain, epoch=queries.get_epoch(session))
    rows = session.scalars(queries.select_stream(site_id, after).limit(limit)).all()
    return {
        "site_id": site_id,
        "epoch": queries.get_epoch(session),
        "head": site.head,
        "chain": site.chain,
        "events": [
            {"seq": row.seq, "chain": row.chain, "received_at": wall_time(row.received_at), "event": event_of(row)}
            for row in rows
        ],
    }


def get_procedure(session: Session, procedure_hash: str) -> dict[str, Any]:
    """A compiled procedure: the same for ever under its hash."""
    found = queries.get_procedure(session, procedure_hash)
    if found is None:
        raise NotFound
    return found.body


def _procedures(session: Session, walked: list[str]) -> list[str]:
    """The current version of each name first, then the versions that visible jobs were walked with."""
    current = queries.current_procedures(session)
    return current + [one for one in queries.known_procedures(session, walked) if one not in current]
