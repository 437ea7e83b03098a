"""Compiled procedures held in memory between calls, by hash: a screen sends one once, then names it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from .errors import TradeError
from .tables import tables_of

if TYPE_CHECKING:
    from typing import Any

    from .procedure_types import Procedure

# A phone holds the procedures of its jobs; the oldest goes when there are more.
MOST_HELD = 8
_held: list[tuple[str, Any]] = []


def load(procedure: Any) -> str:
    """Keep a compiled procedure and answer its hash. That hash and body belong together is the sender's care."""
    if not looks_compiled(procedure):
        raise TradeError("bad_procedure", "This is not a compiled procedure.")
    for position in range(len(_held)):
        if _held[position][0] == procedure["hash"]:
            _held.pop(position)
            break
    tables_of(procedure)  # now, so that the first answer does not wait for it
    _held.append((procedure["hash"], procedure))
    if len(_held) > MOST_HELD:
        _held.pop(0)
    return str(procedure["hash"])


def named(procedure_hash: str) -> Procedure:
    """The procedure with this hash, or the error that it must be loaded first."""
    for known, procedure in _held:
        if known == procedure_hash:
            return procedure  # type: ignore[no-any-return]
    raise TradeError("procedure_not_loaded", "Load the procedure first, then name its hash.")


def looks_compiled(procedure: Any) -> bool:
    """Whether the shape is that of a compiled procedure: enough to refuse junk with a name, not a full validation."""
    if not isinstance(procedure, dict) or not isinstance(procedure.get("hash"), str):
        return False
    for name in ("causes", "checks", "repairs", "gate", "may_fire", "senses"):
        if not isinstance(procedure.get(name), list):
            return False
    causes = len(procedure["causes"])
    for check in procedure["checks"]:
        if not isinstance(check, dict) or not isinstance(check.get("rows"), dict):
            return False
        if not all([isinstance(row, list) and len(row) == causes for row in check["rows"].values()]):
            return False
    return causes > 0
