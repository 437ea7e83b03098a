"""Words that may not stand in a procedure: no text offers to defeat a safety, blames, or uses a banned word."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator

BANNED = re.compile(
    r"\bjump\w*|by-?pass|defeat|bridge (the|it|across)"
    r"|\bshort(s|ed|ing)? (across|out|it|the|them|both|two)\b"
    r"|\b(link|loop)(s|ed|ing)? (the|it|out|across)\b|\bprop(ped)? (it|the)\b|tape (it|the|over)|wire it"
    r"|strap(ped)? out|hold (it|the switch|the button) (in|closed|down)"
    r"|block(ed)? open|nuisance|just reset|callback|\bunit\b"
    r"|(join|connect|twist|clip|touch|tie|push) (the |both |its |these |those )?(two )?"
    r"(wires|terminals|spades|contacts)"
    r"|(wire|clip|foil|coin|paper ?clip|lead) (across|over|between|in place of)"
    r"|(out of|around|past) (the )?(circuit|chain|safety|limit)|(cap|plug) (off )?the (t&p|relief|valve)"
    r"|disable|override|cheat|wedge|without (the|its) (limit|switch|safety|screen)"
    r"|ignore (the|it|this)|pull(ed)? out of (the )?chain",
    re.IGNORECASE,
)


def safety_word_problems(source: dict[str, Any]) -> Iterator[str]:
    """Each text of the procedure that holds a banned word, with where it stands. No sentence is excused."""
    for where, text in _texts("", source):
        banned = BANNED.search(text)
        if banned:
            yield f"{where}: the words {banned.group(0)!r} may not stand in a procedure"


def _texts(where: str, value: Any) -> Iterator[tuple[str, str]]:
    if isinstance(value, str):
        yield where, value
    elif isinstance(value, dict):
        for name, one in value.items():
            yield from _texts(f"{where}/{one['id'] if isinstance(one, dict) and 'id' in one else name}", one)
    elif isinstance(value, list):
        for position, one in enumerate(value):
            yield from _texts(f"{where}/{one['id'] if isinstance(one, dict) and 'id' in one else position}", one)
