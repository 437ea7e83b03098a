"""The commands `undercroft person …`: who works here, how they sign in, and the code for a phone."""

from __future__ import annotations

from pathlib import Path

import click
from sqlalchemy.orm import Session

from webapp.cli_store import data_option, opened_store
from webapp.keeping.start import prepare_store
from webapp.people.licences import licence_warning, set_licence
from webapp.people.phones import list_people
from webapp.people.queries import get_person_by_login
from webapp.people.service import change_password, create_person, make_enrol_code
from webapp.people.staff import deactivate, reactivate

ROLES = ("technician", "dispatcher", "owner")


@click.group()
def person() -> None:
    """The people of the company."""


@person.command("add")
@click.option("--name", prompt=True)
@click.option("--login", prompt="Login (what is typed at the sign-in)")
@click.option("--role", type=click.Choice(ROLES), prompt=True)
@click.option("--password", default=None, help="Asked for when left out; a technician may go without.")
@data_option()
def person_add(name: str, login: str, role: str, password: str | None, data: Path) -> None:
    """Add somebody. A technician who only uses a phone needs no password."""
    if password is None and role != "technician":
        password = click.prompt("Password", hide_input=True, confirmation_prompt=True)
    with opened_store(data) as (database, _settings):
        prepare_store(database)
        with database.session() as session:
            made = create_person(session, name=name, login=login, role=role, password=password or None)
            click.echo(f"Added {made.name} ({made.role}), login {made.login}.")
    if role == "technician":
        click.echo(f"For their phone: undercroft person code {login.strip().lower()}")


@person.command("list")
@data_option()
def person_list(data: Path) -> None:
    """Everybody, with login and role."""
    with opened_store(data) as (database, _settings), database.reading_session() as session:
        for line in list_people(session):
            one = line.person
            phones = sum(phone.device.revoked_at is None for phone in line.phones)
            left = "" if one.active else ", left"
            click.echo(f"{one.login}  {one.name} ({one.role}{left}), open phones: {phones}")


@person.command("password")
@click.argument("login")
@click.option("--password", prompt=True, hide_input=True, confirmation_prompt=True, help="Asked for when left out.")
@data_option()
def person_password(login: str, password: str, data: Path) -> None:
    """Set a new password. Whoever is signed in with the old one is signed out."""
    with opened_store(data) as (database, _settings), database.session() as session:
        changed = change_password(session, login, password)
    click.echo(f"{changed.name} has a new password.")


@person.command("deactivate")
@click.argument("login")
@data_option()
def person_deactivate(login: str, data: Path) -> None:
    """Close the door behind somebody who left.

    Their sign-ins and phones are closed at once; what a phone still holds is kept apart. What they found stays.
    The last owner who can sign in stays: make somebody else an owner first.
    """
    with opened_store(data) as (database, _settings), database.session() as session:
        gone = deactivate(session, _id_of(session, login))
    click.echo(f"{gone.name} cannot sign in any more, and their phones are closed.")


@person.command("reactivate")
@click.argument("login")
@data_option()
def person_reactivate(login: str, data: Path) -> None:
    """Let somebody in again who had left. Their phones stay closed and need a new code."""
    with opened_store(data) as (database, _settings), database.session() as session:
        back = reactivate(session, _id_of(session, login))
    click.echo(f"{back.name} can sign in again.")


@person.command("licence")
@click.argument("login")
@click.option("--words", default="", help="Kind and number, as it stands on the licence. Left out: none is kept.")
@click.option("--until", default="", help="Its last day, as 2027-03-31.")
@data_option()
def person_licence(login: str, words: str, until: str, data: Path) -> None:
    """Keep what stands on somebody's licence. The desk is told when it has run out or soon will."""
    with opened_store(data) as (database, _settings), database.session() as session:
        licensed = set_licence(session, _id_of(session, login), words=words, expires_on=until)
        told = licence_warning(licensed)
    click.echo(f"{licensed.name}: {licensed.licence_words or 'no licence kept'}" + (f" ({told})" if told else ""))


@person.command("code")
@click.argument("login")
@data_option()
def person_code(login: str, data: Path) -> None:
    """A code that lets one phone in as this person: typed in the shell, once."""
    with opened_store(data) as (database, settings), database.session() as session:
        found = get_person_by_login(session, login.strip().lower())
        if found is None:
            raise click.ClickException(f"Nobody has the login {login!r}. See `undercroft person list`.")
        minutes = settings["UNDERCROFT_ENROL_MINUTES"]
        code = make_enrol_code(session, found.id, minutes=minutes)
    click.echo(f"{code[:4]}-{code[4:]}  for {found.name}, good for {minutes} minutes, once")


def _id_of(session: Session, login: str) -> str:
    found = get_person_by_login(session, login)
    if found is None:
        raise click.ClickException(f"Nobody has the login {login!r}. See `undercroft person list`.")
    return found.id
