"""IndexedDB commits by itself once a transaction is idle: nothing but its own requests may be awaited inside one."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from service_worker.build.places import HERE

CORE = HERE.phone / "shell" / "core"
BEGIN = re.compile(r"\b(?:db|this)\.(?:read|write|writeDerived)(?:<[^(]*>)?\(\[")
FOREIGN = re.compile(
    r"\b(?:request|fetch|digest|sha256Of|setTimeout|later|locks?|engine\.call|step|histories|arrayBuffer)\("
)
ALL_CORE = sorted(CORE.glob("*.ts"))


def transactions(text: str) -> Iterator[str]:
    """The text of each call that opens a transaction, up to the bracket that ends it."""
    for begin in BEGIN.finditer(text):
        depth, at = 1, text.index("(", begin.start()) + 1
        while depth:
            depth += {"(": 1, ")": -1}.get(text[at], 0)
            at += 1
        yield text[begin.start() : at]


def test_the_transactions_are_found() -> None:
    assert sum(len(list(transactions(path.read_text("utf-8")))) for path in ALL_CORE) > 25


@pytest.mark.parametrize("path", ALL_CORE, ids=lambda path: path.name)
def test_nothing_foreign_is_awaited_inside_a_transaction(path: Path) -> None:
    found = [FOREIGN.findall(one) for one in transactions(path.read_text("utf-8"))]
    assert [names for names in found if names] == []


@pytest.mark.parametrize("path", ALL_CORE, ids=lambda path: path.name)
def test_the_quota_meter_decides_nothing(path: Path) -> None:
    """It said 10 GiB under a quota of 3 MB."""
    assert "estimate(" not in path.read_text("utf-8")


def test_the_search_sees_a_hash_that_is_awaited_inside() -> None:
    bad = 'await db.write(["photos"], async (tx) => { const hash = await sha256Of(bytes); await tx.put(hash); });'
    assert [FOREIGN.findall(one) for one in transactions(bad)] == [["sha256Of("]]
