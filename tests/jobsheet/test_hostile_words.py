"""Whatever people type stays words: no markup acts, nothing turns a line around, nothing runs over the paper's edge."""

from __future__ import annotations

import re
from html import unescape
from typing import Any

import pytest

from tests.jobsheet.test_sheet import AGREED, PROOF, letters_of, pdf_of, words_of
from tests.office.conftest import Desk
from tests.sites.stories import Story

MARKUP = (
    "<b>bold</b> **stars** __under__ [link](https://evil.example) {{ 823*91 }} ${x} </dd><script>alert(1)</script> &lt;"
)
TURNED = "price \u202e042$ only\u202c and \u2066so\u2069 \u200fon"
EMOJI = "no heat \U0001f525\U0001f6bf \U0001f468\u200d\U0001f469\u200d\U0001f467 at all"
CONTROLS = "a\tb\rc\x0bd\x1be\u2028f\x85g"
LONG = "W" * 3_900
HOSTILE = [
    MARKUP,
    TURNED,
    EMOJI,
    CONTROLS,
    LONG,
    "\ufeff\u200b\u00ad",
    "%PDF-1.7 endobj ) >> stream",
    "مرحبا שלום 漢字",
]
TURNING = re.compile("[\u202a-\u202e\u2066-\u2069\u200e\u200f]")
"""What turns the words after it around (Unicode Standard Annex 9, table 1 and 2.4 to 2.6)."""


def hostile_job(story: Story, words: str) -> str:
    line = words[:120]
    site = story.address(line, line[:100], customer_name=line, access_words=words)
    job = story.book(site, words=words)
    story.open(site, job)
    told: list[tuple[str, dict[str, Any]]] = [
        ("arrived", {"words": words}),
        ("appliance_described", {"appliance_id": job, "kind": "power_vent", "maker_words": line, "model_words": line}),
        ("code_read", {"shown": "text", "text": line, "meaning_words": words}),
        ("check_answered", {"check": "tube", "outcome": "off", "could_not": None, "words": words}),
        ("reading_taken", {"check": None, "quantity": line[:80], "value": 1.5, "place": line[:80]}),
        ("work_agreed", {**AGREED, "told_words": words, "scope_words": words, "price_words": line, "name_words": line}),
        ("cause_named", {"cause": "other", "words": words}),
        ("repair_made", {"action": line[:80], "words": words}),
        ("part_used", {"part_words": line, "count": 2, "direction": "fitted"}),
        ("proof_run", {**PROOF, "words": words}),
        ("left_off", {"what_words": words, "why_words": words, "told_words": words}),
        ("put_back", {"words": words}),
        ("job_closed", {"state": "handed_over", "words": words}),
    ]
    for kind, body in told:
        schema = 2 if kind == "proof_run" else 1
        story.say(story.hand, kind, body, site_id=site, job_id=job, schema=schema)
    return job


@pytest.mark.parametrize("words", HOSTILE, ids=range(len(HOSTILE)))
def test_the_paper_can_be_read_whatever_was_typed_and_ends_inside_its_edges(
    desk: Desk, story: Story, words: str
) -> None:
    reader = pdf_of(desk, hostile_job(story, words))
    assert "For your safety" in words_of(reader)
    width, height = float(reader.pages[0].mediabox.width), float(reader.pages[0].mediabox.height)
    ends: list[tuple[float, float]] = []
    for page in reader.pages:
        page.extract_text(
            visitor_text=lambda text, _cm, tm, _font, _size: ends.append((tm[4], tm[5])) if text else None
        )
    assert all(0 <= x < width and 0 <= y <= height for x, y in ends)
    assert not any("/Annots" in page for page in reader.pages)  # no link acts


def test_markup_is_words_on_page_and_paper(desk: Desk, story: Story) -> None:
    job = hostile_job(story, MARKUP)
    for path in (f"/jobs/{job}", f"/jobs/{job}/sheet", "/jobs?show=all", "/heaters-off", "/addresses"):
        page = desk.client.get(path).text
        assert "<script>alert" not in page, path
        assert "<b>bold" not in page, path
        assert "74893" not in page, path  # reckoned by no template; no id holds it by chance
    assert MARKUP in unescape(desk.client.get(f"/jobs/{job}/sheet").text)
    assert letters_of("**stars** __under__ [link](https://evil.example) {{ 823*91 }}") in letters_of(
        words_of(pdf_of(desk, job))
    )


def test_nothing_turns_a_line_around_on_page_or_paper(desk: Desk, story: Story) -> None:
    job = hostile_job(story, TURNED)
    for path in (f"/jobs/{job}", f"/jobs/{job}/sheet", "/jobs?show=all", "/addresses", "/heaters-off"):
        assert not TURNING.search(desk.client.get(path).text), path
    assert not TURNING.search(words_of(pdf_of(desk, job)))
    assert "price 042$ only and so on" in desk.read(f"/jobs/{job}/sheet")


def test_what_the_letters_of_the_paper_do_not_have_says_so_and_the_rest_is_read(desk: Desk, story: Story) -> None:
    words = words_of(pdf_of(desk, hostile_job(story, EMOJI)))
    assert "no heat ??" in words
    assert "at all" in words
