"""A small procedure of compiled form, made up for these tests: five causes, five checks, a gate."""

from __future__ import annotations

from datetime import UTC, datetime
from typing import Any

from webapp.invent.story import Story

UNTIL = datetime(2026, 11, 20, 12, tzinfo=UTC)
CAUSES = [("terminal", 0.35), ("tube", 0.25), ("switch", 0.15), ("blower", 0.2), ("none_of_these", 0.05)]


def check(name: str, sense: str, outcomes: dict[str, list[float]], **more: object) -> dict[str, Any]:
    first = next(iter(outcomes))
    verdicts = [{"id": o, "words": o, "verdict": "good" if o == first else "bad", "stop_words": None} for o in outcomes]
    return {
        "id": name,
        "sense": sense,
        "outcomes": verdicts,
        "rows": outcomes,
        "readings": [],
        "photo_words": None,
    } | more


def toy_procedure() -> dict[str, Any]:
    gate = check("smell", "eye", {"clean": [0.98] * 5, "gas": [0.02] * 5})
    gate["outcomes"][1]["stop_words"] = "Leave, call from outside"
    suction = {
        "quantity": "suction_in_wc", "place": "switch", "state": "cold", "hard_low": 0, "hard_high": 6,
        "usual_low": 0.1, "usual_high": 2, "optional": False,
    }  # fmt: skip
    return {
        "name": "toy",
        "hash": "0" * 64,
        "complaints": [{"id": "no_hot_water", "words": "No hot water"}],
        "causes": [{"id": c, "words": c, "prior": p,
        "repairs": [] if c == "none_of_these" else [f"mend_{c}"]} for c, p in CAUSES],
        "repairs": [{"id": f"mend_{c}", "words": f"{c} mended", "minutes": 20} for c, _ in CAUSES[:-1]],
        "gate": ["smell"],
        "checks": [
            gate,
            check("terminal_clear", "eye", {"clear": [0.1, 0.97, 0.97, 0.97, 0.9], "nest": [0.9, 0.03, 0.03, 0.03,
            0.1]}, photo_words="The terminal"),
            check("tube_ends", "hand", {"seated": [0.97, 0.1, 0.97, 0.97, 0.9], "off": [0.03, 0.9, 0.03, 0.03, 0.1]}),
            check("bearings", "hand", {"smooth": [0.97, 0.97, 0.97, 0.3, 0.9], "rough": [0.03, 0.03, 0.03, 0.7, 0.1]}),
            check("suction", "gauge", {"good": [0.2, 0.3, 0.9, 0.1, 0.7], "below": [0.8, 0.7, 0.1, 0.9, 0.3]},
            readings=[suction]),
        ],
        "closing_looks": [{"id": "tee_out", "words": "Tee out"}, {"id": "panel_back", "words": "Panel back"}],
    }  # fmt: skip


def in_turn(procedure: dict[str, Any], lines: list[tuple[str, str | None]]) -> str | None:
    done = {name for name, _ in lines}
    return next((c["id"] for c in procedure["checks"] if c["id"] not in done), None)


def toy_story(jobs: int, seed: int = 7) -> Story:
    return Story(
        seed=seed,
        jobs=jobs,
        until=UNTIL,
        procedures={"toy": toy_procedure()},
        order=in_turn,
        first=lambda _p, _a: "terminal",
    )
