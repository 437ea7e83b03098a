"""The command `undercroft`. Each command does one thing; what goes wrong is said in one line, with what to do."""

from __future__ import annotations

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import click
import yaml
from sqlalchemy.exc import OperationalError
from sqlalchemy.orm import Session

from webapp.config import BadSetting, complete_settings
from webapp.errors import UndercroftError
from webapp.extensions import Database
from webapp.importing.csv_reading import LARGEST_FILE_BYTES
from webapp.importing.service import bring_in, person_for, preview
from webapp.invent.demo import demo_words, open_demo
from webapp.invent.queries import count_people
from webapp.invent.service import invent_company
from webapp.keeping.backup import backup, restore
from webapp.keeping.start import begin_new_epoch, prepare_store
from webapp.people.licences import licence_warning, set_licence
from webapp.people.phones import list_people
from webapp.people.queries import get_person_by_login
from webapp.people.service import change_password, create_person, make_enrol_code
from webapp.people.staff import deactivate, reactivate
from webapp.procedures.loader import list_procedures, source
from webapp.procedures.validate import problems
from webapp.serving import PortTaken, refuse_taken_port, run_server
from webapp.sync.rebuild import rebuild

LOCALHOST = "127.0.0.1"
ROLES = ("technician", "dispatcher", "owner")


class _Commands(click.Group):
    """Turns our named errors into one line and exit code 1."""

    def invoke(self, ctx: click.Context) -> Any:
        try:
            return super().invoke(ctx)
        except (BadSetting, PortTaken) as error:
            raise click.ClickException(str(error)) from error
        except UndercroftError as error:
            words = error.message or (type(error).__doc__ or type(error).__name__).splitlines()[0]
            raise click.ClickException(words) from error
        except OperationalError as error:
            raise click.ClickException(
                f"The store cannot be used: {error.orig}. Is it the right folder (--data) or DATABASE_URL, and has "
                "`undercroft migrate` been run?"
            ) from error


def _data_option(default: str = "instance", envvar: str | None = "UNDERCROFT_DATA") -> Callable[[Any], Any]:
    return click.option(
        "--data",
        type=click.Path(path_type=Path, file_okay=False),
        envvar=envvar,
        default=default,
        show_default=True,
        help="Folder with the store and the photos.",
    )


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="undercroft", prog_name="undercroft")
def main() -> None:
    """A fault log for water heaters that works below ground."""


@contextmanager
def _opened(data: Path, **overrides: Any) -> Iterator[tuple[Database, dict[str, Any]]]:
    """The store of this folder (or of DATABASE_URL), and all settings."""
    settings = complete_settings({"UNDERCROFT_DATA": data, **overrides})
    database = Database(settings["DATABASE_URL"])
    try:
        yield database, settings
    finally:
        database.dispose()


@main.command()
@click.option("--port", type=click.IntRange(1, 65_535), default=8000, show_default=True)
@_data_option("demo-data")
def demo(port: int, data: Path) -> None:
    """Run a small invented company on this machine.

    It is made at the first start and kept for the next. The sign-ins are printed.
    """
    config = {"UNDERCROFT_DATA": data, "DATABASE_URL": "", "UNDERCROFT_COOKIE_SECURE": False}
    refuse_taken_port(LOCALHOST, port)
    is_new = open_demo(data, datetime.now(UTC), tell=click.echo)
    words = demo_words(data, port, is_new=is_new)
    run_server(config, host=LOCALHOST, port=port, when_ready=lambda: click.echo(words))
    click.echo("Stopped.")


@main.command()
@click.option("--host", default=LOCALHOST, show_default=True, help="0.0.0.0 for all; put TLS in front of it.")
@click.option("--port", type=click.IntRange(1, 65_535), default=8000, show_default=True)
@click.option("--workers", type=click.IntRange(1, 64), default=1, show_default=True)
@_data_option()
def serve(host: str, port: int, workers: int, data: Path) -> None:
    """Serve the company's own store.

    Brings it up to date first. Makes no people and no passwords.
    """
    with _opened(data) as (database, _settings):
        prepare_store(database)
        with database.reading_session() as session:
            nobody = count_people(session) == 0
    if nobody:
        click.echo("Nobody can sign in yet: undercroft person add --role owner", err=True)
    ready = f"Undercroft is at http://{host}:{port}/ (ctrl-C stops it)"
    run_server({"UNDERCROFT_DATA": data}, host=host, port=port, workers=workers, when_ready=lambda: click.echo(ready))


@main.command()
@_data_option()
def migrate(data: Path) -> None:
    """Bring tables and procedures up to date.

    Safe to run again; serve and demo do it by themselves.
    """
    with _opened(data) as (database, settings):
        prepare_store(database)
        where = settings["DATABASE_URL"].rsplit("@", 1)[-1].removeprefix("sqlite:///")
    click.echo(f"The store is up to date: {where}")


