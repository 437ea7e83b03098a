"""Three people, made through the app's own services before the server starts; all else is typed in the browser."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path

from flask import Flask

from webapp import create_app
from webapp.extensions import Database
from webapp.keeping.start import prepare_store
from webapp.models import Role
from webapp.people.service import create_person, make_enrol_code

ENROL_MINUTES = 60


@dataclass(frozen=True)
class Worker:
    """Someone of the invented company, with what they type to sign in."""

    id: str
    name: str
    login: str
    password: str


@dataclass(frozen=True)
class Company:
    """The people of one store, and the way to let their phones in."""

    data: Path
    technician: Worker
    other_technician: Worker
    dispatcher: Worker
    owner: Worker

    def enrol_code(self, worker: Worker) -> str:
        """Return a fresh code, as the office would read it out."""
        with opened(self.data) as database, database.writing() as session:
            return make_enrol_code(session, worker.id, minutes=ENROL_MINUTES)


def found_company(data: Path) -> Company:
    """Make the store with its people."""
    with opened(data) as database:
        prepare_store(database)
        return Company(
            data=data,
            technician=_hire(database, "Tess Varley", "tess", Role.TECHNICIAN),
            other_technician=_hire(database, "Ugo Brandt", "ugo", Role.TECHNICIAN),
            dispatcher=_hire(database, "Dora Minch", "dora", Role.DISPATCHER),
            owner=_hire(database, "Oskar Lund", "oskar", Role.OWNER),
        )


def _hire(database: Database, name: str, login: str, role: Role) -> Worker:
    password = f"{login}-under-the-lamp"
    with database.writing() as session:
        person = create_person(session, name=name, login=login, role=role, password=password)
    return Worker(id=person.id, name=name, login=login, password=password)


@contextmanager
def opened(data: Path) -> Iterator[Database]:
    """Give the store of a data folder, beside the server."""
    app: Flask = create_app({"UNDERCROFT_DATA": data, "UNDERCROFT_COOKIE_SECURE": False})
    database: Database = app.extensions["database"]
    try:
        yield database
    finally:
        database.dispose()
