"""What a technician found unsafe on site, and nobody has seen put right: the office reads it before anything else."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, cast

from webapp.office import urgency_queries
from webapp.sites.event_reading import words_of_jobs
from webapp.sites.looked_again import looked_again_lines
from webapp.trade.closing import unsafe_found
from webapp.trade.found_unsafe import found_unsafe
from webapp.trade.record import FOLD_VERSION
from webapp.trade.standing import findings_of
from webapp.trade.unmarked import UNMARKED

if TYPE_CHECKING:
    from collections.abc import Collection

    from sqlalchemy.orm import Session

    from webapp.models import Job
    from webapp.trade.procedure_types import Procedure
    from webapp.trade.record_types import Record

MAY_BE_RUNNING = "a heater left off was found in service, shown by nobody to be safe"
MOST_LOOKED_AT = 200
"""Jobs that go on, those that were heard of last: nobody works on more at once."""


def unsafe_on_site(session: Session, running: Collection[str]) -> dict[str, list[str]]:
    """By job: what was found unsafe and stands, of all the jobs that somebody is on.

    `running`: jobs, also closed ones, by whose word a heater that was left off may be running.
    """
    jobs = list(session.scalars(urgency_queries.select_going_on().limit(MOST_LOOKED_AT)))
    words = words_of_jobs(session, jobs)
    found = {job.id: _unsafe_of(job, words[job.id].procedure) for job in jobs}
    for job_id in running:
        found[job_id] = [MAY_BE_RUNNING, *found.get(job_id, [])]
    return {job_id: lines for job_id, lines in found.items() if lines}


def _unsafe_of(job: Job, procedure: Procedure | None) -> list[str]:
    """By the rules that the phone goes by, and in their words: `Terminal and screen: Nest or debris`."""
    record: Any = job.record
    if procedure is None or not record or record.get("fold_version") != FOLD_VERSION:
        return []  # one that an older fold made waits for its rebuild, and the list for nobody
    if not _may_be(procedure, record):
        return []
    found = findings_of(procedure, cast("Record", record))
    again = looked_again_lines(procedure, cast("Record", record))
    with_figures = [one["words"] for one in found_unsafe(procedure, cast("Record", record))]
    lines = unsafe_found(procedure, found, found)
    return [_said_once(next((one for one in with_figures if one.startswith(line)), line)) for line in lines] + again


def _said_once(line: str) -> str:
    title, _, outcome = line.partition(": ")
    return title if title == outcome else line


def _may_be(procedure: Procedure, record: Record) -> bool:
    """Whether a look by the rules is worth its time: nearly always nothing of the kind was noted."""
    if record["proofs"] or any("ppm" in reading["quantity"] for reading in record["readings"]):
        return True
    said = {(one["check"], entry["outcome"]) for one in record["checks"] for entry in one["entries"]}
    return any(
        (check["id"], outcome["id"]) in said
        for check in procedure["checks"]
        for outcome in check["outcomes"]
        if outcome.get("unsafe") or outcome["id"] in UNMARKED.get(check["id"], ())
    )
