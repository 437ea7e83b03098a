"""What the office's templates need beside their data: the menu, and times and states in words."""

from __future__ import annotations

from urllib.parse import urlsplit

from flask import Blueprint, current_app, g, request, url_for
from werkzeug.exceptions import HTTPException

from webapp.extensions import get_database, get_session
from webapp.office.call_words import ANSWERS, LATELY, QUESTIONS, SAY, SAY_HEADS
from webapp.office.first_steps import read_first_steps
from webapp.office.overdue import OverdueNow, read_overdue
from webapp.people.rules import ROLES, rule_of
from webapp.sheets.own_words import read_own_words
from webapp.sites import clock
from webapp.sites.address_key import phone_key
from webapp.sites.procedure_words import CLOSE_WORDS
from webapp.sites.ringing import phone_words
from webapp.sites.timeline import grouped

SHEET_PAGES = (
    *("list_sheets", "show_sheet", "show_new", "add_sheet", "show_change", "change_sheet"),
    *("list_typed_on_site", "read_typed"),
)
CORRECTION = ("office.show_correction", "office.correct_address")
MENU = (
    (
        "office.list_jobs",
        "Jobs",
        (
            "office.list_jobs",
            "office.show_job",
            "office.move",
            "office.correct",
            "office.cancel",
            "office.note",
            "office.heard",
            "office.show_call",
            "office.correct_call",
            "office.put_back",
            "office.office_told",
        ),
    ),
    ("office.show_booking", "Book a job", ("office.show_booking", "office.book")),
    ("office.list_heaters_off", "Heaters off", ("office.list_heaters_off",)),
    (
        "office.list_addresses",
        "Addresses",
        (
            "office.list_addresses",
            "office.show_address",
            "office.list_in_doubt",
            "office.show_same_as",
            *CORRECTION,
            "importing",
        ),
    ),
    ("audit.show_first", "Did it hold?", ("audit",)),
    ("sheets.list_sheets", "Models", tuple(f"sheets.{name}" for name in SHEET_PAGES)),
    ("sheets.show_company", "Company", ("sheets.show_company", "sheets.save_company")),
    ("people.list_people", "People & phones", ("people", "staff")),
    ("office.show_queues", "Queues", ("office.show_queues", "office.read_queue_file", "office.let_in_held")),
)
"""Endpoint, words, and where one is when it is lit; a bare name lights for its whole feature."""
SELDOM = ("sheets.list_sheets", "sheets.show_company", "people.list_people", "office.show_queues")
"""Not wanted during a call: one step further, so that the menu is one line, at a desk and on a phone."""

ROOM_ON_A_PHONE = 4
SECOND_TO_GO = ("office.list_heaters_off", "office.list_addresses")
"""On a phone one step further too, for whoever has more of the others than its one line holds."""

PRINTED = (
    "office.show_job", "office.move", "office.correct", "office.cancel", "office.note", "office.heard",
    "office.put_back", "office.office_told", "office.settle", "office.show_address", "office.list_heaters_off",
)  # fmt: skip
"""Pages that are printed, and read when this year is over; a job's page also where one of its forms was refused."""

JOB_STATES = {"booked": "booked", "open": "on the job", "closed": "closed", "cancelled": "cancelled"}


def init_showing(blueprint: Blueprint) -> None:
    """Give every template of the app the menu and the filters."""
    blueprint.app_context_processor(lambda: {"office_menu": office_menu(), "office_zone": clock.whose_time})
    blueprint.app_context_processor(lambda: {"office_overdue": overdue_below})
    blueprint.app_context_processor(lambda: {"office_sent_from": sent_from})
    blueprint.app_context_processor(
        lambda: {
            "office_first_steps": lambda: read_first_steps(get_session()),
            "office_may_open": lambda endpoint: may_open(endpoint, g.person.role),
        }
    )
    blueprint.app_context_processor(lambda: {"call_say": SAY, "call_say_heads": SAY_HEADS})
    blueprint.context_processor(lambda: {"call_own_words": lambda: read_own_words(get_session())})
    blueprint.context_processor(lambda: {"call_questions": QUESTIONS, "call_answers": ANSWERS, "call_lately": LATELY})
    blueprint.before_request(lambda: clock.use_years(always=request.endpoint in PRINTED))
    blueprint.teardown_request(lambda _error: clock.use_years(always=False))
    for name, say in (
        ("day", clock.day_words),
        ("moment", clock.moment_words),
        ("moment_beside", clock.moment_beside),
        ("grouped", grouped),
        ("hour", clock.hour_words),
        ("span", clock.span_words),
        ("wall", clock.wall_words),
        ("phone", phone_words),
        ("phone_key", phone_key),
        ("close_state", lambda state: CLOSE_WORDS.get(state, state)),
        ("job_state", lambda state: JOB_STATES.get(state, state)),
    ):
        blueprint.add_app_template_filter(say, name)


def may_open(endpoint: str, role: str) -> bool:
    """By the rules of people/rules.py: no menu leads to a closed door."""
    rule = rule_of(endpoint)
    return rule is not None and role in ROLES.get(rule, ())


def sent_from() -> str:
    """The page whose form was sent, where the browser says so and it is one of ours; a path, never another host."""
    came = urlsplit(request.referrer or "")
    if came.netloc != request.host or not came.path.startswith("/") or came.path.startswith(("//", "/sign-in")):
        return "/jobs/book" if request.path == "/jobs/book" else ""
    if not _can_be_opened(came.path):
        return came.path.rpartition("/")[0]  # it was sent before, with a fault: the address is its form's, no page's
    return f"{came.path}?{came.query}" if came.query else came.path


def _can_be_opened(path: str) -> bool:
    try:
        current_app.url_map.bind("").match(path, method="GET")
    except HTTPException:
        return False
    return True


def overdue_below() -> OverdueNow | None:
    """Who is overdue below, for whoever may open the jobs; called by the frame of every page."""
    person = g.get("person")
    if person is None or not may_open("office.list_jobs", person.role):
        return None
    with get_database().reading_session() as reading:  # a session of its own: a write must not begin here
        return read_overdue(reading)


def office_menu() -> list[dict[str, object]]:
    """The pages that this person may open; the one that is open is marked."""
    here, person = request.endpoint or "", g.get("person")
    role = person.role if person else ""
    found = [one for one in MENU if one[0] in current_app.view_functions and may_open(one[0], role)]
    crowded = sum(endpoint not in SELDOM for endpoint, *_ in found) > ROOM_ON_A_PHONE
    return [
        {
            "url": url_for(endpoint),
            "words": words,
            "here": here in lit or here.partition(".")[0] in lit,
            "more": endpoint in SELDOM,
            "more_on_a_phone": crowded and endpoint in SECOND_TO_GO,
        }
        for endpoint, words, lit in found
    ]
