"""What people do about people: sign in, let a phone in, close it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from sqlalchemy.orm import Session

from webapp.errors import BadForm, CodeUnknown, NotFound, SignInFailed, TokenExpired, TokenUnknown
from webapp.extensions import Database
from webapp.models import Device, EnrolCode, Person, Role
from webapp.models.ids import new_id
from webapp.people import queries
from webapp.people.changes import note_change, note_phones_closed
from webapp.people.office_acts import Draft, office_device_id, record_office_events
from webapp.people.passwords import (
    hash_password,
    hash_secret,
    new_enrol_code,
    new_token,
    password_fits,
    plain_code,
)
from webapp.people.throttle import count_failure, enrol_limits, refuse_when_over, sign_in_limits

__all__ = ["Draft", "get_person", "office_device_id", "record_office_events"]

SHORTEST_PASSWORD = 10
SEEN_EVERY = timedelta(minutes=5)

get_person = queries.get_person


def create_person(
    session: Session,
    *,
    name: str,
    login: str,
    role: Role | str,
    password: str | None = None,
    by: Person | None = None,
    now: datetime | None = None,
) -> Person:
    """Add someone to the company; a technician who only uses a phone needs no password."""
    login = login.strip().lower()
    if queries.get_person_by_login(session, login):
        raise BadForm("This login is taken.", login=login)
    person = Person(id=new_id(), name=name.strip(), login=login, role=Role(role).value, active=True)
    person.password_hash = None if password is None else hash_password(_long_enough(password))
    session.add(person)
    session.flush()  # the line names them
    note_change(session, person, "added", by=by, became=person.role, now=now)
    session.commit()
    return person


def change_password(
    session: Session, login: str, password: str, *, by: Person | None = None, now: datetime | None = None
) -> Person:
    """A new password; whoever is signed in with the old one is signed out. Phones are not touched."""
    person = _person_of(session, login)
    person.password_hash = hash_password(_long_enough(password))
    note_change(session, person, "password", by=by, now=now)
    queries.close_devices(session, person.id, ("office",), now or datetime.now(UTC))
    session.commit()
    return person


def deactivate_person(session: Session, login: str, *, by: Person | None = None, now: datetime | None = None) -> Person:
    """Somebody left: their sign-ins and phones close for good; what they found stays under their name."""
    person, now = _person_of(session, login), now or datetime.now(UTC)
    note_phones_closed(session, person, by=by, now=now)
    if person.active:
        note_change(session, person, "left", by=by, now=now)
    person.active = False
    queries.close_devices(session, person.id, ("office", "phone"), now)
    session.commit()
    return person


def sign_in(session: Session, *, login: str, password: str, address: str, now: datetime | None = None) -> Device:
    """Check a password and open an office session: a device of its own. `device.person_id` says who it is."""
    now = now or datetime.now(UTC)
    limits = sign_in_limits(login, address)
    refuse_when_over(session, limits, now)
    person = queries.get_person_by_login(session, login)
    session.commit()  # argon2 is slow on purpose: not under the database's lock
    fits = password_fits(password, person.password_hash if person else None)
    if person is None or not person.active or not fits:
        count_failure(session, limits, now)
        session.commit()
        raise SignInFailed
    device = Device(id=new_id(), person_id=person.id, kind="office", words="office", enrolled_at=now, last_dev_seq=0)
    session.add(device)
    session.commit()
    return device


def sign_out(session: Session, device_id: str, now: datetime | None = None) -> None:
    """Close an office session on the server too, so that a copied cookie is worth nothing."""
    device = queries.get_device(session, device_id)
    if device is not None and device.kind == "office" and device.revoked_at is None:
        device.revoked_at = now or datetime.now(UTC)
    session.commit()


def person_signed_in(session: Session, person_id: str, device_id: str) -> Person | None:
    """Whose session this is; nobody's once the person left or the session was closed."""
    person, device = queries.get_person(session, person_id), queries.get_device(session, device_id)
    if person is None or device is None or not person.active or device.revoked_at is not None:
        return None
    return person if device.person_id == person.id else None


