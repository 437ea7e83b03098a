"""The figures themselves: counted once over all jobs, each with the list that it opens."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from webapp.audit.lists import (
    APART_WORDS,
    BY_WINDOW,
    OUT_WORDS,
    PROOF_WORDS,
    Wanted,
    flags_of,
    is_ours,
    jobs_of,
    proof_of,
)
from webapp.audit.rates import Share
from webapp.audit.returns import WINDOWS_DAYS
from webapp.trade.conviction import WATCHED_REPAIRS

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from webapp.audit.cases import Case

UNREAD_WORDS = {
    "not_read": "nobody measured it before it was changed",
    "read_otherwise": "what was measured spoke for the part",
    "half_read": "what was measured may come of something beside it, and nobody told the two apart",
}
HALF_READ_WORDS = {
    "new_switch": "measured over its make point, but nobody noted its contact open",
    "new_blower": "suction low with the vent parted, but nobody noted the tube good",
    "new_control": "it gave nothing out or let go, but nobody noted that what goes in was right",
}


def why_words(repair: str, why: str) -> str:
    """Why a part counts as changed without a convicting reading."""
    if why == "half_read" and repair in HALF_READ_WORDS:
        return HALF_READ_WORDS[repair]
    return UNREAD_WORDS.get(why, "no reading before it convicts the part")


@dataclass(frozen=True)
class Figure:
    """A number, its words, and the list that makes it."""

    count: int
    words: str
    wanted: Wanted


@dataclass(frozen=True)
class Window:
    """How repairs did within so many days."""

    days: int
    counts: dict[str, int]
    """By name of lists.BY_WINDOW."""

    @property
    def share(self) -> Share:
        """Those that came back, of those whose days are over."""
        return Share(self.counts["back"], self.counts["over"])

    @property
    def called(self) -> Share:
        """Those with any later call."""
        return Share(self.counts["called"], self.counts["over"])


@dataclass(frozen=True)
class Row:
    """One row of a table: a repair, a family of causes, a kind of heater."""

    of: str
    windows: tuple[Window, ...]


@dataclass(frozen=True)
class UnreadPart:
    """One part that is watched: how often changed, and how often without a convicting reading."""

    repair: str
    changed: Figure
    unread: Figure
    reasons: list[Figure]


def flags_of_all(counted: Sequence[Case], now_s: int) -> list[tuple[int, ...]]:
    """Of each job its flags in each window: worked out once, counted many times."""
    return [tuple(flags_of(case, days, now_s) for days in WINDOWS_DAYS) for case in counted]


def count_windows(flags: Mapping[tuple[int, ...], int]) -> tuple[Window, ...]:
    """The counts within each window, from how often each combination of flags occurs."""
    return tuple(
        Window(
            days,
            {name: sum(n for at, n in flags.items() if test(at[place])) for name, (_, test) in BY_WINDOW.items()},
        )
        for place, days in enumerate(WINDOWS_DAYS)
    )


def count_rows(
    counted: Iterable[Case], flags: Iterable[tuple[int, ...]], groups_of: Callable[[Case], list[str]]
) -> list[Row]:
    """One row for each group, those with most jobs first: never by their rates, which would make a league table."""
    found: dict[tuple[str, tuple[int, ...]], int] = defaultdict(int)
    for case, at in zip(counted, flags, strict=True):
        for of in groups_of(case):
            found[of, at] += 1
    groups: dict[str, dict[tuple[int, ...], int]] = defaultdict(dict)
    for (of, at), count in found.items():
        groups[of][at] = count
    rows = [Row(of, count_windows(group)) for of, group in groups.items()]
    return sorted(rows, key=lambda row: (-row.windows[-1].counts["over"], -row.windows[-1].counts["open"], row.of))


def count_out(cases: Iterable[Case]) -> list[Figure]:
    """Jobs that are not counted, by reason."""
    found = Counter(case.why_out for case in cases)
    return [Figure(found[why], words, Wanted(f"out-{why}")) for why, words in OUT_WORDS.items() if found[why]]


def count_apart(cases: Sequence[Case], now_s: int) -> list[Figure]:
    """Later visits that are not counted against a job, by reason."""
    found = Counter(case.apart_why for case in cases if not case.why_out)
    figures = [Figure(found[why], words, Wanted(f"apart-{why}")) for why, words in APART_WORDS.items()]
    for name, words in (
        ("planned", "second visits that were agreed on: the job before waited for a part"),
        ("after_nothing", "return visits to a job that had repaired nothing, or that is not counted"),
    ):
        wanted = Wanted(name)
        figures.append(Figure(len(jobs_of(wanted, cases, now_s, lambda _case: [])), words, wanted))
    return [figure for figure in figures if figure.count]


def count_proofs(cases: Iterable[Case]) -> tuple[list[Figure], int]:
    """Closes without proof, by how; and all closes after a repair."""
    ours = [case for case in cases if is_ours(case) and (case.repairs or case.close_state in ("proven", "not_proven"))]
    found = Counter(proof_of(case) for case in ours)
    return [Figure(found[how], words, Wanted(f"proof-{how}")) for how, words in PROOF_WORDS.items()], len(ours)


def count_unread(cases: Iterable[Case], word_of: Callable[[str], str]) -> list[UnreadPart]:
    """Parts that were changed without a reading that convicts them."""
    changed: Counter[str] = Counter()
    unread: Counter[str] = Counter()
    reasons: Counter[tuple[str, str]] = Counter()
    for case in cases:
        if case.repairs and is_ours(case):
            for action in case.actions:
                changed[action] += 1
            for part, why in case.unread:
                unread[part] += 1
                reasons[part, why] += 1
    return [
        UnreadPart(
            repair,
            Figure(changed[repair], word_of(repair), Wanted(f"changed-{repair}")),
            Figure(unread[repair], word_of(repair), Wanted(f"unread-{repair}")),
            [
                Figure(reasons[repair, why], why_words(repair, why), Wanted(f"unread-{repair}-{why}"))
                for why in UNREAD_WORDS
                if reasons[repair, why]
            ],
        )
        for repair in WATCHED_REPAIRS
        if changed[repair]
    ]