@main.command()
@click.option("--jobs", type=click.IntRange(1), required=True, help="How many visits.")
@click.option("--seed", type=int, default=1, show_default=True, help="The same seed tells the same story.")
@click.option("--until", type=click.DateTime(["%Y-%m-%d"]), default=None, help="Last day.  [default: today]")
@click.option("--password", default=None, help="For the invented owner and dispatchers; without it nobody can sign in.")
@_data_option("invented-data", envvar=None)
def invent(jobs: int, seed: int, until: datetime | None, password: str | None, data: Path) -> None:
    """Fill a new store with an invented company.

    A town, its people and heaters, and eighteen months of jobs. What really was wrong lies beside the store, in
    invented-truth.jsonl.
    """
    last = (until or datetime.now(UTC)).replace(tzinfo=UTC, hour=12, minute=0, second=0, microsecond=0)
    with _opened(data) as (database, settings):
        prepare_store(database)
        told = invent_company(
            database, settings["UNDERCROFT_DATA"], jobs=jobs, seed=seed, until=last, password=password,
            progress=_progress_line(jobs),
        )  # fmt: skip
    click.echo(told)


def _progress_line(jobs: int) -> Callable[[int, float], None]:
    if not os.isatty(2):
        return lambda _visits, _seconds: None
    return lambda visits, seconds: click.echo(f"\r{visits:,} of {jobs:,} jobs, {seconds:.0f} s", nl=False, err=True)


@main.command("rebuild")
@click.option("--marked", is_flag=True, help="Only what could not be made when its events came.")
@_data_option()
def rebuild_command(data: Path, *, marked: bool) -> None:
    """Make jobs, findings and addresses anew from the events.

    The events are only read. Needed after a release that reads them otherwise; safe to run while the server runs.
    """
    with _opened(data) as (database, _settings):
        prepare_store(database)
        with database.session() as session:
            done = rebuild(session, only_marked=marked)
    click.echo(f"Made anew: {done.jobs:,} jobs at {done.sites:,} addresses.")
    if done.failed:
        raise click.ClickException(f"{done.failed:,} could not be made and stay marked; the log above says why.")


@main.command("import")
@click.argument("file", type=click.Path(path_type=Path, exists=True, dir_okay=False))
@click.option("--login", required=True, help="The dispatcher or owner under whose name it stands.")
@click.option("--dry-run", is_flag=True, help="Only say what would come in.")
@_data_option()
def import_command(file: Path, login: str, data: Path, *, dry_run: bool) -> None:
    """Bring in addresses and past visits from FILE.

    A CSV file (docs/importing.md). The same file again adds nothing; lines that cannot be read are told and stay out.
    """
    with file.open("rb") as opened:
        content = opened.read(LARGEST_FILE_BYTES + 1)
    with _opened(data) as (database, _settings):
        prepare_store(database)
        with database.reading_session() as session:
            person, plan = person_for(session, login), preview(session, content)
        for fault in plan.faults:
            click.echo(f"line {fault.line}: {fault.words}", err=True)
        told = {what: plan.count(what) for what in ("address", "visit")}
        if not dry_run:
            with database.session() as session:
                told |= bring_in(session, person, plan.units)
    done = "Would bring in" if dry_run else "Brought in"
    click.echo(f"{done}: {told['address']:,} new addresses, {told['visit']:,} past visits.")


@main.command("backup")
@click.argument("target", type=click.Path(path_type=Path))
@_data_option()
def backup_command(target: Path, data: Path) -> None:
    """Copy the store into the new folder TARGET.

    Database and photos, while the server runs. PostgreSQL has tools of its own: docs/deploy.md.
    """
    with _opened(data) as (database, settings):
        kept = backup(database, settings["UNDERCROFT_DATA"], target.absolute())
    click.echo(f"Backed up to {kept}")


@main.command("restore")
@click.argument("source", type=click.Path(path_type=Path, exists=True, file_okay=False))
@click.option("--yes", is_flag=True, help="Do not ask.")
@_data_option()
def restore_command(source: Path, data: Path, *, yes: bool) -> None:
    """Put a backup in the place of the store.

    Stop the server first. What was there is kept beside it, with the time in its name.
    """
    if not yes:
        click.confirm(f"Put {source} in the place of the store in {data}? Is the server stopped?", abort=True)
    with _opened(data) as (database, settings):
        restore(database, settings["UNDERCROFT_DATA"], source.absolute())
    click.echo("Restored. Phones pull anew at their next sync and offer again what they hold of the last 30 days.")
    click.echo("The store that was there is kept beside it, with the time in its name.")


@main.command("new-epoch")
@click.option("--yes", is_flag=True, help="Do not ask.")
@_data_option()
def new_epoch_command(data: Path, *, yes: bool) -> None:
    """Tell the phones that the store was put back.

    For PostgreSQL, after pg_restore (docs/deploy.md); `undercroft restore` does it by itself.
    """
    if not yes:
        click.confirm("Was this store just put back from a dump? Every phone will pull anew.", abort=True)
    with _opened(data) as (database, settings):
        prepare_store(database)
        begin_new_epoch(database, settings["UNDERCROFT_DATA"])
    click.echo("A new epoch. Phones pull anew at their next sync and offer again what they hold of the last 30 days.")


