"""A call of which the number and the words are kept, and no street: it waits for its address."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from webapp.office import queries
from webapp.office.job_list import phone_to_ring
from webapp.office.urgency_queries import WAITING
from webapp.people.service import Draft
from webapp.sites.call_seen import calls_alarm

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from webapp.models import EventRow, Job, Site
    from webapp.sites.one_door import Decision

MOST_SHOWN = 40
FIELDS = ("street", "town", "postcode", "customer_name", "phone", "access_words")


@dataclass(frozen=True)
class WithoutAddress:
    """One call that waits."""

    job: Job
    site: Site
    phone: str
    alarm: str
    """What the caller said, where it alarms."""


def list_without_address(session: Session) -> list[WithoutAddress]:
    """Calls whose address nobody has typed yet, the one that waits longest on top."""
    rows = queries.get_jobs_without_address(session, WAITING, MOST_SHOWN)
    phones = queries.get_job_phones(session, [job.id for job, _site in rows])
    calls = queries.get_calls(session, [job.id for job, _site in rows if job.caller_alarm])
    return [
        WithoutAddress(job, site, phone_to_ring(phones.get(job.id), site.phone), calls_alarm(calls.get(job.id, [])))
        for job, site in rows
    ]


def taken_over(one: Site, other: Site) -> list[Draft]:
    """Said to be a known address, an entry without a street has that one's: somebody is sent to it."""
    bare, known = (one, other) if not one.street else (other, one)
    if bare.street or not known.street:
        return []
    body = {name: getattr(known, name) or getattr(bare, name) for name in FIELDS}
    return [_given(bare.id, body)]


def given_back(session: Session, decision: Decision) -> list[Draft]:
    """Said not to be it after all, such an entry is without a street again: nobody is sent to a wrong door."""
    said = queries.get_event(session, decision.event_id)
    drafts = []
    for site_id in (decision.one.site_id, decision.other.site_id):
        given = queries.get_addresses_given(session, site_id)
        if said is not None and len(given) > 1 and _follows(said, given[-1]):
            drafts.append(_given(site_id, given[-2].body))
    return drafts


def _follows(said: EventRow, given: EventRow) -> bool:
    """Written in the same breath."""
    return (given.device_id, given.dev_seq) == (said.device_id, said.dev_seq + 1)


def _given(site_id: str, body: dict[str, str]) -> Draft:
    said = {name: words for name, words in body.items() if words}
    return {"site_id": site_id, "kind": "address_given", "body": {"street": "", "town": "", **said}}
