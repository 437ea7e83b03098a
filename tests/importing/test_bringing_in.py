from __future__ import annotations

from datetime import UTC, datetime
from pathlib import Path

import pytest
from click.testing import CliRunner
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from tests.contract.conftest import assert_whole
from tests.factories import EventMaker, PersonFactory, PhoneFactory
from tests.sites.stories import PROCEDURE, Story
from webapp.extensions import Database
from webapp.importing import service
from webapp.importing.planning import Plan
from webapp.importing.service import bring_in, preview
from webapp.models import Device, EventRow, Job, ProcedureVersion, Site
from webapp.models.ids import new_id
from webapp.office.job_list import filter_named, list_jobs
from webapp.sites.brought_in import NOBODYS_ID
from webapp.sites.finding import find_matches
from webapp.sites.service import read_address
from webapp.sync.admission import NOT_THIS_ADDRESS, Admission, visible_groups

NOW = datetime(2026, 11, 25, 9, 0, tzinfo=UTC)
EXAMPLE = Path(__file__).parents[2] / "fixtures" / "import_example.csv"
HEADER = "street,town,phone,customer_name,visited_on,complaint,technician,cause,repair,held,note\n"


def look(database: Database, text: str | bytes) -> Plan:
    with database.reading_session() as reading:
        return preview(reading, text if isinstance(text, bytes) else (HEADER + text).encode(), NOW)


def take(database: Database, story: Story, text: str | bytes) -> dict[str, int]:
    plan = look(database, text)
    with database.session() as writing:
        return dict(bring_in(writing, story.dispatcher, plan.units))


def counts(session: Session) -> tuple[int, ...]:
    session.rollback()
    return tuple(
        session.scalar(select(func.count()).select_from(table)) or 0 for table in (EventRow, Site, Job, Device)
    )


def the_site(session: Session, street: str = "12 Mill Lane") -> Site:
    session.rollback()
    return session.scalars(select(Site).where(Site.street == street)).one()


def said(session: Session, site: Site) -> list[str]:
    """Titles and details of all the timelines of an address."""
    history = read_address(session, site.id, None)
    lines = [*history.lines, *(line for visit in history.visits for line in visit.lines)]
    return [f"{line.title} {line.detail}".strip() for line in lines]


def test_the_dry_run_counts_and_saves_nothing(database: Database, session: Session, story: Story) -> None:
    before = counts(session)
    plan = look(database, "12 Mill Lane,Harrowby,,,2024-03-18,,,,,,\n3 Elm St,Harrowby,,,,,,,,,\nx,,,,,,,,,,\n")
    assert (plan.count("address"), plan.count("visit"), plan.addresses_known, plan.lines_read) == (2, 1, 0, 2)
    assert [fault.line for fault in plan.faults] == [4]
    assert counts(session) == before


def test_the_same_file_twice_is_once(database: Database, session: Session, story: Story) -> None:
    assert take(database, story, EXAMPLE.read_bytes()) == {"address": 3, "visit": 3}
    first = counts(session)
    assert take(database, story, EXAMPLE.read_bytes()) == {}
    plan = look(database, EXAMPLE.read_bytes())
    assert (plan.units, plan.addresses_known, plan.visits_known) == ([], 3, 3)
    assert counts(session) == first
    assert_whole(session)


def test_two_confirmations_of_one_dry_run_are_one(database: Database, session: Session, story: Story) -> None:
    plan = look(database, EXAMPLE.read_bytes())
    for _ in range(2):
        with database.session() as writing:
            bring_in(writing, story.dispatcher, plan.units)
    session.rollback()
    assert session.scalar(select(func.count()).select_from(Job)) == 3


def test_the_same_file_after_the_address_was_renamed_adds_nothing(
    database: Database, session: Session, story: Story
) -> None:
    line = "12 Mil Lane,Harrowby,,,2024-03-18,,,,,,\n"
    take(database, story, line)
    site = the_site(session, "12 Mil Lane")
    session.rollback()
    story.lamport = 10  # the desk has seen what the import stored
    story.say(story.desk, "address_given", {"street": "12 Mill Lane", "town": "Harrowby"}, site_id=site.id)
    first = counts(session)
    assert take(database, story, line) == {}
    assert counts(session) == first
    session.rollback()
    assert take(database, story, "12 Mil Lane,Harrowby,555-0142,,,,,,,,\n") == {"filled": 1}
    assert (the_site(session).id, the_site(session).phone) == (site.id, "555-0142")


