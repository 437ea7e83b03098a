"""Proofs and closing looks as phones read them: every cause in one proof, every compulsory look named."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable


def compile_looks(source: dict[str, Any]) -> list[dict[str, Any]]:
    """The closing looks, in the order in which they are looked at."""
    return [
        {
            "id": look["id"],
            "words": look["words"],
            "always": look.get("always", False),
            "after_checks": look.get("after_checks", []),
        }
        for look in source["closing_looks"]
    ]


def compile_proofs(source: dict[str, Any], plain: Callable[[float], float]) -> list[dict[str, Any]]:
    """The proofs; the default one takes every cause that no other names. `plain` writes a number for any JSON."""
    always = [look["id"] for look in source["closing_looks"] if look.get("always")]
    named = [cause for proof in source["proofs"] for cause in proof.get("causes", [])]
    left = [cause["id"] for cause in source["causes"] if cause["id"] not in named]
    return [_proof(proof, always, left, plain) for proof in source["proofs"]]


def _proof(
    proof: dict[str, Any], always: list[str], left: list[str], plain: Callable[[float], float]
) -> dict[str, Any]:
    measures = [_measure(measure, plain) for measure in proof.get("measures", [])]
    first = measures[0] if measures else {"quantity": None, "words": None, "unit": None}
    default = proof.get("default", False)
    return {
        "id": proof["id"],
        "default": default,
        "causes": proof.get("causes", []) + (left if default else []),
        "words": proof["words"],
        "how": proof["how"],
        "quantity": first["quantity"],
        "quantity_words": first["words"],
        "unit": first["unit"],
        "measures": measures,
        "minutes": plain(proof["minutes"]),
        "restarts": proof["restarts"],
        "fans_on": proof["fans_on"],
        "looks": always + [look for look in proof.get("looks", []) if look not in always],
    }


def _measure(measure: dict[str, Any], plain: Callable[[float], float]) -> dict[str, Any]:
    return {
        "quantity": measure["quantity"],
        "words": measure["words"],
        "unit": measure["unit"],
        "recovers": measure.get("recovers"),
        "limit_quantity": measure.get("limit"),
        "side": measure.get("side"),
        "margin": plain(measure.get("margin", 0)),
        "turned_by": measure.get("turned_by"),
    }
