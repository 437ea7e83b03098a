"""A hot run that cannot have lasted as long as it says is no proof by the clock: the owner's page counts it apart."""

from __future__ import annotations

from tests.audit.conftest import History, OwnersDesk

RUN = {"passed": True, "minutes": 20, "restarts": 2, "looks_done": ["joints"]}
WORDS = "closed as repaired and held, and the hot run was noted sooner after the repair, or after the visit began"


def hasty(history: History, street: str, close: str = "proven") -> str:
    """The run is noted at the very minute of the repair."""
    site = history.story.address(street)
    job = history.visit(site, 200, run=None, close=close)
    wall = history.story.at.isoformat().replace("+00:00", "Z")
    history.story.say(history.story.hand, "proof_run", RUN, site_id=site, job_id=job, at_wall=wall)
    return job


def test_it_stands_among_what_was_closed_without_proof_with_its_jobs(history: History, owner: OwnersDesk) -> None:
    job = hasty(history, "1 Quick Road")
    history.visit(history.story.address("2 Slow Road"), 200)
    page = owner.read()
    assert f"1 {WORDS}" in page
    assert "by the clock alone, which may be wrong" in page
    jobs = owner.client.get("/held/jobs?list=proof-proven_too_soon").text
    assert f"/jobs/{job}" in jobs
    assert "2 Slow Road" not in jobs


def test_an_honest_close_is_counted_as_what_it_is(history: History, owner: OwnersDesk) -> None:
    hasty(history, "1 Quick Road", close="not_proven")
    page = owner.read()
    assert f"0 {WORDS}" in page
    assert "1 closed as not proven, although the last hot run recorded held" in page


def test_repairs_are_told_apart_by_it(history: History, owner: OwnersDesk) -> None:
    hasty(history, "1 Quick Road")
    assert "Closed with a hot run that held, noted too soon to have lasted as long as it says" in owner.read(
        "/held?by=run"
    )
