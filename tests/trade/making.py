"""Small events and small compiled procedures for the tests of the rules."""

from __future__ import annotations

from typing import Any


def event(number: int, kind: str, body: dict[str, Any], **envelope: Any) -> dict[str, Any]:
    """An event of person "ann" on device "d1"; number gives id, lamport and dev_seq unless said."""
    return {
        "id": f"e{number:03}",
        "site_id": "site",
        "job_id": "job",
        "person_id": "ann",
        "device_id": "d1",
        "dev_seq": number,
        "lamport": number,
        "at_wall": "2026-11-25T08:19:09.123Z",
        "clock_offset": None,
        "kind": kind,
        "schema": 1,
        "replaces": [],
        "body": body,
        **envelope,
    }


def answered(
    number: int, check: str, outcome: str | None, could_not: str | None = None, **envelope: Any
) -> dict[str, Any]:
    """A `check_answered`."""
    return event(number, "check_answered", {"check": check, "outcome": outcome, "could_not": could_not}, **envelope)


def small_procedure(
    priors: dict[str, float], tables: dict[str, dict[str, dict[str, float]]], **checks: dict[str, Any]
) -> dict[str, Any]:
    """A compiled procedure: `tables[check][outcome][cause]` = P(outcome | cause); `checks[check]` overrides fields."""
    return {
        "name": "small",
        "title": "Small",
        "kind_words": "Small",
        "likelihood_source": "test",
        "hash": "small-" + "-".join(priors) + "-" + "-".join(tables),
        "second_trip_minutes": 150,
        "complaints": [],
        "senses": ["eye", "hand", "meter", "gauge", "analyser"],
        "causes": [
            {
                "id": name,
                "words": name,
                "family": "f",
                "prior": prior,
                "repairs": [f"mend_{name}"],
                "proof_words": "held",
            }
            for name, prior in priors.items()
        ],
        "repairs": [{"id": f"mend_{name}", "words": f"mended {name}", "minutes": 30} for name in priors],
        "gate": [],
        "may_fire": [],
        "checks": [small_check(name, priors, rows, checks.get(name, {})) for name, rows in tables.items()],
        "closing_looks": [],
        "parts": [],
    }


def small_check(
    name: str, priors: dict[str, float], rows: dict[str, dict[str, float]], fields: dict[str, Any]
) -> dict[str, Any]:
    """A check whose first outcome is the normal one."""
    return {
        "id": name,
        "part": "p",
        "sense": "eye",
        "minutes": 2,
        "trip": name,
        "title": name,
        "question": "?",
        "how": ["look"],
        "normal": "fine",
        "why": "because",
        "caution": None,
        "live": False,
        "fires": False,
        "always": False,
        "from_event": None,
        "powered": False,
        "parts_vent": False,
        "undone_by": None,
        "needs": [],
        "sketch": "s",
        "outcomes": [
            {"id": one, "words": one, "verdict": "good" if n == 0 else "bad", "stop_words": None, "rules_out": False}
            for n, one in enumerate(rows)
        ],
        "readings": [],
        "rule": None,
        "photo_words": None,
        "rows": {one: [row[cause] for cause in priors] for one, row in rows.items()},
        **fields,
    }
