"""Makes every row that is made from events anew: after a new fold version, or where a row was marked."""

from __future__ import annotations

from dataclasses import dataclass

from sqlalchemy.orm import Session

from webapp.sync import queries, upkeep_queries
from webapp.sync.groups import regroup_sites
from webapp.sync.projections import name_photos, project_job_or_mark, project_site_or_mark
from webapp.trade.record import FOLD_VERSION

SITES_A_COMMIT = 100
"""The sites' locks are held until the commit: not for long."""


@dataclass
class Rebuilt:
    """How much was made anew, and how much could not be."""

    sites: int = 0
    jobs: int = 0
    failed: int = 0


def rebuild(session: Session, *, only_marked: bool = False) -> Rebuilt:
    """Make the rows anew and commit; the events are only read. Gives the same rows as the pushes made."""
    done = Rebuilt()
    wanted = upkeep_queries.sites_to_rebuild(session, only_marked=only_marked, fold_version=FOLD_VERSION)
    for number, site_id in enumerate(wanted, start=1):
        _rebuild_site(session, site_id, done)
        if number % SITES_A_COMMIT == 0:
            session.commit()
    session.commit()
    if not only_marked:
        _rebuild_groups(session)
    return done


def _rebuild_site(session: Session, site_id: str, done: Rebuilt) -> None:
    queries.relock_site(session, site_id)
    name_photos(session, upkeep_queries.photo_events(session, site_id))
    done.sites += 1
    done.failed += not project_site_or_mark(session, site_id)
    for job_id, last_received_at in upkeep_queries.jobs_in_stream(session, site_id):
        done.jobs += 1
        done.failed += not project_job_or_mark(session, (site_id, job_id), last_received_at)


def _rebuild_groups(session: Session) -> None:
    queries.lock_groups(session)
    regroup_sites(session, upkeep_queries.sites_ever_joined(session))
    session.commit()
