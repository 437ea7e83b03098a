"""The numbers of a compiled procedure: priors and rows sum to one, every cause can be found and told apart."""

from __future__ import annotations

from typing import TYPE_CHECKING

from webapp.procedures.compile import FLOOR

if TYPE_CHECKING:
    from collections.abc import Iterator

    from webapp.trade.procedure_types import Procedure

# A cause is reachable when some outcome is this much likelier under it than on average.
RAISES = 2.0
# Two causes are told apart when some check's rows differ by this much in total variation.
APART = 0.15


def number_problems(procedure: Procedure) -> Iterator[str]:
    """Priors and rows sum to one; every cause can be raised by some outcome, and told from every other."""
    causes = procedure["causes"]
    if abs(sum(cause["prior"] for cause in causes) - 1) > 1e-6:
        yield "priors do not sum to one"
    for check in procedure["checks"]:
        for h, cause in enumerate(causes):
            column = [row[h] for row in check["rows"].values()]
            if abs(sum(column) - 1) > 1e-6 or min(column) < FLOOR - 1e-9:
                yield f"{check['id']}: {cause['id']} does not sum to one, or leaves nothing for the normal outcome"
    walked = [check for check in procedure["checks"] if check["id"] not in procedure["gate"]]
    for h, cause in enumerate(causes[:-1]):
        average = {
            (check["id"], outcome): sum(one["prior"] * row[k] for k, one in enumerate(causes))
            for check in walked for outcome, row in check["rows"].items()
        }  # fmt: skip
        if not any(check["rows"][o][h] >= RAISES * average[check["id"], o] for check in walked for o in check["rows"]):
            yield f"{cause['id']}: no outcome raises it, so no walk can find it"
        for k in range(h + 1, len(causes) - 1):
            if max(_apart(list(check["rows"].values()), h, k) for check in walked) < APART:
                yield f"{cause['id']} and {causes[k]['id']}: no check tells them apart"


def _apart(rows: list[list[float]], h: int, k: int) -> float:
    return sum(abs(row[h] - row[k]) for row in rows) / 2
