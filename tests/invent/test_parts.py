"""What the invented company fits are parts, not repairs."""

from __future__ import annotations

from webapp.invent.words import IN_PAIRS, PARTS
from webapp.procedures import compiled, list_procedures


def test_every_part_belongs_to_a_repair_and_is_not_named_like_one() -> None:
    repairs = {repair["id"]: repair["words"] for name in list_procedures() for repair in compiled(name)["repairs"]}
    assert set(PARTS) <= set(repairs)
    assert set(IN_PAIRS) <= set(PARTS)
    assert not set(PARTS.values()) & set(repairs.values())
    for words in PARTS.values():
        assert not words.endswith(("ed", "d like for like"))
