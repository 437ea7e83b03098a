"""Events and streams: all SQL of the sync."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import datetime
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Insert,
    Row,
    Select,
    and_,
    bindparam,
    case,
    delete,
    func,
    insert,
    inspect,
    or_,
    select,
    update,
)
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.orm import Session, defer

from webapp.models import (
    Device,
    EventRow,
    Finding,
    Job,
    JobOutcome,
    Meta,
    Person,
    ProcedureVersion,
    PutBackOf,
    Reading,
    Site,
    StandingOff,
)
from webapp.models.base import Base
from webapp.sync.canonical import ENVELOPE_KEYS

ID_CHUNK = 500
"""Ids in one IN list: under every limit of both databases."""

LAST_ENTRIES = 300
"""Of a phone: about its last day's work."""


def _lock_site(insert_into: Any) -> Any:
    locked = insert_into(Site.__table__)
    locked = locked.on_conflict_do_update(index_elements=["id"], set_={"head": Site.__table__.c.head})
    return locked.returning(Site.__table__.c.head, Site.__table__.c.chain)


# Made once: they run for every site of every push.
LOCK_SITE = {"sqlite": _lock_site(sqlite.insert), "postgresql": _lock_site(postgresql.insert)}
MOVE_HEAD = (
    update(Site.__table__)  # type: ignore[arg-type]  # a declarative table is a Table
    .where(Site.__table__.c.id == bindparam("site_id"))
    .values(head=bindparam("new_head"), chain=bindparam("new_chain"))
)
COLUMNS_OF_EVENT = {attribute.key: attribute.columns[0].key for attribute in inspect(EventRow).column_attrs}
ENVELOPE = [getattr(EventRow, key) for key in (*ENVELOPE_KEYS, "received_at")]
WITHOUT_SYNC = {"synchronize_session": False}
"""Rows made from events are not looked at in the session that makes them."""


def insert_if_absent(session: Session, table: type[Base], rows: Sequence[dict[str, Any]]) -> None:
    """Insert the rows whose primary key is new."""
    if not rows:
        return
    statement: Insert
    if session.get_bind().dialect.name == "sqlite":
        statement = sqlite.insert(table).on_conflict_do_nothing()
    else:
        statement = postgresql.insert(table).on_conflict_do_nothing()
    session.execute(statement, rows)


def lock_site(session: Session, new_site: dict[str, Any]) -> tuple[int, str]:
    """Insert the site if it is absent and take its stream's lock, in one statement; gives head and chain.

    The UPDATE that changes nothing is the lock: the row stays locked in PostgreSQL until the transaction ends.
    """
    found = session.execute(LOCK_SITE[session.get_bind().dialect.name], new_site).one()
    return found.head, found.chain


def relock_site(session: Session, site_id: str) -> None:
    """Take the lock of a stream that is there."""
    session.execute(update(Site).where(Site.id == site_id).values(head=Site.head))


def move_heads(session: Session, heads: Sequence[tuple[str, int, str]]) -> None:
    """Set each head to the last row's seq."""
    moved = [{"site_id": site_id, "new_head": head, "new_chain": chain} for site_id, head, chain in heads]
    session.connection().execute(MOVE_HEAD, moved)


def digests_of(session: Session, ids: Sequence[str]) -> dict[str, tuple[str, int]]:
    """Digest and seq of the events that are stored among these ids."""
    found = session.execute(select(EventRow.id, EventRow.digest, EventRow.seq).where(EventRow.id.in_(ids)))
    return {row.id: (row.digest, row.seq) for row in found}


def highest_lamports(session: Session, site_ids: Iterable[str]) -> dict[str, int]:
    """The highest counter of each stream, whatever its job. Reads the whole stream: only for what looks wrong."""
    highest = select(EventRow.site_id, func.max(EventRow.lamport).label("lamport")).group_by(EventRow.site_id)
    found = session.execute(highest.where(EventRow.site_id.in_(sorted(site_ids))))
    return {row.site_id: row.lamport for row in found}


def select_stream(site_id: str, after: int) -> Select[EventRow]:
    """What follows `after` in one stream, without a gap."""
    return select(EventRow).where(EventRow.site_id == site_id, EventRow.seq > after).order_by(EventRow.seq)


def chain_at(session: Session, site_id: str, seq: int) -> str | None:
    """The chain at one seq; the empty chain at 0."""
    if seq == 0:
        return ""
    return session.scalar(select(EventRow.chain).where(EventRow.site_id == site_id, EventRow.seq == seq))


def events_of_job(session: Session, site_id: str, job_id: str) -> Sequence[Row[Any]]:
    """All events of one job, in no promised order: the fold brings its own."""
    return session.execute(select(*ENVELOPE).where(EventRow.job_id == job_id, EventRow.site_id == site_id)).all()