def test_an_import_that_was_cut_short_is_finished_by_the_same_file(
    database: Database, session: Session, story: Story, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(service, "EVENTS_A_BATCH", 4)
    plan = look(database, EXAMPLE.read_bytes())
    with database.session() as writing:
        bring_in(writing, story.dispatcher, plan.units[:2])
    assert take(database, story, EXAMPLE.read_bytes()) == {"address": 2, "visit": 2}
    assert take(database, story, EXAMPLE.read_bytes()) == {}
    assert_whole(session)


def test_bad_lines_do_not_keep_good_ones_out(database: Database, session: Session, story: Story) -> None:
    done = take(database, story, '1 A St,B,,,soon,,,,,,\n2 A St,B,,,,,,,,,\n3 A St,"B"x,,,,,,,,,\n4 A St,B,,,,,,,,,\n')
    assert done == {"address": 2}
    session.rollback()
    assert set(session.scalars(select(Site.street))) == {"2 A St", "4 A St"}


def test_the_door_is_the_same_where_booking_says_so(database: Database, session: Session, story: Story) -> None:
    known = story.address("12 Mill Lane", "Harrowby")
    for street, town in (("12 MILL LN.", "harrowby"), ("12 Mill Lane", "Otherby"), ("12 Mill Lane Apt 2", "Harrowby")):
        plan = look(database, f"{street},{town},,,,,,,,,\n")
        matches = find_matches(session, street=street, town=town, phone="")
        assert plan.addresses_known == sum(match.exact for match in matches), street
    session.rollback()
    take(database, story, "12 MILL LN.,harrowby,,,2024-03-18,,,,,,\n")
    session.rollback()
    assert session.scalars(select(Job.site_id)).all() == [known]


def test_a_visit_stands_in_the_history_on_its_day_with_all_that_was_typed(
    database: Database, session: Session, story: Story
) -> None:
    take(
        database,
        story,
        "12 Mill Lane,Harrowby,,,2024-03-18,No Hot Water,tom torch,"
        "sensing tube off its port,blew it out,no,ring first\n",
    )
    visit = read_address(session, the_site(session).id, None).visits[0]
    assert visit.moment == datetime(2024, 3, 18, 12, tzinfo=UTC)
    assert (visit.state, visit.complaint, visit.complaint_words) == ("closed", "no hot water", "")
    assert visit.found == ["sensing tube off its port"]
    assert visit.done == ["“blew it out”"]
    told = said(session, the_site(session))
    assert "Note “Technician: Tom Torch”" in told
    assert "Note “ring first”" in told
    assert "Done with, as the old file tells it: did not hold" in told


@pytest.mark.parametrize(("held", "state"), [("yes", "handed_over"), ("no", "not_proven"), ("", "handed_over")])
def test_nothing_from_a_file_counts_as_proven(
    database: Database, session: Session, story: Story, held: str, state: str
) -> None:
    take(database, story, f"12 Mill Lane,Harrowby,,,2024-03-18,,,,,{held},\n")
    session.rollback()
    job = session.scalars(select(Job)).one()
    assert (job.state, job.close_state) == ("closed", state)


def test_a_cause_that_no_procedure_knows_keeps_its_words_and_is_told(
    database: Database, session: Session, story: Story
) -> None:
    plan = look(database, "12 Mill Lane,Harrowby,,,2024-03-18,,,mice,,,\n")
    assert "knows this cause" in plan.remarks[0].words
    take(database, story, "12 Mill Lane,Harrowby,,,2024-03-18,,,mice,,,\n")
    assert read_address(session, the_site(session).id, None).visits[0].found == ["“mice”"]


def test_which_heater_it_was_is_not_guessed(database: Database, session: Session, story: Story) -> None:
    twin = {**PROCEDURE, "name": "toy_twin", "hash": "b" * 64, "repairs": [{"id": "seat_tube", "words": "seated it"}]}
    session.add(ProcedureVersion(hash="b" * 64, name="toy_twin", body=twin, stored_at=NOW, is_current=True))
    session.commit()
    take(
        database,
        story,
        "1 A St,B,,,2024-03-18,,,tube_off,,,\n"
        "2 A St,B,,,2024-03-18,,,tube_off,seated it,,\n"
        "3 A St,B,,,2024-03-18,,,,,,\n",
    )
    session.rollback()
    rows = session.execute(select(Site.street, Job.procedure_name, Job.cause).join(Job, Job.site_id == Site.id))
    assert sorted((a, b, c) for a, b, c in rows) == [
        ("1 A St", "", "tube_off"), ("2 A St", "toy_twin", "tube_off"), ("3 A St", "", None),
    ]  # fmt: skip


def test_what_is_known_stays_what_is_missing_is_filled_in_and_the_rest_is_noted(
    database: Database, session: Session, story: Story
) -> None:
    known = story.address("12 Mill Lane", "Harrowby", phone="555-0142")
    line = "12 Mill Lane,Harrowby,555-0199,Ida Quillfeather,,,,,,,\n"
    assert take(database, story, line) == {"filled": 1, "note": 1}
    site = the_site(session)
    assert (site.id, site.phone, site.customer_name) == (known, "555-0142", "Ida Quillfeather")
    assert "Note “Brought in from a file. Phone: 555-0199”" in said(session, site)
    session.rollback()
    assert take(database, story, line) == {}


def test_lines_that_contradict_each_other_lose_nothing(database: Database, session: Session, story: Story) -> None:
    done = take(
        database,
        story,
        "12 Mill Lane,Harrowby,(01) 555-0142,Ida,,,,,,,\n12 Mill Ln,Harrowby,5550142,Osric,,,,,,,\n",
    )
    assert done == {"address": 1, "note": 1}
    site = the_site(session)
    assert site.customer_name == "Ida"
    assert "Note “Brought in from a file. Customer's name: Osric”" in said(session, site)


def test_a_known_phone_at_another_door_is_told(database: Database, session: Session, story: Story) -> None:
    story.address("12 Mill Lane", "Harrowby", phone="555-0142")
    plan = look(database, "3 Elm St,Harrowby,1 555 0142,,,,,,,,\n")
    assert [(remark.line, "12 Mill Lane, Harrowby" in remark.words) for remark in plan.remarks] == [(2, True)]
    assert plan.count("address") == 1


def test_two_lines_that_say_the_same_visit_are_one_visit(database: Database, session: Session, story: Story) -> None:
    line = "12 Mill Lane,Harrowby,,,2024-03-18,cold,,,,,\n"
    plan = look(database, line + line)
    assert plan.count("visit") == 1
    assert "The same visit as line 2" in plan.remarks[0].words


def test_no_phone_is_sent_the_visits_of_a_file(database: Database, session: Session, story: Story) -> None:
    take(database, story, "12 Mill Lane,Harrowby,,,2024-03-18,,Tom Torch,,,,\n")
    session.rollback()
    assert visible_groups(session, story.technician.id, datetime.now(UTC)) == set()
    assert session.scalars(select(Job.technician_id)).one() == NOBODYS_ID


def test_what_came_from_a_file_stands_under_the_name_of_who_brought_it_in(
    database: Database, session: Session, story: Story
) -> None:
    take(database, story, EXAMPLE.read_bytes())
    session.rollback()
    assert set(session.scalars(select(EventRow.person_id))) == {story.dispatcher.id}
    assert len(set(session.scalars(select(EventRow.device_id)))) == 1


def test_the_command_says_what_it_would_do_and_then_does_it(
    database: Database,
    session: Session,
    story: Story,
    database_url: str,
    monkeypatch: pytest.MonkeyPatch,
    tmp_path: Path,
) -> None:
    from webapp.cli import main  # noqa: PLC0415 (only here)

    monkeypatch.setenv("DATABASE_URL", database_url)
    boss = PersonFactory(role="owner", login="boss")
    session.rollback()
    file = tmp_path / "old.csv"
    file.write_text(HEADER + "12 Mill Lane,Harrowby,,,2024-03-18,,,,,,\n3 Elm St,,,,,,,,,,\n")
    arguments = ["import", str(file), "--login", boss.login, "--data", str(tmp_path)]
    before = counts(session)
    session.rollback()
    dry = CliRunner().invoke(main, [*arguments, "--dry-run"])
    assert "Would bring in: 1 new addresses, 1 past visits." in dry.output
    assert "line 3: The town is missing." in dry.output
    assert counts(session) == before
    session.rollback()
    done = CliRunner().invoke(main, arguments)
    assert "Brought in: 1 new addresses, 1 past visits." in done.output, done.output
    again = CliRunner().invoke(main, arguments)
    assert "Brought in: 0 new addresses, 0 past visits." in again.output
    stranger = CliRunner().invoke(main, [*arguments[:3], story.technician.login, *arguments[4:]])
    assert stranger.exit_code == 1
    assert "No dispatcher or owner" in stranger.output


def test_an_importer_who_carries_a_phone_is_sent_nothing_of_the_file_and_may_not_write_there(
    database: Database, session: Session, story: Story
) -> None:
    phone = PhoneFactory(person_id=story.dispatcher.id)
    take(database, story, EXAMPLE.read_bytes())
    session.rollback()
    assert session.scalars(select(Site.created_by_person_id)).all() == [story.dispatcher.id] * 3
    assert visible_groups(session, story.dispatcher.id, datetime.now(UTC)) == set()
    site = the_site(session)
    note = EventMaker(story.dispatcher.id, phone.id).make("note", {"words": "x"}, site_id=site.id)
    assert Admission(session, phone, [note], datetime.now(UTC)).why_held(note) == NOT_THIS_ADDRESS


def test_an_address_that_was_named_on_a_phone_is_still_sent_to_it(
    database: Database, session: Session, story: Story
) -> None:
    take(database, story, EXAMPLE.read_bytes())
    own = new_id()
    story.at = datetime.now(UTC)
    story.say(story.hand, "address_given", {"street": "9 Lock Street", "town": "Harrowby"}, site_id=own)
    session.rollback()
    assert visible_groups(session, story.technician.id, datetime.now(UTC)) == {own}


def test_nobody_is_claimed_to_have_been_at_a_visit_from_a_file_and_nothing_is_missed(
    database: Database, session: Session, story: Story
) -> None:
    take(
        database,
        story,
        "12 Mill Lane,Harrowby,,,2024-03-18,No Hot Water,Tom Torch,tube_off,seat_tube,yes,\n"
        "12 Mill Lane,Harrowby,,,2024-04-18,,,,,no,\n",
    )
    site = the_site(session)
    later, first = read_address(session, site.id, None).visits
    assert first.technician == "brought in from the old files, which name Tom Torch"
    assert later.technician == "brought in from the old files"
    assert [said.words for said in first.held] == ["The old file says: held"]
    assert next((said.words, said.verdict) for said in later.held) == ("The old file says: did not hold", "bad")
    assert (first.never_measured, later.never_measured, later.complaint) == ([], [], "")
    told = " ".join(said(session, site))
    assert "Brought in from the old files: no hot water" in told
    assert "Done with, as the old file tells it: held" in told
    assert {line.who for line in first.lines} == {"The old files, brought in by Dora Desk"}
    for words in ("unknown here", "nobody yet", "Booked for", "not told", "No hot run"):
        assert words not in told + first.technician + later.technician


def test_a_closed_job_from_a_file_does_not_wait_for_somebody_in_the_list(
    database: Database, session: Session, story: Story
) -> None:
    take(database, story, "12 Mill Lane,Harrowby,,,2024-03-18,No Hot Water,Tom Torch,tube_off,seat_tube,yes,\n")
    session.rollback()
    (line,) = list_jobs(session, filter_named("closed"), {}).lines
    assert line.technician == "brought in from the old files"


def test_a_visit_from_a_file_hides_no_gap_of_the_visits_that_were_walked(
    database: Database, session: Session, story: Story
) -> None:
    site_id = story.address()
    story.whole_visit(site_id)
    take(database, story, "12 Mill Lane,Harrowby,,,2024-03-18,,,tube_off,,,\n")
    session.rollback()
    (log,) = read_address(session, site_id, None).logs
    assert log.never_measured == ["Limit, dead: across the limit"]
