"""An older sheet printed anew: what another visit found unsafe since, or left off, stands over "back in service"."""

from __future__ import annotations

from typing import Any

import pytest
from sqlalchemy.orm import Session

from tests.jobsheet.test_sheet import LEFT_OFF
from tests.jobsheet.test_true_and_short import GATE, answers, told, walked
from tests.office.conftest import Desk
from tests.sites.stories import HELD, Story
from webapp.jobsheet.plain_words import LEFT_IN_USE
from webapp.models import Job, Site
from webapp.models.ids import new_id
from webapp.procedures import compiled
from webapp.sites.service import read_address

SINCE = "Since this visit: found unsafe at this address, and not put right by what is recorded"
BACK = "Your heater was left off during this visit, and is back in service"
PUT_BACK = ("put_back", {"words": "vent made new"})
ROOM_40 = [
    ("reading_taken", {"check": "co_room", "quantity": "co_room_ppm", "value": 40.0, "place": "room"}),
    *answers(co_room="raised"),
]


def mended(story: Story, session: Session) -> tuple[str, str]:
    """Left off and put back on one visit."""
    acts = [*answers(**GATE), ("left_off", LEFT_OFF), HELD, PUT_BACK, ("job_closed", {"state": "not_seen_today"})]
    job = walked(story, session, *acts)
    return session.get_one(Job, job).site_id, job


def another(story: Story, site: str, *acts: tuple[str, dict[str, Any]], days: float = 2) -> str:
    story.days_later(days)
    job = story.book(site)
    story.walk(site, job, ("job_opened", {"procedure_hash": compiled("power_vent")["hash"]}), ("arrived", {}), *acts)
    return job


def test_what_a_later_visit_found_unsafe_stands_first_with_its_figure(
    desk: Desk, story: Story, session: Session
) -> None:
    site, first = mended(story, session)
    assert BACK in told(desk, first)
    assert SINCE not in told(desk, first)
    another(story, site, *ROOM_40)
    sheet = told(desk, first)
    assert sheet.index(SINCE) < sheet.index("and was put back in service; what stands above counts now")
    assert "The room held more carbon monoxide than it should. It read 40 ppm. (" in sheet
    assert "Do not use the heater until somebody licensed" in sheet
    assert "is back in service" not in sheet
    assert "These answers do not say that a heater is safe to use." in sheet


def test_what_it_found_itself_and_what_came_before_it_is_not_since_it(
    desk: Desk, story: Story, session: Session
) -> None:
    site, _first = mended(story, session)
    second = another(story, site, *ROOM_40)
    assert SINCE not in told(desk, second)
    third = another(story, site, ("job_closed", {"state": "declined"}))
    assert SINCE not in told(desk, third)


def test_a_later_look_that_answers_it_takes_it_off_the_older_sheet(desk: Desk, story: Story, session: Session) -> None:
    site, first = mended(story, session)
    another(story, site, *ROOM_40)
    again = ("reading_taken", {"check": "co_room", "quantity": "co_room_ppm", "value": 1.0, "place": "room"})
    another(story, site, *answers(co_room="acceptable"))
    assert SINCE in told(desk, first), "a look without a number answers no CO"
    another(story, site, again, *answers(co_room="acceptable"))
    assert SINCE not in told(desk, first)
    assert BACK in told(desk, first)


@pytest.mark.parametrize(("acts", "is_said"), [(answers(terminal="nest_or_debris"), False), (ROOM_40, True)])
def test_of_another_heater_only_what_is_of_the_room_is_said(
    desk: Desk, story: Story, session: Session, acts: list[tuple[str, dict[str, Any]]], is_said: bool
) -> None:
    def described() -> tuple[str, dict[str, Any]]:
        return "appliance_described", {"appliance_id": new_id(), "kind": "power_vent"}

    first = walked(story, session, described(), *answers(**GATE), ("job_closed", {"state": "not_seen_today"}))
    another(story, session.get_one(Job, first).site_id, described(), *acts)
    assert (SINCE in told(desk, first)) is is_said


def test_left_off_again_the_older_sheet_does_not_call_it_back_in_service(
    desk: Desk, story: Story, session: Session
) -> None:
    site, first = mended(story, session)
    another(story, site, ("left_off", LEFT_OFF), ("job_closed", {"state": "left_off"}))
    sheet = told(desk, first)
    stands = "A heater at this address was left off on another visit, and stands off"
    assert sheet.index(stands) < sheet.index("and was put back in service; what stands above counts now")
    assert "is back in service" not in sheet


def test_it_does_not_call_its_use_fine_beside_that(desk: Desk, story: Story, session: Session) -> None:
    looks = {"terminal": "clear", "joints": "sound", "slope": "falls_right", "burn_marks": "clean"}
    safe = answers(**GATE, **looks, manual_limit="none_tripped", tp_valve="sound")
    end = ("job_closed", {"state": "not_proven", "words": "wind"})
    first = walked(story, session, *safe, ("repair_made", {"action": "new_tube"}), HELD, end)
    assert LEFT_IN_USE in told(desk, first)
    another(story, session.get_one(Job, first).site_id, *ROOM_40)
    assert LEFT_IN_USE not in told(desk, first)


def test_the_address_page_says_what_stands_unsafe_before_what_is_back(
    desk: Desk, story: Story, session: Session
) -> None:
    site, _first = mended(story, session)
    another(story, site, *ROOM_40)
    page = desk.read(f"/addresses/{session.get_one(Site, site).group_id}")
    assert page.index("CO in the room: Raised, 40 ppm") < page.index("Was left off, was put back in service")
    head = read_address(session, site, None).at_once
    assert (len(head.left_off), len(head.unsafe), len(head.back)) == (0, 1, 1)