def events_of_site_itself(session: Session, site_id: str) -> Sequence[Row[Any]]:
    """What belongs to the address and to no job."""
    return session.execute(select(*ENVELOPE).where(EventRow.site_id == site_id, EventRow.job_id.is_(None))).all()


def get_epoch(session: Session) -> str:
    """Of this store, as it is since its making or its last restore."""
    return session.execute(select(Meta.epoch)).scalar_one()


def get_site(session: Session, site_id: str) -> Site | None:
    """One site."""
    return session.get(Site, site_id)


def is_active(session: Session, person_id: str) -> bool:
    """Whether this person still belongs to the company."""
    return bool(session.scalar(select(Person.active).where(Person.id == person_id)))


def groups_of_sites(session: Session, site_ids: Iterable[str]) -> dict[str, str]:
    """Group by site, of those that exist."""
    found = session.execute(select(Site.id, Site.group_id).where(Site.id.in_(sorted(site_ids))))
    return {row.id: row.group_id for row in found}


def groups_worked_at(session: Session, person_id: str, *, since: datetime) -> set[str]:
    """Groups of a person's booked and open jobs, of jobs with news since then, of sites their phone named since then.

    And of jobs that went to somebody else while they were at them, until they are closed: what the other one finds
    there, or calls safe, is theirs to know. What was typed or brought in at a desk sends nobody there: an import would
    fill its importer's own phone.
    """
    worth_seeing = or_(Job.state.in_(("booked", "open")), Job.last_received_at >= since)
    jobs = select(Site.group_id).join(Job, Job.site_id == Site.id).where(Job.technician_id == person_id, worth_seeing)
    first = select(EventRow.site_id).where(EventRow.site_id == Site.id, EventRow.seq == 1, _by_phone())
    own = select(Site.group_id).where(
        Site.created_by_person_id == person_id, Site.created_at >= since, first.correlate(Site).exists()
    )
    begun = (
        select(Site.group_id)
        .join(Job, Job.site_id == Site.id)
        .where(Job.id.in_(_written_last(person_id)), Job.state.in_(("booked", "open")))
    )
    return set(session.scalars(jobs.union(own, begun)))


def _written_last(person_id: str) -> Select[Any]:
    """Jobs that the last entries of a person's phones are about: counted back, as every phone asks in every round."""
    return (
        select(EventRow.job_id)
        .join(Device, Device.id == EventRow.device_id)
        .where(
            Device.person_id == person_id,
            Device.kind == "phone",
            EventRow.dev_seq > Device.last_dev_seq - LAST_ENTRIES,
            EventRow.person_id == person_id,
            EventRow.job_id.is_not(None),
        )
    )


def sites_worked_at(session: Session, person_id: str, site_ids: Iterable[str], *, since: datetime) -> set[str]:
    """Those of the sites where this person wrote something on a phone, or was sent to, since then."""
    if not site_ids:
        return set()
    here = and_(EventRow.site_id.in_(sorted(site_ids)), EventRow.received_at >= since)
    wrote = select(EventRow.site_id).where(here, EventRow.person_id == person_id, _by_phone())
    bookings = select(EventRow.site_id, EventRow.body).where(here, EventRow.kind.in_(("job_booked", "job_moved")))
    sent = {row.site_id for row in session.execute(bookings) if row.body.get("technician_id") == person_id}
    return sent | set(session.scalars(wrote))


def _by_phone() -> ColumnElement[bool]:
    """Noted on a phone, however it came here; not at a desk."""
    return EventRow.device_id.in_(select(Device.id).where(Device.kind == "phone"))


def sites_of_groups(session: Session, group_ids: Iterable[str]) -> list[Site]:
    """All sites of these address groups, by id."""
    return list(session.scalars(select(Site).where(Site.group_id.in_(sorted(group_ids))).order_by(Site.id)))


def raise_dev_seqs(session: Session, highest: dict[str, int], now: datetime) -> None:
    """Remember the highest dev_seq of each device: a hole shows. Devices come before sites: one order of locks."""
    for device_id, dev_seq in sorted(highest.items()):
        session.execute(
            update(Device)
            .where(Device.id == device_id)
            .values(
                last_dev_seq=case((Device.last_dev_seq < dev_seq, dev_seq), else_=Device.last_dev_seq), last_seen_at=now
            )
        )


def lock_groups(session: Session) -> None:
    """Take the lock under which addresses are joined and parted; before any site's."""
    session.execute(update(Meta).values(id=Meta.id))


