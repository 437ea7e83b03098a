"""The numbers of a compiled procedure: priors and rows sum to one, every cause can be found and told apart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.procedures.compile import FLOOR

if TYPE_CHECKING:
    from collections.abc import Iterator

    from webapp.trade.procedure_types import Check, Procedure

# A cause is reachable when some outcome is this much likelier under it than on average.
RAISES = 2.0
# Two causes are told apart when some check's rows differ by this much in total variation.
APART = 0.15


def number_problems(procedure: Procedure) -> Iterator[str]:
    """Priors and rows sum to one; every cause can be raised by some outcome, and told from every other."""
    yield from _sums(procedure)
    walked = [check for check in procedure["checks"] if check["id"] not in procedure["gate"]]
    causes = procedure["causes"]
    for h, cause in enumerate(causes[:-1]):
        if not any(_raises(procedure, check, h) for check in walked):
            yield f"{cause['id']}: no outcome raises it, so no walk can find it"
        for k in range(h + 1, len(causes) - 1):
            if max(_apart(list(check["rows"].values()), h, k) for check in walked) < APART:
                yield f"{cause['id']} and {causes[k]['id']}: no check tells them apart"


def _sums(procedure: Procedure) -> Iterator[str]:
    causes = procedure["causes"]
    if abs(sum(cause["prior"] for cause in causes) - 1) > 1e-6:
        yield "priors do not sum to one"
    for check in procedure["checks"]:
        for h, cause in enumerate(causes):
            column = [row[h] for row in check["rows"].values()]
            if abs(sum(column) - 1) > 1e-6 or min(column) < FLOOR - 1e-9:
                yield f"{check['id']}: {cause['id']} does not sum to one, or leaves nothing for the normal outcome"


def _raises(procedure: Procedure, check: Check, h: int) -> bool:
    """Whether an outcome that is not the normal one speaks for this cause."""
    for outcome in check["outcomes"][1:]:
        row = check["rows"][outcome["id"]]
        average = sum(cause["prior"] * row[k] for k, cause in enumerate(procedure["causes"]))
        if row[h] >= RAISES * average:
            return True
    return False


def _apart(rows: list[list[float]], h: int, k: int) -> float:
    return sum(abs(row[h] - row[k]) for row in rows) / 2
