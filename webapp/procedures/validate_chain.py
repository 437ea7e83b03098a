"""What a procedure's safety chain must have: contacts of known parts, and findings that exist and speak for them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator

_KEYS = {"id", "words", "part", "normally", "senses_words", "reset", "shown"}
STATES = ("open", "could_be_open", "closed", "closed_now")


def chain_problems(source: dict[str, Any]) -> Iterator[str]:
    """What is wrong with the chain, one line each."""
    ids = [one.get("id") for one in source["chain"]]
    if len(set(ids)) < len(ids):
        yield "chain: an id is there twice"
    for one in source["chain"]:
        yield from (f"chain {one.get('id')}: {problem}" for problem in _contact(one, source))


def _contact(one: dict[str, Any], source: dict[str, Any]) -> Iterator[str]:
    if set(one) != _KEYS or not one["words"] or not one["senses_words"]:
        yield "needs id, words, part, normally, senses_words, reset and shown, and nothing else"
        return
    if one["part"] not in [part["id"] for part in source["parts"]]:
        yield f"unknown part {one['part']}"
    if one["normally"] not in ("closed", "open") or one["reset"] not in ("by_hand", "by_itself", "none"):
        yield "normally closed or open; reset by_hand, by_itself or none"
    outcomes = {check["id"]: [outcome["id"] for outcome in check["outcomes"]] for check in source["checks"]}
    for shown in one["shown"]:
        if shown.get("outcome") not in outcomes.get(shown.get("check"), []):
            yield f"shown by an answer that does not exist: {shown.get('check')} {shown.get('outcome')}"
        if shown.get("state") not in STATES or not shown.get("words"):
            yield "what shows it needs a state and words"
    if not any(shown.get("state") in ("open", "could_be_open") for shown in one["shown"]):
        yield "no finding ever shows it open"
