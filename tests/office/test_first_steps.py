"""A company without a job is told what comes first, and what of it is done."""

from __future__ import annotations

import re

from tests.office.conftest import Desk

FIRST = ("Add who goes done", "Make a code for each phone done", "Choose the rule set for CO", "Bring in the addresses")


def test_the_first_page_says_what_comes_first_and_what_is_done(desk: Desk) -> None:
    page = desk.read("/jobs")
    assert [words in page for words in FIRST] == [True] * len(FIRST)
    assert page.index(FIRST[0]) < page.index(FIRST[1]) < page.index(FIRST[2]) < page.index("Book the first call")
    assert re.search(r'href="[^"]+">Bring in the addresses', desk.client.get("/jobs").text)
    assert "The owner does it." in page  # the desk may not add people
    assert "Bring in the addresses that you know done" not in page
    desk.story.address()
    assert "Bring in the addresses that you know done" in desk.read("/jobs")


def test_after_the_first_job_nothing_of_it_stands(desk: Desk) -> None:
    desk.story.book(desk.story.address())
    assert "What comes first" not in desk.read("/jobs?show=open")
    assert "What comes first" not in desk.read("/jobs")
