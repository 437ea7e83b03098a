"""One job as its events tell it, folded: for whoever shows it in words of their own."""

from __future__ import annotations

from dataclasses import dataclass, field
from datetime import datetime
from typing import TYPE_CHECKING

from webapp.errors import NotFound
from webapp.sites import queries
from webapp.sites.about_address import AddressFacts, address_facts
from webapp.sites.clock import job_moment
from webapp.sites.event_reading import arrived_of, words_of_jobs
from webapp.sites.found_in_service import standing_here
from webapp.sites.in_service import Elsewhere, put_back_elsewhere
from webapp.sites.left_off_told import standing_off
from webapp.sites.off_here import FoundRunning, OffHere, put_back_here
from webapp.sites.unsafe_since import UnsafeSince, unsafe_since
from webapp.trade.record import fold_job

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.models import Job, Site
    from webapp.sites.procedure_words import ProcedureWords
    from webapp.sites.timeline import Arrived
    from webapp.trade.record_types import Record


@dataclass(frozen=True)
class ToldJob:
    """The record with what is needed to say it in words."""

    job: Job
    site: Site
    moment: datetime
    record: Record
    arrived: list[Arrived]
    words: ProcedureWords
    facts: AddressFacts
    """The heaters described at this address, by this job or another."""
    stored_photos: set[str]
    elsewhere: Elsewhere = field(default_factory=Elsewhere)
    """What other visits put back in service of what it left off."""

    off_here: list[OffHere] = field(default_factory=list)
    """What other visits to this address left off, and nobody has put back."""

    found_running: list[FoundRunning] = field(default_factory=list)
    """Where a visit found something in service that this one left off, and nobody has shown it to be safe."""

    put_back_here: list[OffHere] = field(default_factory=list)
    """What another visit left off, and this one put back."""

    unsafe_since: list[UnsafeSince] = field(default_factory=list)
    """What other visits found unsafe after this one, and nobody has looked at again."""

    @property
    def counts_first(self) -> bool:
        """Whether something of another visit says more of the heater now than how this one ended."""
        return bool(self.off_here or self.unsafe_since)

    @property
    def standing_off(self) -> list[str]:
        """Ids of the entries that nobody has put back."""
        return standing_off(self.record, self.elsewhere)

    @property
    def last_received_at(self) -> datetime:
        """When the latest of the events got here: what is shown is how it stood then."""
        later = [back.heard_at for back in self.elsewhere.back] + [off.heard_at for off in self.off_here]
        later += [one.heard_at for one in self.unsafe_since]
        later += [one.heard_at for one in self.found_running]
        later += [off.found.heard_at for off in self.off_here if off.found]
        return max([*(one.received_at for one in self.arrived), *later], default=self.moment)


def read_told_job(session: Session, job_id: str) -> ToldJob:
    """Read and fold one job; raises NotFound where there is none."""
    job = queries.get_job(session, job_id)
    if job is None:
        raise NotFound("There is no such job here.")
    sites = queries.get_sites_of_group(session, job.site_id)
    ids = [one.id for one in sites]
    arrived = arrived_of(queries.get_events_of_jobs(session, [job.id]))
    record = fold_job([one.event for one in arrived])
    facts = address_facts([one.event for one in arrived_of(queries.get_facts_of_address(session, ids))])
    standing = standing_here(session, ids)
    return ToldJob(
        job=job,
        site=next(one for one in sites if one.id == job.site_id),
        moment=job_moment(job),
        record=record,
        arrived=arrived,
        words=words_of_jobs(session, [job])[job.id],
        facts=facts,
        stored_photos=queries.get_stored_photos(session, {photo["sha256"] for photo in record["photos"]}),
        elsewhere=put_back_elsewhere(session, job),
        off_here=[one for one in standing if one.job_id != job.id],
        found_running=[one.found for one in standing if one.job_id == job.id and one.found],
        put_back_here=put_back_here(session, job.id, ids) if record["put_back"] else [],
        unsafe_since=unsafe_since(session, job, record, ids),
    )
