"""Values as they travel, against the published standards."""

from __future__ import annotations

import time
from datetime import UTC, datetime
from uuid import UUID

import pytest

from webapp.models.base import wall_time
from webapp.models.ids import new_id
from webapp.sync.fields import UUID7_FORM, WallTime


def test_the_example_of_rfc_9562_is_a_uuid7() -> None:
    """RFC 9562, appendix A.6: 2022-02-22 14:22:22.00 GMT-05:00 gives 017F22E2-79B0-7CC3-98C4-DC0C0C07398F."""
    example = "017F22E2-79B0-7CC3-98C4-DC0C0C07398F".lower()
    assert UUID7_FORM.fullmatch(example)
    stamp_ms = int(datetime(2022, 2, 22, 19, 22, 22, tzinfo=UTC).timestamp() * 1000)
    assert UUID(example).int >> 80 == stamp_ms == 0x017F22E279B0


@pytest.mark.parametrize(
    "of_another_version", ["919108f7-52d1-4320-9bac-f847db4148a8", "1ec9414c-232a-6b00-b3c8-9f6bdeced846"]
)
def test_other_versions_of_the_rfcs_examples_are_none(of_another_version: str) -> None:
    """RFC 9562, appendices A.3 (version 4) and A.5 (version 6)."""
    assert not UUID7_FORM.fullmatch(of_another_version)


def test_our_own_ids_hold_the_time_version_and_variant_of_the_rfc_and_rise() -> None:
    before = time.time_ns() // 1_000_000
    made = [new_id() for _ in range(1000)]
    after = time.time_ns() // 1_000_000
    for one in made:
        value = UUID(one)
        assert (value.version, value.variant) == (7, "specified in RFC 4122")
        # Many in one millisecond run ahead of the clock, as RFC 9562 (section 6.2) allows.
        assert before - 1 <= value.int >> 80 <= after + 5_000
    assert made == sorted(set(made))


@pytest.mark.parametrize(
    ("text", "passes"),
    [
        ("1985-04-12T23:20:50.52Z", True),  # RFC 3339, section 5.8
        ("1996-12-19T16:39:57-08:00", False),  # a valid RFC 3339 time, but not written in UTC
        ("1937-01-01T12:00:27.87+00:20", False),
        ("2026-11-25T08:19:09.123Z", True),
        ("2026-11-25t08:19:09z", False),
        ("2026-02-30T08:19:09Z", False),
        ("2026-11-25T24:00:00Z", False),
        ("2026-11-25T08:19Z", False),
        ("2026-11-25T08:19:09", False),
        ("２０２６-11-25T08:19:09Z", False),
    ],
)
def test_times_are_rfc_3339_in_utc(text: str, passes: bool) -> None:
    assert WallTime().holds(text) is passes


def test_our_own_times_pass_our_own_form() -> None:
    assert WallTime().holds(wall_time(datetime.now(UTC)))
    assert wall_time(datetime(2026, 11, 25, 8, 19, 9, 123_000, tzinfo=UTC)) == "2026-11-25T08:19:09.123Z"
