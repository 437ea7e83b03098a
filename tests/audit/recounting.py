"""Which evidence convicts which part, written down a second time, as a table, from docs/trade.md.

Common practice, no source; an expert guess. Nothing of the fold, of trade/conviction.py or of the readings' rules is
used: what replaced or took back what is read from the envelopes.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

Answer = tuple[str, str]


@dataclass
class Seen:
    """What stood noted before a part was changed."""

    answers: set[Answer]
    values: dict[str, list[float]]
    make_points: list[float]
    taps: list[str]

    def has(self, *wanted: str) -> bool:
        """Whether every one of these stands: `check=outcome`, or `check=a|b` for either."""
        return all(
            any((check, one) in self.answers for one in outcomes.split("|"))
            for check, _, outcomes in (line.partition("=") for line in wanted)
        )

    def touched(self, *checks: str) -> bool:
        """Whether any of these was answered, in whatever way."""
        return any(check in checks for check, _outcome in self.answers)


def live(events: list[dict[str, Any]]) -> list[dict[str, Any]]:
    """What stands: an event is gone when something that itself stands names it."""
    gone: set[str] = set()
    for latest in sorted(events, key=lambda one: one["lamport"], reverse=True):
        if latest["id"] not in gone:
            gone |= set(latest["replaces"])
    return sorted((one for one in events if one["id"] not in gone), key=lambda one: one["lamport"])


def seen_before(events: list[dict[str, Any]], lamport: int) -> Seen:
    seen = Seen(set(), {}, [], [])
    for one in events:
        body, kind = one["body"], one["kind"]
        if kind == "sheet_number" and body["quantity"] == "make_point_in_wc":
            seen.make_points.append(body["value"])
        if one["lamport"] >= lamport:
            continue
        if kind == "check_answered" and body["outcome"]:
            seen.answers.add((body["check"], body["outcome"]))
            seen.taps += [body["outcome"]] if body["check"] == "tap_type" else []
        if kind == "reading_taken":
            seen.values.setdefault(body["quantity"], []).append(abs(body["value"]))
    return seen


def switch(seen: Seen) -> str:
    if seen.has("switch_pump=off_point"):
        return ""
    read = seen.values.get("suction_in_wc", [])
    pushes = bool(seen.taps) and seen.taps[-1] == "pressure"
    point = abs(seen.make_points[-1]) if seen.make_points else None
    should_make = seen.has("suction_at_switch=enough|marginal|high") or (
        point is not None and any(value < point if pushes else value >= max(point, 0.02) for value in read)
    )
    if not read or (point is None and not seen.touched("suction_at_switch")):
        return "read_otherwise" if seen.touched("switch_pump") else "not_read"
    if not should_make or seen.has("switch_pump=on_point"):
        return "read_otherwise"
    return (
        ""
        if seen.has("watch_cycle=never_makes|made_then_opened") or seen.has("chain_volts=stops_at_switch")
        else "half_read"
    )


def blower(seen: Seen) -> str:
    tube_good = ("sensing_tube=seated", "tap_and_switch=same", "tube_drain=clear")
    enough: list[tuple[str, ...]] = [
        ("blower_amps=off_plate",),
        ("blower_wheel=rough_dirty_loose",),
        ("blower_volts=present", "watch_cycle=blower_silent"),
        *(("vent_parted=stays_low", good) for good in tube_good),
    ]
    if any(seen.has(*lines) for lines in enough):
        return ""
    if seen.has("vent_parted=stays_low"):
        return "half_read"
    return (
        "read_otherwise" if seen.touched("blower_amps", "blower_wheel", "blower_volts", "vent_parted") else "not_read"
    )


def control(seen: Seen) -> str:
    loop = ("tco_continuity=closed|not_fitted", "eco_continuity=closed", "couple_nut=tight_and_clean")
    enough: list[tuple[str, ...]] = [
        ("drop_out=too_slow",),
        ("follows_dial=never_stops",),
        ("blower_volts=absent", "call_present=call", "outlet=good"),
        ("igniter_volts=absent", "call_present=call", "chain_volts=to_the_end"),
        ("couple_closed=high_but_drops", *loop),
        ("drop_out=drops_early", *loop),
        ("follows_dial=never_starts", "couple_closed=enough"),
        ("follows_dial=never_starts", "pile_loaded=enough"),
    ]
    if any(seen.has(*lines) for lines in enough):
        return ""
    if any(seen.has(lines[0]) for lines in enough):
        return "half_read"
    looked_at = (
        "call_present", "blower_volts", "igniter_volts", "drop_out", "follows_dial", "couple_closed", "pile_loaded",
    )  # fmt: skip
    return "read_otherwise" if seen.touched(*looked_at) else "not_read"


def couple(seen: Seen) -> str:
    low = ("couple_open=low|none", "couple_closed=low", "pile_open=low|none", "pile_loaded=low")
    if any(seen.has(line) for line in low):
        return ""
    quantities = ("couple_open_mv", "couple_closed_mv", "pile_open_mv", "pile_loaded_mv")
    if not any(seen.values.get(name) for name in quantities):
        return "not_read"
    # At or over the highest minimum that is printed (25 and 650 mV) nobody can call it weak; under it, somebody may.
    couples, piles = seen.values.get("couple_open_mv", []), seen.values.get("pile_open_mv", [])
    doubtful = any(value < 25 for value in couples) or any(value < 650 for value in piles)
    return "" if doubtful else "read_otherwise"


def by_ohms(check: str, *convicting: str) -> Any:
    def judge(seen: Seen) -> str:
        if not seen.touched(check):
            return "not_read"
        return "" if seen.has(f"{check}={'|'.join(convicting)}") else "read_otherwise"

    return judge


JUDGES = {
    "new_switch": switch, "new_blower": blower, "new_control": control, "new_couple": couple,
    "new_igniter": by_ohms("igniter_ohms", "open_or_off"), "new_probe": by_ohms("probe_ohms", "off_table"),
    "new_limit": by_ohms("limit_continuity", "open", "poor"), "new_tco": by_ohms("tco_continuity", "open", "poor"),
}  # fmt: skip
