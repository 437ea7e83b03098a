"""The demo: a small invented company in a folder of its own, made once and kept."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from datetime import datetime
from pathlib import Path

from webapp.config import complete_settings
from webapp.errors import Conflict
from webapp.extensions import Database
from webapp.invent.scenario import DEMO_PEOPLE, play_scenario
from webapp.keeping.backup import STORE_FILE
from webapp.keeping.start import prepare_store
from webapp.people.queries import get_person_by_login
from webapp.people.service import make_enrol_code

CODE_MINUTES = 24 * 60


def open_demo(data: Path, now: datetime, *, tell: Callable[[str], None]) -> bool:
    """Make the demo where there is none yet, else bring its store up to date. True where it was made."""
    if (data / STORE_FILE).exists():
        with_store(data, _keep)
        return False
    if data.exists() and any(data.iterdir()):
        raise Conflict(f"{data} holds other things and no demo. Choose another folder with --data.")
    tell("Inventing a company …")
    draft = data.with_name(f"{data.name}.making")
    shutil.rmtree(draft, ignore_errors=True)  # left behind by a start that was cut off
    with_store(draft, lambda database: _make(database, draft, now))
    data.parent.mkdir(parents=True, exist_ok=True)
    draft.replace(data)  # whole or not at all
    return True


def _keep(database: Database) -> None:
    prepare_store(database)
    with database.reading_session() as session:
        if not any(get_person_by_login(session, who.login) for who in DEMO_PEOPLE):
            raise Conflict("The store in this folder is no demo. Choose another folder with --data.")


def _make(database: Database, data: Path, now: datetime) -> None:
    prepare_store(database)
    play_scenario(database, data, now)


def with_store(data: Path, work: Callable[[Database], object]) -> None:
    """Do something with the store in this folder, whatever DATABASE_URL says, and close it."""
    settings = complete_settings({"UNDERCROFT_DATA": data, "DATABASE_URL": ""})
    database = Database(settings["DATABASE_URL"])
    try:
        work(database)
    finally:
        database.dispose()


def demo_words(data: Path, port: int, *, is_new: bool) -> str:
    """Where it is and how to get in."""
    codes: dict[str, str] = {}
    with_store(data, lambda database: codes.update(_phone_codes(database)))
    address = f"http://127.0.0.1:{port}/"
    lines = [
        "",
        f"Undercroft, the demo: {address}   (ctrl-C stops it)",
        f"{'Made' if is_new else 'Kept'} in {data}; all people, places and heaters in it are invented.",
        "",
        "At the desk, " + address,
        *(f"  {who.role:<11} login {who.login:<12} password {who.password:<22} {who.name}" for who in DEMO_PEOPLE),
        "",
        f"On a phone, {address}phone/  (type the code once; it is good for 24 hours)",
        *(f"  {codes[who.login]:<11} {who.name}" for who in DEMO_PEOPLE if who.login in codes),
        f"  another code: undercroft person code LOGIN --data {data}",
        "",
    ]
    return "\n".join(lines)


def _phone_codes(database: Database) -> dict[str, str]:
    """A fresh code for each demo technician who is still there."""
    codes: dict[str, str] = {}
    with database.session() as session:
        for who in DEMO_PEOPLE:
            person = get_person_by_login(session, who.login)
            if who.role == "technician" and person is not None and person.active:
                code = make_enrol_code(session, person.id, minutes=CODE_MINUTES)
                codes[who.login] = f"{code[:4]}-{code[4:]}"
    return codes
