"""The owner's pages: one use case, one function; nothing here writes."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime
from typing import TYPE_CHECKING

from webapp.audit import figures, queries
from webapp.audit.complaints import NOT_KNOWN
from webapp.audit.kept import keep_if_slow
from webapp.audit.lists import Wanted, is_known, jobs_of, place_of
from webapp.audit.questions import VISITS_TOLD, Told, ask, returning_chains
from webapp.audit.quietly import without_collecting
from webapp.audit.returns import link_returns
from webapp.audit.words import BY_WORDS, read_vocabulary
from webapp.errors import NotFound
from webapp.sites.event_reading import words_of_jobs
from webapp.sites.procedure_words import as_title

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from sqlalchemy.orm import Session

    from webapp.audit.cases import Case
    from webapp.audit.figures import Figure, Row, UnreadPart, Window
    from webapp.audit.words import Vocabulary
    from webapp.models import Job, Site
    from webapp.sites.procedure_words import ProcedureWords

JOBS_A_PAGE = 25
CHUNK = 500
"""Jobs of a file that are read at once."""


@dataclass(frozen=True)
class Line:
    """One job of a list, in words."""

    case: Case
    site: Site
    complaint: str
    complaint_words: str
    cause: str
    done: list[str]

    @property
    def moment(self) -> datetime | None:
        """When it was closed, else called for."""
        at_s = self.case.closed_at_s or self.case.rung_at_s
        return None if at_s is None else datetime.fromtimestamp(at_s, UTC)


@dataclass(frozen=True)
class Returning:
    """An address that came back, its visits and one question."""

    site: Site
    question: str
    visits: int
    lines: list[Line]


MOST_IN_SIGHT, WORTH_A_FOLD = 3, 1
"""Rows of a table that stand open, and how many more would go without a fold."""


def in_sight(rows: int) -> int:
    """How many rows of a table stand open: one that is hardly longer is not worth a fold."""
    return MOST_IN_SIGHT if rows > MOST_IN_SIGHT + WORTH_A_FOLD else rows


@dataclass(frozen=True)
class Table:
    """One way to break the repairs down."""

    by: str
    words: str
    rows: list[tuple[str, Row]]

    @property
    def said(self) -> list[tuple[str, Row]]:
        """Rows with enough repairs to say something."""
        return [line for line in self.rows if line[1].windows[-1].share.is_said]

    @property
    def in_sight(self) -> int:
        """How many of them stand open."""
        return in_sight(len(self.said))

    @property
    def too_few(self) -> list[tuple[str, Row]]:
        """The others: shown folded."""
        return [line for line in self.rows if not line[1].windows[-1].share.is_said]


@dataclass(frozen=True)
class FirstPage:
    """All figures."""

    now: datetime
    jobs: int
    counted: int
    since: datetime | None
    not_in_figures: int
    """Jobs whose narrow row is not made yet: after an upgrade, until `undercroft rebuild` has run."""
    returning: list[Returning]
    windows: tuple[Window, ...]
    tables: list[Table]
    out: list[Figure]
    apart: list[Figure]
    unread: list[UnreadPart]
    proofs: list[Figure]
    closes: int

    @property
    def unread_in_sight(self) -> int:
        """How many of the watched parts stand open."""
        return in_sight(len(self.unread))


@dataclass(frozen=True)
class ListPage:
    """A page of the jobs that make one figure."""

    wanted: Wanted
    of_words: str
    count: int
    lines: list[Line]
    after: tuple[int, str] | None
    first_page: bool


def read_first_page(session: Session, now: datetime) -> FirstPage:
    """All figures: fresh, except in a store so large that counting takes time (kept.py)."""
    with without_collecting():
        return keep_if_slow(session.get_bind(), lambda: _count(session, now))


def _count(session: Session, now: datetime) -> FirstPage:
    cases, now_s = _linked(session), int(now.timestamp())
    counted = [case for case in cases if not case.why_out]
    flags = figures.flags_of_all(counted, now_s)
    vocabulary = read_vocabulary(session, cases)
    proofs, closes = figures.count_proofs(cases)
    first_close_s = min((case.closed_at_s or now_s for case in counted), default=None)
    return FirstPage(
        now=now,
        jobs=len(cases),
        counted=len(counted),
        since=datetime.fromtimestamp(first_close_s, UTC) if first_close_s is not None else None,
        not_in_figures=queries.count_jobs(session) - len(cases),
        returning=_returning(session, returning_chains(cases, now_s)),
        windows=figures.count_rows(counted, flags, lambda _case: ["all"])[0].windows if counted else (),
        tables=[_table(vocabulary, by, counted, flags) for by in BY_WORDS],
        out=figures.count_out(cases),
        apart=figures.count_apart(cases, now_s),
        unread=figures.count_unread(cases, lambda action: vocabulary.words("repair", action)),
        proofs=proofs,
        closes=closes,
    )


def read_list(session: Session, wanted: Wanted, after: tuple[int, str] | None, now: datetime) -> ListPage:
    """A page of the jobs that make a figure, newest first."""
    found, vocabulary = _found(session, wanted, now)
    behind = [case for case in found if after is None or place_of(case) < after]
    shown = behind[:JOBS_A_PAGE]
    return ListPage(
        wanted=wanted,
        of_words=_of_words(vocabulary, wanted),
        count=len(found),
        lines=_lines(session, shown),
        after=place_of(shown[-1]) if len(behind) > len(shown) else None,
        first_page=after is None,
    )


def _of_words(vocabulary: Vocabulary, wanted: Wanted) -> str:
    """What the list is of: a row of a table, or a part that is watched."""
    part = wanted.part
    if part:
        return as_title(vocabulary.repair(part))
    return vocabulary.words(wanted.by, wanted.of) if wanted.by else ""


def all_lines(session: Session, wanted: Wanted, now: datetime) -> Iterator[Line]:
    """The whole list, for a file."""
    found, _ = _found(session, wanted, now)
    for start in range(0, len(found), CHUNK):
        yield from _lines(session, found[start : start + CHUNK])


def _found(session: Session, wanted: Wanted, now: datetime) -> tuple[list[Case], Vocabulary]:
    if not is_known(wanted, BY_WORDS):
        raise NotFound("There is no such list.")
    with without_collecting():
        cases = _linked(session)
        vocabulary = read_vocabulary(session, cases)
        found = jobs_of(wanted, cases, int(now.timestamp()), lambda case: vocabulary.groups_of(wanted.by, case))
    return found, vocabulary


def _linked(session: Session) -> list[Case]:
    cases = queries.get_cases(session)
    link_returns(cases)
    return cases


def _table(vocabulary: Vocabulary, by: str, counted: Sequence[Case], flags: Sequence[tuple[int, ...]]) -> Table:
    rows = figures.count_rows(counted, flags, lambda case: vocabulary.groups_of(by, case))
    return Table(by, BY_WORDS[by], [(vocabulary.words(by, row.of), row) for row in rows])


def _returning(session: Session, chains: Sequence[Sequence[Case]]) -> list[Returning]:
    shown = [chain[-VISITS_TOLD:] for chain in chains]
    jobs = queries.get_jobs(session, [case.job_id for chain in shown for case in chain], with_record=True)
    words = words_of_jobs(session, [job for job, _ in jobs.values()])
    found = []
    for chain, whole in zip(shown, chains, strict=True):
        told = [Told(case, jobs[case.job_id][0].record or {}, words[case.job_id]) for case in chain]
        lines = [_line(case, *jobs[case.job_id], words[case.job_id]) for case in chain]
        found.append(Returning(lines[-1].site, ask(told, len(whole)), len(whole), lines))
    return found


def _lines(session: Session, cases: Sequence[Case]) -> list[Line]:
    jobs = queries.get_jobs(session, [case.job_id for case in cases], with_record=False)
    words = words_of_jobs(session, [job for job, _ in jobs.values()])
    return [_line(case, *jobs[case.job_id], words[case.job_id]) for case in cases if case.job_id in jobs]


def _line(case: Case, job: Job, site: Site, words: ProcedureWords) -> Line:
    return Line(
        case=case,
        site=site,
        complaint=words.complaint(case.complaint) if case.complaint not in NOT_KNOWN else "",
        complaint_words=job.complaint_words,
        cause=words.cause(case.cause) if case.cause else "",
        done=[words.repair(action) for action in case.actions],
    )