def make_enrol_code(session: Session, person_id: str, *, minutes: int, now: datetime | None = None) -> str:
    """A code that lets one phone in as this person. It is shown once and stored as a hash."""
    person = queries.get_person(session, person_id)
    if person is None or not person.active:
        raise NotFound
    code = new_enrol_code()
    expires_at = (now or datetime.now(UTC)) + timedelta(minutes=minutes)
    session.add(EnrolCode(code_hash=hash_secret(code), person_id=person_id, expires_at=expires_at))
    session.commit()
    return code


def enrol_phone(
    session: Session,
    *,
    code: str,
    device_id: str,
    device_words: str,
    address: str,
    token_days: int,
    now: datetime | None = None,
) -> tuple[str, Person]:
    """Exchange a code for a token. The same local database enrolled again gets a new token, and the old one ends."""
    now = now or datetime.now(UTC)
    limits = enrol_limits(address)
    refuse_when_over(session, limits, now)
    person_id = queries.use_enrol_code(session, hash_secret(plain_code(code)), device_id, now)
    person = queries.get_person(session, person_id) if person_id else None
    if person is None or not person.active:
        count_failure(session, limits, now)
        session.commit()
        raise CodeUnknown
    token = new_token()
    device = _device_to_enrol(session, device_id, person, now)
    device.words, device.person_id = device_words, person.id
    device.token_hash, device.token_expires_at = hash_secret(token), now + timedelta(days=token_days)
    device.enrolled_at, device.revoked_at = now, None
    session.flush()
    note_change(session, person, "phone_let_in", by=person, became=device_words, device=device, now=now)
    session.commit()
    return token, person


def phone_of_token(session: Session, token: str, now: datetime | None = None) -> tuple[Device, Person]:
    """The phone and its holder, closed or not; raises where the token is not ours or too old."""
    found = queries.get_phone_by_token_hash(session, hash_secret(token)) if token else None
    if found is None:
        raise TokenUnknown
    expires_at = found[0].token_expires_at
    if expires_at is not None and expires_at <= (now or datetime.now(UTC)):
        raise TokenExpired
    return found


def note_seen(database: Database, device: Device, now: datetime | None = None) -> None:
    """Remember that a phone was heard of; not more often than every few minutes, since it takes the database's lock."""
    now = now or datetime.now(UTC)
    if device.last_seen_at is not None and now - device.last_seen_at < SEEN_EVERY:
        return
    with database.session() as session:
        queries.note_seen(session, device.id, now)
        session.commit()


def revoke_device(session: Session, device_id: str, *, by: Person | None = None, now: datetime | None = None) -> Device:
    """Close a phone: it pulls nothing more, and what it still sends is held."""
    device = queries.get_device(session, device_id)
    if device is None or device.kind != "phone":
        raise NotFound
    if device.revoked_at is None:
        device.revoked_at = now or datetime.now(UTC)
        holder = session.get_one(Person, device.person_id)
        note_change(session, holder, "phone_closed", by=by, became=device.words, device=device, now=now)
    session.commit()
    return device


def _person_of(session: Session, login: str) -> Person:
    person = queries.get_person_by_login(session, login)
    if person is None:
        raise NotFound(f"Nobody has the login {login!r}. See `undercroft person list`.")
    return person


def _device_to_enrol(session: Session, device_id: str, person: Person, now: datetime) -> Device:
    device = queries.get_device(session, device_id)
    if device is None:
        device = Device(id=device_id, kind="phone", person_id=person.id, enrolled_at=now, last_dev_seq=0)
        session.add(device)
    elif device.kind != "phone":
        raise CodeUnknown
    return device


def _long_enough(password: str) -> str:
    if len(password) < SHORTEST_PASSWORD:
        raise BadForm(f"A password needs {SHORTEST_PASSWORD} characters or more.")
    return password