def joining_events(session: Session, site_ids: Iterable[str]) -> list[EventRow]:
    """What these sites' own events say about being one address, and whatever may replace such an event."""
    wanted = select(EventRow).where(EventRow.site_id.in_(sorted(site_ids)), EventRow.job_id.is_(None))
    return list(session.scalars(wanted.where(_may_join())))


def events_named(session: Session, ids: Iterable[str]) -> list[dict[str, Any]]:
    """Those of these events that are here and belong to an address itself."""
    columns = select(EventRow.site_id, EventRow.kind, EventRow.schema, EventRow.replaces, EventRow.body)
    found: list[dict[str, Any]] = []
    wanted = sorted(ids)
    for start in range(0, len(wanted), ID_CHUNK):
        named = EventRow.id.in_(wanted[start : start + ID_CHUNK])
        found += [dict(row) for row in session.execute(columns.where(named, EventRow.job_id.is_(None))).mappings()]
    return found


def _may_join() -> ColumnElement[bool]:
    return or_(EventRow.kind.in_(("same_address", "not_same_address")), EventRow.replaces != [])


def set_groups(session: Session, group_of: dict[str, str]) -> None:
    """Write the groups, in the order of locks."""
    for site_id, group_id in sorted(group_of.items()):
        session.execute(update(Site).where(Site.id == site_id).values(group_id=group_id))


def sites_of_jobs(session: Session, job_ids: Sequence[str]) -> dict[str, str]:
    """Site by job, of the jobs that have a row."""
    found = session.execute(select(Job.id, Job.site_id).where(Job.id.in_(job_ids)))
    return {row.id: row.site_id for row in found}


def delete_job_rows(session: Session, job_ids: Sequence[str]) -> None:
    """Make room for rows that are made anew."""
    if not job_ids:
        return
    for table in (Finding, Reading, StandingOff, PutBackOf, JobOutcome):
        session.execute(delete(table).where(table.job_id.in_(job_ids)), execution_options=WITHOUT_SYNC)
    session.execute(delete(Job).where(Job.id.in_(job_ids)), execution_options=WITHOUT_SYNC)


def insert_rows(session: Session, table: type[Base], rows: Sequence[dict[str, Any]]) -> None:
    """All rows in one statement; keys are the model's names."""
    if rows:
        named = COLUMNS_OF_EVENT if table is EventRow else {}
        given = [{named[key]: value for key, value in row.items()} for row in rows] if named else list(rows)
        session.connection().execute(insert(table.__table__), given)  # type: ignore[arg-type]  # it is a Table


def set_site_values(session: Session, site_id: str, values: dict[str, Any]) -> None:
    """What the address is called now."""
    session.execute(update(Site).where(Site.id == site_id).values(**values), execution_options=WITHOUT_SYNC)


def mark_site(session: Session, site_id: str) -> None:
    """Its columns could not be made."""
    session.execute(update(Site).where(Site.id == site_id).values(needs_rebuild=True))


def mark_job(session: Session, job_id: str, site_id: str, now: datetime) -> None:
    """Its row could not be made: keep what there is, or an empty one, and say so."""
    row = {"id": job_id, "site_id": site_id, "last_received_at": now, "state": "booked", "event_count": 0}
    insert_if_absent(
        session, Job, [row | {"complaint": "", "complaint_words": "", "procedure_name": "", "fold_version": 0}]
    )
    session.execute(update(Job).where(Job.id == job_id, Job.site_id == site_id).values(needs_rebuild=True))


def jobs_of_sites(session: Session, site_ids: Sequence[str]) -> list[Job]:
    """All jobs of these sites, without their records."""
    wanted = select(Job).options(defer(Job.record)).where(Job.site_id.in_(site_ids)).order_by(Job.id)
    return list(session.scalars(wanted))


def all_people(session: Session) -> list[Person]:
    """Everybody whose name may stand beside a finding, also those who left."""
    return list(session.scalars(select(Person).order_by(Person.id)))


def current_procedures(session: Session) -> list[str]:
    """The version of each name that new jobs are walked with."""
    wanted = select(ProcedureVersion.hash).where(ProcedureVersion.is_current).order_by(ProcedureVersion.name)
    return list(session.scalars(wanted))


def known_procedures(session: Session, hashes: Iterable[str]) -> list[str]:
    """Those of the hashes that this server holds."""
    wanted = select(ProcedureVersion.hash).where(ProcedureVersion.hash.in_(sorted(set(hashes))))
    return list(session.scalars(wanted.order_by(ProcedureVersion.hash)))


def get_procedure(session: Session, procedure_hash: str) -> ProcedureVersion | None:
    """One version."""
    return session.get(ProcedureVersion, procedure_hash)
