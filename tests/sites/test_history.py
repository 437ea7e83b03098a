"""The logbook of an address: what was found, what was done, did it hold."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy.orm import Session

from tests.sites.stories import PHOTO_SHA256, Story
from webapp.errors import NotFound
from webapp.models.ids import new_id
from webapp.sites.service import read_address, read_job
from webapp.sites.visit import Visit

PHOTO = {"sha256": PHOTO_SHA256, "length_bytes": 1000, "media_type": "image/jpeg", "width_px": 10, "height_px": 10}


@pytest.fixture(params=["sqlite", pytest.param("postgresql", marks=pytest.mark.postgresql)])
def backend(request: pytest.FixtureRequest) -> str:
    return str(request.param)


def the_visit(session: Session, site_id: str) -> Visit:
    visits = read_address(session, site_id, None).visits
    assert len(visits) == 1
    return visits[0]


def test_a_visit_says_what_was_found_done_and_whether_it_held(story: Story, session: Session) -> None:
    site = story.address()
    story.whole_visit(site)
    visit = the_visit(session, site)
    assert visit.found == ["sensing tube off its port"]
    assert visit.done == ["seated the sensing tube · “with a new clip”"]
    assert (visit.held[0].words, visit.held[0].verdict) == ("Held in the hot run of 20 min", "good")
    assert visit.held[1].words.startswith("Held so far: ")


def test_a_hot_run_that_failed_is_a_bad_verdict_in_words(story: Story, session: Session) -> None:
    site = story.address()
    story.whole_visit(site, passed=False)
    held = the_visit(session, site).held[0]
    assert (held.words, held.verdict_words) == ("Did not hold in the hot run of 20 min", "bad")


def test_findings_that_were_not_right_come_first_with_word_and_verdict(story: Story, session: Session) -> None:
    site = story.address()
    story.whole_visit(site)
    groups = the_visit(session, site).findings
    assert [group.words for group in groups] == ["Not right"]
    told = [(finding.check, finding.said.words, finding.said.verdict_words) for finding in groups[0].findings]
    assert told == [
        ("Sensing tube, both ends", "off at the housing", "bad"),
        ("Suction at the switch", "too weak to make the switch", "doubtful"),
    ]


def test_what_was_never_measured_is_named(story: Story, session: Session) -> None:
    site = story.address()
    story.whole_visit(site)
    assert the_visit(session, site).never_lines == ["Limit, dead: across the limit"]


@pytest.mark.parametrize(("walked", "ended"), [(False, True), (True, False)])
def test_a_heater_left_off_at_the_first_looks_leaves_the_whole_walk_unmeasured(
    story: Story, session: Session, walked: bool, ended: bool
) -> None:
    site = story.address()
    job = story.book(site)
    story.open(site, job)
    if walked:
        story.walk(site, job, ("check_answered", {"check": "tube", "outcome": "off", "could_not": None}))
    story.walk(site, job, ("left_off", {"what_words": "heater", "why_words": "gas smelled", "told_words": "Mrs Vale"}))
    visit = the_visit(session, site)
    assert visit.ended_at_first_looks is ended
    assert visit.never_measured
    (log,) = read_address(session, site, None).logs
    assert bool(log.never_measured) is walked  # over all visits it is said only where somebody could have measured


def test_readings_carry_their_unit_and_state_and_stand_side_by_side_over_the_visits(
    story: Story, session: Session
) -> None:
    site = story.address()
    story.whole_visit(site)
    story.days_later(12)
    job = story.book(site)
    story.open(site, job)
    story.walk(site, job, ("reading_taken", {"check": None, "quantity": "flame_ua", "value": 2.5, "place": "terminal"}))
    (log,) = read_address(session, site, None).logs
    rows = {row.words: row.values for row in log.readings}
    assert rows["Suction (cold)"] == ["0.31 in. w.c., before the repair", "\u2013"]
    assert rows["Flame (terminal)"] == ["\u2013", "2.5 µA"]
    assert [visit.moment for visit in log.reading_days] == sorted(visit.moment for visit in log.visits)


def test_a_return_visit_is_told_at_the_visit_that_it_followed(story: Story, session: Session) -> None:
    site = story.address()
    first = story.whole_visit(site)
    story.days_later(12)
    second = story.whole_visit(site)
    visits = {visit.job_id: visit for visit in read_address(session, site, None).visits}
    came_back = visits[first].came_back
    assert came_back is not None
    assert (came_back.job_id, came_back.words) == (second, "Return visit after 12 days, same cause:")
    assert visits[second].came_back is None


def test_a_return_visit_for_another_cause_says_so(story: Story, session: Session) -> None:
    site = story.address()
    story.whole_visit(site)
    story.days_later(40)
    story.whole_visit(site, cause="screen_shut")
    came_back = read_address(session, site, None).visits[1].came_back
    assert came_back is not None
    assert came_back.words == "Return visit after 40 days, another cause:"


def test_a_second_visit_with_the_part_that_was_waited_for_is_no_return(story: Story, session: Session) -> None:
    site = story.address()
    first = story.book(site)
    story.open(site, first)
    story.walk(
        site,
        first,
        ("cause_named", {"cause": "tube_off"}),
        ("repair_made", {"action": "seat_tube"}),
        ("job_closed", {"state": "waiting_part", "words": "new tube"}),
    )
    story.days_later(6)
    story.whole_visit(site)
    history = read_address(session, site, None)
    came_back = history.visits[1].came_back
    assert came_back is not None
    assert came_back.words == "Second visit after 6 days, a part was waited for:"
    assert history.at_once.did_not_hold == []


@pytest.mark.parametrize(
    ("first", "second", "told"),
    [
        (None, "screen_shut", "no cause named on this one"),
        ("none_of_these", "none_of_these", "no cause named on it"),
        ("tube_off", None, "no cause named on it"),
    ],
)
def test_of_causes_that_nobody_named_none_is_called_another(
    first: str | None, second: str | None, told: str, story: Story, session: Session
) -> None:
    site = story.address()
    story.whole_visit(site, cause=first)
    story.days_later(12)
    story.whole_visit(site, cause=second)
    came_back = read_address(session, site, None).visits[1].came_back
    assert came_back is not None
    assert came_back.words == f"Return visit after 12 days, {told}:"


def test_of_a_visit_that_repaired_nothing_no_hot_run_is_missed(story: Story, session: Session) -> None:
    site = story.address()
    job = story.book(site)
    story.open(site, job)
    story.walk(site, job, ("job_closed", {"state": "declined"}))
    assert the_visit(session, site).held[0].words == "Nothing was repaired"


def test_the_words_are_those_of_the_version_that_the_job_was_walked_with(story: Story, session: Session) -> None:
    site = story.address()
    job = story.book(site)
    story.walk(
        site,
        job,
        ("job_opened", {"procedure_hash": "b" * 64}),
        ("check_answered", {"check": "tube", "outcome": "off", "could_not": None}),
    )
    visit = the_visit(session, site)
    finding = visit.findings[0].findings[0]
    assert (finding.check, finding.said.words, finding.said.verdict) == ("Tube", "off", None)
    assert any("not in this store" in line.detail for line in visit.lines)


def test_a_correction_leaves_the_first_word_struck_and_readable(story: Story, session: Session) -> None:
    site = story.address()
    job = story.book(site)
    story.open(site, job)
    wrong = story.walk(site, job, ("check_answered", {"check": "tube", "outcome": "seated", "could_not": None}))[0]
    right = {"check": "tube", "outcome": "off", "could_not": None}
    story.say(story.hand, "check_answered", right, site_id=site, job_id=job, replaces=[wrong["id"]])
    visit = the_visit(session, site)
    struck = [line for line in visit.lines if line.struck]
    assert [line.event_id for line in struck] == [wrong["id"]]
    assert struck[0].struck == "corrected by Tom Torch to: Sensing tube, both ends, off at the housing"
    assert [finding.said.words for finding in visit.findings[0].findings] == ["off at the housing"]


def test_what_was_taken_back_is_struck_and_a_withdrawn_withdrawal_stands_again(story: Story, session: Session) -> None:
    site = story.address()
    job = story.book(site)
    note = story.walk(site, job, ("note", {"words": "dog in the yard"}))[0]
    undo = story.say(story.hand, "withdrawn", {"why": "wrong job"}, site_id=site, job_id=job, replaces=[note["id"]])
    assert [line.struck for line in the_visit(session, site).lines if line.kind == "note"] == [
        "taken back by Tom Torch: “wrong job”"
    ]
    story.say(story.hand, "withdrawn", {}, site_id=site, job_id=job, replaces=[undo["id"]])
    assert [line.struck for line in the_visit(session, site).lines if line.kind == "note"] == [""]


def test_two_technicians_who_disagree_stand_side_by_side(story: Story, session: Session) -> None:
    site = story.address()
    job = story.book(site)
    story.open(site, job)
    story.walk(site, job, ("check_answered", {"check": "tube", "outcome": "off", "could_not": None}))
    other = story.another_technician("Una Under")
    story.say(
        other, "check_answered", {"check": "tube", "outcome": "seated", "could_not": None}, site_id=site, job_id=job
    )
    visit = the_visit(session, site)
    assert len(visit.contradictions) == 1
    answers = {answer.who: answer.said.words for answer in visit.contradictions[0].answers}
    assert answers == {"Tom Torch": "off at the housing", "Una Under": "seated at both ends"}
    assert sum(line.contradicted for line in visit.lines) == 2
    assert visit.findings == []


def test_what_could_not_be_checked_is_told_with_its_reason(story: Story, session: Session) -> None:
    site = story.address()
    job = story.book(site)
    story.open(site, job)
    story.walk(site, job, ("check_answered", {"check": "limit", "outcome": None, "could_not": "no_tool"}))
    visit = the_visit(session, site)
    assert visit.findings[0].words == "Could not check"
    assert visit.findings[0].findings[0].said.words == "tool not at hand"
    assert "Limit, dead: across the limit" in visit.never_lines


def test_an_event_noted_below_ground_says_when_it_was_noted_and_when_it_arrived(story: Story, session: Session) -> None:
    site = story.address()
    job = story.book(site)
    noted = story.at + timedelta(minutes=1)
    arrived = noted + timedelta(hours=2, minutes=15)
    story.say(story.hand, "note", {"words": "wet floor"}, site_id=site, job_id=job, arrives_at=arrived)
    line = the_visit(session, site).lines[0]
    assert (line.noted.noted, line.noted.arrived, line.noted.arrived_later) == (noted, arrived, True)


def test_a_clock_that_was_off_is_put_right_by_its_measured_offset(story: Story, session: Session) -> None:
    site = story.address()
    job = story.book(site)
    nine_hours_ms = 9 * 3_600_000
    story.say(story.hand, "note", {"words": "x"}, site_id=site, job_id=job, clock_offset=-nine_hours_ms)
    noted = the_visit(session, site).lines[0].noted
    assert noted.noted == story.at - timedelta(hours=9)
    assert noted.clock_was_off == timedelta(hours=-9)


def test_what_this_office_cannot_read_is_counted_and_listed(story: Story, session: Session) -> None:
    site = story.address()
    job = story.book(site)
    story.say(story.hand, "smelt_something", {"of": "eggs"}, site_id=site, job_id=job)
    visit = the_visit(session, site)
    assert visit.uncounted.startswith("1 entry is newer than this office can read.")
    assert visit.lines[0].title.startswith("Something newer than this office can read (smelt something")


def test_a_photo_is_on_the_phone_until_its_bytes_are_here(story: Story, session: Session) -> None:
    site = story.address()
    job = story.book(site)
    story.walk(site, job, ("photo_taken", PHOTO | {"check": "tube"}))
    photo = read_job(session, job).visit.photos[0]
    assert (photo.stored, photo.words) == (False, "Sensing tube, both ends")


def test_a_photo_of_the_plate_says_so(story: Story, session: Session) -> None:
    site = story.address()
    job = story.book(site)
    body = PHOTO | {"check": None, "words": None, "about": "plate"}
    story.say(story.hand, "photo_taken", body, site_id=site, job_id=job, schema=2)
    assert read_job(session, job).visit.photos[0].words == "The rating plate"


@pytest.mark.parametrize(
    ("written", "told"),
    [
        ("rust at the seam", "The rating plate · “rust at the seam”"),
        ("Photo of the rating plate", "The rating plate"),
        (None, "The rating plate"),
    ],
)
def test_a_photo_is_told_in_the_words_of_whoever_took_it_not_in_those_of_an_earlier_phone_s_button(
    written: str | None, told: str, story: Story, session: Session
) -> None:
    site = story.address()
    job = story.book(site)
    body = PHOTO | {"check": None, "about": "plate", "words": written}
    story.say(story.hand, "photo_taken", body, site_id=site, job_id=job, schema=2)
    visit = read_job(session, job).visit
    assert visit.photos[0].words == told
    line = next(one for one in visit.lines if one.title == "Photo taken of the rating plate")
    assert line.detail == ("“rust at the seam”" if written == "rust at the seam" else "")


def test_equipment_left_off_is_told_before_anything_else(story: Story, session: Session) -> None:
    site = story.address()
    job = story.book(site)
    story.walk(
        site, job, ("left_off", {"what_words": "heater", "why_words": "cracked vent", "told_words": "Mrs Vale, by me"})
    )
    (off,) = the_visit(session, site).left_off
    assert off.stands
    assert off.words.startswith("heater · cracked vent · told: Mrs Vale, by me · noted by Tom Torch, Mon 2 Mar")


def test_two_entries_of_one_front_door_share_their_logbook(story: Story, session: Session) -> None:
    one, other = story.address(), story.address("12 Mill Ln")
    first, second = story.whole_visit(one), story.whole_visit(other)
    story.say(story.desk, "same_address", {"other_site_id": other}, site_id=one)
    for site in (one, other):
        history = read_address(session, site, None)
        assert [visit.job_id for visit in history.visits] == [second, first]
        assert len(history.others) == 1


def test_a_job_knows_how_many_visits_came_before_it(story: Story, session: Session) -> None:
    site, elsewhere = story.address(), story.address("99 Far Road")
    story.whole_visit(elsewhere)
    first = story.whole_visit(site)
    second = story.book(site)
    assert [read_job(session, job).visits_before for job in (first, second)] == [0, 1]


def test_a_long_history_comes_in_pages_without_a_gap_or_a_repeat(story: Story, session: Session) -> None:
    site = story.address()
    booked = [story.book(site) for _ in range(23)]
    seen: list[str] = []
    place = None
    pages = 0
    while pages == 0 or place is not None:
        history = read_address(session, site, place)
        seen += [visit.job_id for visit in history.visits]
        place = history.before
        pages += 1
    assert (pages, seen) == (3, booked[::-1])


def test_the_last_visit_of_a_later_page_still_knows_what_followed_it(story: Story, session: Session) -> None:
    site = story.address()
    oldest = story.whole_visit(site)
    story.days_later(3)
    for _ in range(10):
        story.book(site)
    place = read_address(session, site, None).before
    visit = read_address(session, site, place).visits[0]
    assert visit.job_id == oldest
    assert visit.came_back is not None


def test_heaters_and_figures_typed_on_site_are_shown_with_their_unit(story: Story, session: Session) -> None:
    site = story.address()
    job = story.book(site)
    heater = {"appliance_id": new_id(), "kind": "power_vent", "fuel": "propane", "input_btu_h": 40000.0}
    sheet = {"quantity": "make_point_in_wc", "value": 0.36, "where": "sheet"}
    story.walk(site, job, ("appliance_described", heater), ("sheet_number", sheet))
    facts = read_address(session, site, None).facts
    assert facts.heaters == ["power vent, LP (propane), 40,000 Btu/h"]
    assert facts.sheet == ["make point 0.36 in. w.c. (instruction sheet, typed on site, not confirmed yet)"]


def test_an_unknown_address_or_job_is_not_found(session: Session) -> None:
    with pytest.raises(NotFound):
        read_address(session, new_id(), None)
    with pytest.raises(NotFound):
        read_job(session, new_id())
