"""The command `undercroft`. Each command does one thing; what goes wrong is said in one line, with what to do."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import click
import yaml
from sqlalchemy.exc import OperationalError

from webapp.cli_person import person
from webapp.cli_store import data_option, opened_store
from webapp.config import BadSetting
from webapp.errors import UndercroftError
from webapp.importing.csv_reading import LARGEST_FILE_BYTES
from webapp.importing.service import bring_in, person_for, preview
from webapp.invent.demo import demo_words, open_demo
from webapp.invent.queries import count_people
from webapp.invent.service import invent_company
from webapp.keeping.backup import backup, restore
from webapp.keeping.start import begin_new_epoch, prepare_store
from webapp.procedures.loader import list_procedures, source
from webapp.procedures.validate import problems
from webapp.serving import PortTaken, refuse_taken_port, run_server
from webapp.sync.rebuild import rebuild

LOCALHOST = "127.0.0.1"


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


@click.group(cls=_Commands, context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 100})
@click.version_option(package_name="undercroft", prog_name="undercroft")
def main() -> None:
    """A fault log for water heaters that works below ground."""


main.add_command(person)


@main.command()
@click.option("--port", type=click.IntRange(1, 65_535), default=8000, show_default=True)
@data_option("demo-data")
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
@data_option()
def serve(host: str, port: int, workers: int, data: Path) -> None:
    """Serve the company's own store.

    Brings it up to date first. Makes no people and no passwords.
    """
    with opened_store(data) as (database, _settings):
        prepare_store(database)
        with database.reading_session() as session:
            nobody = count_people(session) == 0
    if nobody:
        click.echo("Nobody can sign in yet: undercroft person add --role owner", err=True)
    ready = f"Undercroft is at http://{host}:{port}/ (ctrl-C stops it)"
    run_server({"UNDERCROFT_DATA": data}, host=host, port=port, workers=workers, when_ready=lambda: click.echo(ready))


@main.command()
@data_option()
def migrate(data: Path) -> None:
    """Bring tables and procedures up to date.

    Safe to run again; serve and demo do it by themselves.
    """
    with opened_store(data) as (database, settings):
        prepare_store(database)
        where = settings["DATABASE_URL"].rsplit("@", 1)[-1].removeprefix("sqlite:///")
    click.echo(f"The store is up to date: {where}")


@main.command()
@click.option("--jobs", type=click.IntRange(1), required=True, help="How many visits.")
@click.option("--seed", type=int, default=1, show_default=True, help="The same seed tells the same story.")
@click.option("--until", type=click.DateTime(["%Y-%m-%d"]), default=None, help="Last day.  [default: today]")
@click.option("--password", default=None, help="For the invented owner and dispatchers; without it nobody can sign in.")
@data_option("invented-data", envvar=None)
def invent(jobs: int, seed: int, until: datetime | None, password: str | None, data: Path) -> None:
    """Fill a new store with an invented company.

    A town, its people and heaters, and eighteen months of jobs. What really was wrong lies beside the store, in
    invented-truth.jsonl.
    """
    last = (until or datetime.now(UTC)).replace(tzinfo=UTC, hour=12, minute=0, second=0, microsecond=0)
    with opened_store(data) as (database, settings):
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
@data_option()
def rebuild_command(data: Path, *, marked: bool) -> None:
    """Make jobs, findings and addresses anew from the events.

    The events are only read. Needed after a release that reads them otherwise; safe to run while the server runs.
    """
    with opened_store(data) as (database, _settings):
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
@data_option()
def import_command(file: Path, login: str, data: Path, *, dry_run: bool) -> None:
    """Bring in addresses and past visits from FILE.

    A CSV file (docs/importing.md). The same file again adds nothing; lines that cannot be read are told and stay out.
    """
    with file.open("rb") as opened:
        content = opened.read(LARGEST_FILE_BYTES + 1)
    with opened_store(data) as (database, _settings):
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
@data_option()
def backup_command(target: Path, data: Path) -> None:
    """Copy the store into the new folder TARGET.

    Database and photos, while the server runs. PostgreSQL has tools of its own: docs/deploy.md.
    """
    with opened_store(data) as (database, settings):
        kept = backup(database, settings["UNDERCROFT_DATA"], target.absolute())
    click.echo(f"Backed up to {kept}")


@main.command("restore")
@click.argument("source", type=click.Path(path_type=Path, exists=True, file_okay=False))
@click.option("--yes", is_flag=True, help="Do not ask.")
@data_option()
def restore_command(source: Path, data: Path, *, yes: bool) -> None:
    """Put a backup in the place of the store.

    Stop the server first. What was there is kept beside it, with the time in its name.
    """
    if not yes:
        click.confirm(f"Put {source} in the place of the store in {data}? Is the server stopped?", abort=True)
    with opened_store(data) as (database, settings):
        restore(database, settings["UNDERCROFT_DATA"], source.absolute())
    click.echo("Restored. Phones pull anew at their next sync and offer again what they hold of the last 30 days.")
    click.echo("The store that was there is kept beside it, with the time in its name.")


@main.command("new-epoch")
@click.option("--yes", is_flag=True, help="Do not ask.")
@data_option()
def new_epoch_command(data: Path, *, yes: bool) -> None:
    """Tell the phones that the store was put back.

    For PostgreSQL, after pg_restore (docs/deploy.md); `undercroft restore` does it by itself.
    """
    if not yes:
        click.confirm("Was this store just put back from a dump? Every phone will pull anew.", abort=True)
    with opened_store(data) as (database, settings):
        prepare_store(database)
        begin_new_epoch(database, settings["UNDERCROFT_DATA"])
    click.echo("A new epoch. Phones pull anew at their next sync and offer again what they hold of the last 30 days.")


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