@main.group()
def person() -> None:
    """The people of the company."""


@person.command("add")
@click.option("--name", prompt=True)
@click.option("--login", prompt="Login (what is typed at the sign-in)")
@click.option("--role", type=click.Choice(ROLES), prompt=True)
@click.option("--password", default=None, help="Asked for when left out; a technician may go without.")
@_data_option()
def person_add(name: str, login: str, role: str, password: str | None, data: Path) -> None:
    """Add somebody. A technician who only uses a phone needs no password."""
    if password is None and role != "technician":
        password = click.prompt("Password", hide_input=True, confirmation_prompt=True)
    with _opened(data) as (database, _settings):
        prepare_store(database)
        with database.session() as session:
            made = create_person(session, name=name, login=login, role=role, password=password or None)
            click.echo(f"Added {made.name} ({made.role}), login {made.login}.")
    if role == "technician":
        click.echo(f"For their phone: undercroft person code {login.strip().lower()}")


@person.command("list")
@_data_option()
def person_list(data: Path) -> None:
    """Everybody, with login and role."""
    with _opened(data) as (database, _settings), database.reading_session() as session:
        for line in list_people(session):
            one = line.person
            phones = sum(phone.device.revoked_at is None for phone in line.phones)
            left = "" if one.active else ", left"
            click.echo(f"{one.login}  {one.name} ({one.role}{left}), open phones: {phones}")


@person.command("password")
@click.argument("login")
@click.option("--password", prompt=True, hide_input=True, confirmation_prompt=True, help="Asked for when left out.")
@_data_option()
def person_password(login: str, password: str, data: Path) -> None:
    """Set a new password. Whoever is signed in with the old one is signed out."""
    with _opened(data) as (database, _settings), database.session() as session:
        changed = change_password(session, login, password)
    click.echo(f"{changed.name} has a new password.")


@person.command("deactivate")
@click.argument("login")
@_data_option()
def person_deactivate(login: str, data: Path) -> None:
    """Close the door behind somebody who left.

    Their sign-ins and phones are closed at once; what a phone still holds is kept apart. What they found stays.
    The last owner who can sign in stays: make somebody else an owner first.
    """
    with _opened(data) as (database, _settings), database.session() as session:
        gone = deactivate(session, _id_of(session, login))
    click.echo(f"{gone.name} cannot sign in any more, and their phones are closed.")


@person.command("reactivate")
@click.argument("login")
@_data_option()
def person_reactivate(login: str, data: Path) -> None:
    """Let somebody in again who had left. Their phones stay closed and need a new code."""
    with _opened(data) as (database, _settings), database.session() as session:
        back = reactivate(session, _id_of(session, login))
    click.echo(f"{back.name} can sign in again.")


@person.command("licence")
@click.argument("login")
@click.option("--words", default="", help="Kind and number, as it stands on the licence. Left out: none is kept.")
@click.option("--until", default="", help="Its last day, as 2027-03-31.")
@_data_option()
def person_licence(login: str, words: str, until: str, data: Path) -> None:
    """Keep what stands on somebody's licence. The desk is told when it has run out or soon will."""
    with _opened(data) as (database, _settings), database.session() as session:
        licensed = set_licence(session, _id_of(session, login), words=words, expires_on=until)
        told = licence_warning(licensed)
    click.echo(f"{licensed.name}: {licensed.licence_words or 'no licence kept'}" + (f" ({told})" if told else ""))


def _id_of(session: Session, login: str) -> str:
    found = get_person_by_login(session, login)
    if found is None:
        raise click.ClickException(f"Nobody has the login {login!r}. See `undercroft person list`.")
    return found.id


@person.command("code")
@click.argument("login")
@_data_option()
def person_code(login: str, data: Path) -> None:
    """A code that lets one phone in as this person: typed in the shell, once."""
    with _opened(data) as (database, settings), database.session() as session:
        found = get_person_by_login(session, login.strip().lower())
        if found is None:
            raise click.ClickException(f"Nobody has the login {login!r}. See `undercroft person list`.")
        minutes = settings["UNDERCROFT_ENROL_MINUTES"]
        code = make_enrol_code(session, found.id, minutes=minutes)
    click.echo(f"{code[:4]}-{code[4:]}  for {found.name}, good for {minutes} minutes, once")


@main.command("check-procedures")
@click.argument("paths", nargs=-1, type=click.Path(path_type=Path, exists=True, dir_okay=False))
def check_procedures(paths: tuple[Path, ...]) -> None:
    """Check the shipped procedures, or the YAML files named."""
    written = {str(path): yaml.safe_load(path.read_text(encoding="utf-8")) for path in paths}
    written = written or {name: source(name) for name in list_procedures()}
    wrong = 0
    for name, one in written.items():
        found = problems(one)
        wrong += len(found)
        click.echo(f"{name}: " + (f"{len(found)} to mend" if found else "good"))
        for problem in found:
            click.echo(f"  {problem}")
    if wrong:
        raise click.ClickException(f"{wrong} to mend before these may be shipped (docs/procedures.md)")
