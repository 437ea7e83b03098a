"""People, their phones and codes: all SQL about them."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime

from sqlalchemy import Select, and_, case, func, or_, select, update
from sqlalchemy.dialects import postgresql, sqlite
from sqlalchemy.orm import Session

from webapp.models import Device, EnrolCode, EventRow, Person, PersonChange, Role, Throttle


def get_person(session: Session, person_id: str) -> Person | None:
    """One person, active or not."""
    return session.get(Person, person_id)


def get_person_by_login(session: Session, login: str) -> Person | None:
    """Logins are kept in lower case."""
    return session.scalar(select(Person).where(Person.login == login.strip().lower()))


def lock_active_owners(session: Session) -> Sequence[Person]:
    """Whoever may sign in as owner; locked, so that two of them cannot each be taken for the one who stays."""
    owners = select(Person).where(Person.role == Role.OWNER, Person.active).order_by(Person.id)
    return session.scalars(owners.with_for_update()).all()


def select_people() -> Select[Person]:
    """All, by name."""
    return select(Person).order_by(Person.name, Person.id)


def select_phones() -> Select[Device]:
    """Every phone ever enrolled, the newest first."""
    return select(Device).where(Device.kind == "phone").order_by(Device.enrolled_at.desc(), Device.id)


def get_open_phones(session: Session, person_id: str) -> Sequence[Device]:
    """Those of one person that are not closed."""
    return session.scalars(select_phones().where(Device.person_id == person_id, Device.revoked_at.is_(None))).all()


def get_closed_phones(session: Session, person_id: str) -> Sequence[Device]:
    """Those of one person that were closed."""
    return session.scalars(select_phones().where(Device.person_id == person_id, Device.revoked_at.is_not(None))).all()


def get_changes(session: Session, person_id: str) -> Sequence[PersonChange]:
    """What was changed about one person, the oldest first."""
    found = select(PersonChange).where(PersonChange.person_id == person_id)
    return session.scalars(found.order_by(PersonChange.at, PersonChange.id)).all()


def get_names(session: Session, person_ids: set[str]) -> dict[str, str]:
    """Names by id."""
    found = session.execute(select(Person.id, Person.name).where(Person.id.in_(person_ids)))
    return {row.id: row.name for row in found}


def get_device(session: Session, device_id: str) -> Device | None:
    """One device."""
    return session.get(Device, device_id)


def get_phone_by_token_hash(session: Session, token_hash: str) -> tuple[Device, Person] | None:
    """The phone that a token was given to, with its holder."""
    found = session.execute(
        select(Device, Person).join(Person, Person.id == Device.person_id).where(Device.token_hash == token_hash)
    ).one_or_none()
    return None if found is None else (found[0], found[1])


def close_devices(session: Session, person_id: str, kinds: tuple[str, ...], now: datetime) -> None:
    """Close a person's sessions or phones; what was closed before keeps its time."""
    theirs = update(Device).where(Device.person_id == person_id, Device.kind.in_(kinds), Device.revoked_at.is_(None))
    session.execute(theirs.values(revoked_at=now))


def use_enrol_code(session: Session, code_hash: str, device_id: str, now: datetime) -> str | None:
    """Mark the code used by this phone and give its person; of two phones typing it at once, one gets None.

    The same phone gets the same answer again, whose first one may have been lost; not once the office closed it.
    """
    # Asked as "not closed": while its first call is still being answered, the phone has no row that a second could see.
    is_closed = select(Device.id).where(Device.id == device_id, Device.revoked_at.is_not(None)).exists()
    is_ours = and_(EnrolCode.used_by_device_id == device_id, ~is_closed)
    return session.scalar(
        update(EnrolCode)
        .where(EnrolCode.code_hash == code_hash, EnrolCode.expires_at > now, or_(EnrolCode.used_at.is_(None), is_ours))
        .values(used_at=func.coalesce(EnrolCode.used_at, now), used_by_device_id=device_id)
        .returning(EnrolCode.person_id)
        .execution_options(synchronize_session=False)
    )


def get_throttle(session: Session, key: str) -> Throttle | None:
    """The count of failures under a key."""
    return session.get(Throttle, key)


def count_failure(session: Session, key: str, now: datetime, *, window_since: datetime) -> None:
    """One statement, so that two failures at once count as two."""
    insert = sqlite.insert if session.get_bind().dialect.name == "sqlite" else postgresql.insert
    over = Throttle.window_began_at <= window_since
    again = {
        "failures": case((over, 1), else_=Throttle.failures + 1),
        "window_began_at": case((over, now), else_=Throttle.window_began_at),
    }
    first = insert(Throttle).values(key=key, window_began_at=now, failures=1)
    session.execute(first.on_conflict_do_update(index_elements=["key"], set_=again))


def note_seen(session: Session, device_id: str, now: datetime) -> None:
    """A phone was heard of."""
    session.execute(update(Device).where(Device.id == device_id).values(last_seen_at=now))


def take_dev_seqs(session: Session, device_id: str, count: int) -> int:
    """Reserve `count` numbers of an office device; gives the last one. The row's lock orders two requests."""
    return session.execute(
        update(Device)
        .where(Device.id == device_id)
        .values(last_dev_seq=Device.last_dev_seq + count)
        .returning(Device.last_dev_seq)
    ).scalar_one()


def highest_lamport(session: Session, *, site_id: str, job_id: str | None) -> int:
    """The highest counter of a job, or of what belongs to the address itself."""
    same_fold = EventRow.job_id == job_id if job_id else (EventRow.site_id == site_id) & EventRow.job_id.is_(None)
    return session.scalar(select(func.max(EventRow.lamport)).where(same_fold)) or 0


def count_events(session: Session, device_ids: list[str]) -> dict[str, int]:
    """How many events of each device are stored."""
    found = session.execute(
        select(EventRow.device_id, func.count()).where(EventRow.device_id.in_(device_ids)).group_by(EventRow.device_id)
    )
    return {device_id: count for device_id, count in found}  # noqa: C416 (a row is not a pair to the type checker)
