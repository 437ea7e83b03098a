"""What took long to count is shown again for a minute; what did not is counted afresh."""

from __future__ import annotations

import gc
from collections.abc import Iterator

import pytest
from sqlalchemy import create_engine

from webapp.audit import kept
from webapp.audit.kept import KEPT_S, SLOW_S, forget, keep_if_slow
from webapp.audit.quietly import without_collecting


class Clock:
    """Stands in for `time`: each count takes `cost_s` of processor."""

    def __init__(self) -> None:
        self.now_s, self.spent_s, self.cost_s, self.counts = 1000.0, 0.0, 0.0, 0

    def monotonic(self) -> float:
        return self.now_s

    def thread_time(self) -> float:
        return self.spent_s

    def count(self) -> int:
        self.spent_s += self.cost_s
        self.counts += 1
        return self.counts


@pytest.fixture
def clock(monkeypatch: pytest.MonkeyPatch) -> Iterator[Clock]:
    standing_in = Clock()
    monkeypatch.setattr(kept, "time", standing_in)
    forget()
    yield standing_in
    forget()


def test_a_quick_count_is_made_each_time(clock: Clock) -> None:
    store, clock.cost_s = create_engine("sqlite://"), SLOW_S / 2
    assert [keep_if_slow(store, clock.count) for _ in range(3)] == [1, 2, 3]


def test_a_slow_count_is_shown_again_for_its_minute_and_no_longer(clock: Clock) -> None:
    store, clock.cost_s = create_engine("sqlite://"), SLOW_S * 2
    assert [keep_if_slow(store, clock.count) for _ in range(3)] == [1, 1, 1]
    clock.now_s += KEPT_S - 1
    assert keep_if_slow(store, clock.count) == 1
    clock.now_s += 2
    assert keep_if_slow(store, clock.count) == 2


def test_what_one_store_keeps_is_not_shown_for_another(clock: Clock) -> None:
    one, other, clock.cost_s = create_engine("sqlite://"), create_engine("sqlite://"), SLOW_S * 2
    assert [keep_if_slow(store, clock.count) for store in (one, other, one, other)] == [1, 2, 1, 2]


def test_collecting_goes_on_after_a_pause_even_where_it_failed() -> None:
    def fail() -> None:
        with without_collecting():
            assert not gc.isenabled()
            raise KeyError

    assert gc.isenabled()
    with pytest.raises(KeyError):
        fail()
    assert gc.isenabled()


def test_a_pause_inside_a_pause_ends_nothing() -> None:
    with without_collecting():
        with without_collecting():
            pass
        assert not gc.isenabled()
    assert gc.isenabled()
