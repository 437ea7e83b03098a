"""What the typed words of a call mention while the question about it is not ticked: a line, and nothing held up."""

from __future__ import annotations

import re

import pytest
from sqlalchemy.orm import Session

from tests.office.conftest import Desk, text_of
from tests.office.test_booking import PAGE, jobs, the_call
from webapp.sites.service import read_job

ASK = f"{PAGE}/mentions"
LINE = "The words mention gas: ask."
SMELLS = "it smells gas in the cellar"


def said(desk: Desk, **typed: str) -> str:
    token = re.search(r'name="csrf_token"[^>]*value="([^"]+)"', desk.client.get(PAGE).text)
    answer = desk.client.post(ASK, data={"csrf_token": token[1] if token else "", **typed})
    assert answer.status_code == 200
    return " ".join(re.sub(r"<[^>]+>", " ", answer.text).split())


@pytest.mark.parametrize("name", ["complaint_words", "since_words", "home_words", "lately_words", "lights_words"])
def test_words_that_mention_gas_are_told_while_they_are_typed(desk: Desk, name: str) -> None:
    assert said(desk, **{name: SMELLS}).startswith(LINE)


@pytest.mark.parametrize("answer", ["yes", "no", "unsure"])
def test_an_answer_to_the_question_ends_it(desk: Desk, answer: str) -> None:
    assert said(desk, complaint_words=SMELLS, smell_of_gas=answer) == ""
    both = said(desk, complaint_words="smells gas, she is dizzy", smell_of_gas=answer)
    assert both.startswith("The words mention somebody unwell")
    assert LINE not in both


def test_other_words_are_told_nothing(desk: Desk) -> None:
    assert said(desk, complaint_words="it hums and gives up, gas valve is new") == ""


def test_the_page_says_it_where_no_script_runs(desk: Desk) -> None:
    page = text_of(desk.send(PAGE, **the_call(desk, complaint_words=SMELLS), look="1"))
    assert LINE in page
    assert LINE not in desk.read(PAGE)


def test_it_holds_no_booking_up_and_the_jobs_page_says_it(desk: Desk, session: Session) -> None:
    answer = desk.send(PAGE, **the_call(desk, complaint_words=SMELLS))
    assert answer.status_code == 303
    assert LINE in desk.read(answer.location)
    assert not jobs(session)[0].caller_alarm


def test_a_job_whose_caller_was_asked_says_nothing(desk: Desk) -> None:
    answer = desk.send(PAGE, **the_call(desk, complaint_words=SMELLS, smell_of_gas="no"))
    assert LINE not in desk.read(answer.location)


def test_a_closed_job_asks_nothing_any_more(desk: Desk, session: Session) -> None:
    desk.send(PAGE, **the_call(desk, complaint_words=SMELLS))
    (job,) = jobs(session)
    desk.story.open(job.site_id, job.id)
    session.expire_all()
    assert read_job(session, job.id).visit.unasked == [LINE]
    desk.story.walk(job.site_id, job.id, ("job_closed", {"state": "not_proven"}))
    session.expire_all()
    assert read_job(session, job.id).visit.unasked == []
